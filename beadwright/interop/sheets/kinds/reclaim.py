"""What becomes of scrap: stripped of its ties, ground, densified, disposed of, sent back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from beadwright.interop.sheets.cells import Field, Row, Sort
from beadwright.interop.sheets.kinds.kind import (
    BY,
    NOTHING,
    Drafts,
    SheetKind,
    Usual,
    by_name,
    remainder,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import RECLAIM as MARK
from beadwright.ledger.draft import Line, Loss, Material, NewLot, StepDraft

__all__ = ["RECLAIM", "tie_plastic_code"]

_BECOMES = {
    "strip": NewLot("", Material.SCRAP, "scrap foam"),
    "grind": NewLot("", Material.REGRIND, "regrind bag", grades=(MARK,)),
    "densify": NewLot("", Material.DENSIFIED, "densified log", grades=(MARK,)),
    "return": NewLot("", Material.SCRAP, "returned"),
}
_LONGEST = 20


def tie_plastic_code(code: str) -> str:
    """Code of the tie plastic stripped from a lot of scrap foam: the sheet names only the foam."""
    return f"{code}-T"


def _brought(row: Row, register: Register) -> Sequence[NewLot]:  # noqa: ARG001
    kind, code = _BECOMES.get(row.text("what")), row.text("to")
    if kind is None or not code:
        return ()
    lots = [NewLot(code, kind.kind, kind.what, grades=kind.grades)]
    if row.mg("ties_mass"):
        lots.append(NewLot(tie_plastic_code(code), Material.SCRAP, "tie plastic"))
    return lots


def _reclaim(row: Row, register: Register) -> Drafts:
    what = row.text("what")
    register.need_lot(row, "from")
    if what != "dispose":
        _need_target(row, register, what)
    if row.mg("ties_mass"):
        _check_ties(row, register, what)
    _check_pieces(row, register)
    if row.bad:
        return NOTHING
    mass, ties, keyed = row.mg("mass"), row.mg("ties_mass"), row.keyed("mass")
    lines = [Line(row.text("from"), -1, mass, row.number_of("pieces"), keyed=keyed)]
    losses: tuple[Loss, ...] = ()
    if what == "dispose":
        losses = (Loss("disposed", mass, keyed),)
    else:
        lines.append(Line(row.text("to"), 1, mass - ties, keyed="" if ties else keyed))
    if ties:
        code = tie_plastic_code(row.text("to"))
        lines.append(Line(code, 1, ties, keyed=row.keyed("ties_mass")))
    step = StepDraft(
        row.key,
        what,
        row.number_of("at"),
        tuple(lines),
        losses,
        remainder(lines, losses),
        new_lots=register.born(row, _brought(row, register)),
        by=row.by,
        facts=row.facts(),
    )
    return Drafts(step)


def _need_target(row: Row, register: Register, what: str) -> None:
    if "to" not in row.cells:
        text = f'"{row.headers.get("to", "to")}" is empty; {what} needs it'
        register.fault(row, "to", "field_missing", what=text, remedy="Fill the cell.")
        return
    if what != "return":  # what comes back may go into a lot of any kind
        register.need_lot(row, "to", _BECOMES[what].kind)


def _check_ties(row: Row, register: Register, what: str) -> None:
    if what != "strip":
        text = f"only stripping parts ties from foam; this row says {what}"
        remedy = "Empty the cell, or correct the word."
        register.fault(row, "ties_mass", "ties_without_place", what=text, remedy=remedy)
    elif row.mg("ties_mass") > row.mg("mass"):
        text = "more ties were stripped off than was taken"
        remedy = "Correct one of the masses: mass is foam and ties together."
        register.fault(row, "ties_mass", "loss_too_large", what=text, remedy=remedy)
    elif len(tie_plastic_code(row.text("to"))) > _LONGEST:
        text = f"{row.text('to')} leaves no room for the code of its tie plastic"
        remedy = f"Use at most {_LONGEST - 2} signs."
        register.fault(row, "to", "code_invalid", what=text, remedy=remedy)


def _check_pieces(row: Row, register: Register) -> None:
    """Note blocks or ties by mass alone: what is counted goes by the piece, too."""
    lot = register.lot(row.text("from"))
    if lot is not None and lot.unit_mg and "pieces" not in row.cells:
        text = f"{row.text('from')} is kept in pieces; the row says only their mass"
        remedy = "Say how many in a column for pieces."
        register.fault(row, "pieces", "field_missing", what=text, remedy=remedy)
    elif lot is not None and not lot.unit_mg and row.number_of("pieces"):
        text = f"{row.text('from')} is accounted by mass; it has no pieces"
        register.fault(row, "pieces", "not_counted", what=text, remedy="Empty the cell.")


def _usual(row: Row, register: Register) -> Iterable[Usual]:  # noqa: ARG001
    group = (row.text("what"),)
    yield Usual(group, "mass", float(row.mg("mass")), may_be_small=True)


RECLAIM = (
    SheetKind(
        "reclaim",
        "at",
        by_name(
            Field("at", Sort.TIME),
            Field("what", Sort.CHOICE, choices=("strip", "grind", "densify", "dispose", "return")),
            Field("from", Sort.CODE),
            Field("to", Sort.CODE, required=False),
            Field("mass", Sort.MASS, positive=True),
            Field("ties_mass", Sort.MASS, required=False),
            Field("scale", required=False),
            Field("pieces", Sort.COUNT, required=False),  # needed where blocks or ties are taken
            Field("cut", Sort.CHOICE, required=False, choices=("hot wire", "saw")),
            BY,
        ),
        _brought,
        _reclaim,
        _usual,
    ),
)
