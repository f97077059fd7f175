"""The sheet: every number of a product's set-up, section by section.

Read :func:`set_up`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from beadwright.ledger.settings import Settings
from beadwright.plant.opening import Plant
from beadwright.plant.set_up.aim import AIM_SAYS, aim
from beadwright.plant.set_up.asked import Asked, Choice, asked
from beadwright.plant.set_up.beads import beads, expansion
from beadwright.plant.set_up.block import block
from beadwright.plant.set_up.foam import foam
from beadwright.plant.set_up.machines import ageing, moulding
from beadwright.plant.set_up.resin import resin
from beadwright.plant.words import iso
from beadwright.plant.worked import Line, Working
from beadwright.plant.worked_words import line_json

__all__ = ["Section", "SetUp", "set_up", "set_up_json"]


@dataclass(frozen=True, slots=True)
class Section:
    """Lines that stand together, with the caution that goes with the work."""

    key: str
    title: str
    lines: tuple[Line, ...]
    says: str = ""
    caution: str = ""


@dataclass(frozen=True, slots=True)
class SetUp:
    """A product's set-up sheet at a time."""

    product: str
    title: str
    at_ms: int
    choice: Choice
    choices: Mapping[str, tuple[str, ...]]
    sections: tuple[Section, ...]
    lines: tuple[Line, ...]
    """All lines, those too that others only rest on."""

    @property
    def choice_words(self) -> str:
        """What it is for, in words."""
        one = self.choice
        parts = (("bead", one.grade), ("pre-expander", one.expander), ("mould", one.mould))
        return ", ".join(f"{word} {name or 'not known'}" for word, name in parts)


_SECTIONS = (
    ("block", "Block and density", block, "", ""),
    ("beads", "Beads", beads, "", ""),
    ("expansion", "Pre-expander", expansion,
     ("The charge is the exact knob of a machine that stops on level; no set point is written to"
     " it."),
     "Steam scalds. The machine's own interlocks decide."),
    ("ageing", "Ageing",  ageing,
     "The signed hours decide; the estimate warns and proposes, and holds nothing.",
     "Silo: Never enter without a confined-space permit."),
    ("moulding", "Moulding", moulding,
     "The steam is the least that heat asks for: what leaks is not in it.",
     ("Foam under pressure can burst; mould and condensate scald. The machine's own interlocks"
     " decide.")),
    ("foam", "Foam", foam,
     "Expected, to say what to test first; it never stands for a test.", ""),
    ("aim", "Lightest density that is safe", aim, AIM_SAYS, ""),
    ("resin", "A thousand good blocks", resin, "", ""),
)  # fmt: skip


def set_up(plant_no: int, choice: Choice, at_ms: int, in_force: Settings | None = None) -> SetUp:
    """Give the set-up sheet of a product.

    Raises
    ------
    Misuse
        If there is no such product, or a part that was named is none of its.
    """
    of = asked(plant_no, choice, at_ms, in_force)
    sheet = Working()
    sections = tuple(
        Section(key, title, tuple(sheet[one] for one in put(sheet, of)), says, caution)
        for key, title, put, says, caution in _SECTIONS
        if key not in {"foam", "aim"} or _is_form(of)
    )
    return SetUp(
        of.product.name, of.product.title, at_ms, of.choice, of.choices, sections, sheet.lines
    )


def _is_form(of: Asked) -> bool:
    return of.product.is_form


def set_up_json(plant: Plant, found: SetUp) -> dict[str, Any]:
    """Give a sheet as a program reads it, in SI."""
    return {
        **plant.about,
        "at": iso(found.at_ms, plant.zone),
        "product": found.product,
        "for": asdict(found.choice),
        "choices": {part: list(names) for part, names in found.choices.items()},
        "sections": [
            {
                "key": one.key,
                "title": one.title,
                "lines": [line.key for line in one.lines],
                "says": one.says,
                "caution": one.caution,
            }
            for one in found.sections
        ],
        "lines": [line_json(line) for line in found.lines],
    }
