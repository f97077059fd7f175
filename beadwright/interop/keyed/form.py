"""A form's fields, and what was keyed into them.

Read :func:`fields_of` and :class:`Keyed`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from beadwright.errors import Fault, Misuse
from beadwright.interop.keyed.explained import explained
from beadwright.interop.keyed.fitting import Which
from beadwright.interop.keyed.mould_kinds import MOULD_KINDS
from beadwright.interop.keyed.run_kinds import RUN_KINDS
from beadwright.interop.sheets.cells import Row, Sort
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import SheetKind
from beadwright.ledger.draft import Draft
from beadwright.units import accepted

__all__ = ["FORMS", "Asked", "FormField", "Keyed", "fields_of", "kind_named"]

FORMS: Mapping[str, SheetKind] = {**KINDS, **RUN_KINDS, **MOULD_KINDS}
"""Every kind of form: the sheet kinds, and what is told of a run while it runs."""


@dataclass(frozen=True, slots=True)
class FormField:
    """One field of a form."""

    name: str
    sort: str
    """text, code, time, person, choice, pieces, or the kind of quantity."""
    quantity: str
    """Kind of quantity whose unit stands beside the field; empty where it has none."""
    required: bool
    choices: tuple[str, ...]
    """Words of a choice."""
    units: tuple[str, ...]
    """Units that are accepted, the usual one first."""
    unit: str
    """Unit that is taken where none is stated; empty: one must be."""
    is_time: bool
    """Whether it says when the entry happened: left empty, it is now."""
    help: str
    """What it asks for, in one sentence."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A value that can be and hardly is: asked once, with the value in large."""

    field: str
    code: str
    value: str
    """As keyed, with its unit."""
    why: str
    perhaps: str = ""
    """What may have been meant; empty where nothing is likely."""


@dataclass(frozen=True, slots=True)
class Keyed:
    """What a form says. With a fault or a question in it, nothing of it is posted."""

    plant: str
    kind: str
    key: str
    """Client key of the row."""
    drafts: tuple[Draft, ...]
    faults: Mapping[str, tuple[Fault, ...]]
    """By field; under the empty text what is of no field."""
    questions: tuple[Asked, ...]
    timed: bool = True
    """Whether a person stated when it happened; else it is now."""
    kept: frozenset[str] = frozenset()
    """Fields of which a person said that they stand as keyed, and that were asked about."""
    which: tuple[Which, ...] = ()
    """Scans that a person has to say more about; each is a fault of its field too."""
    meant: Mapping[str, str] = field(default_factory=dict)
    """Of fields that held a label or a scan: the code that it stands for."""
    row: Row | None = field(default=None, compare=False, repr=False)
    """The row, read."""

    @property
    def ready(self) -> bool:
        """Whether it may be posted."""
        return bool(self.drafts) and not self.faults and not self.questions


def fields_of(kind: str) -> tuple[FormField, ...]:
    """Fields of a form, in order.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    one = kind_named(kind)
    found = []
    for spec in one.fields.values():
        quantity = spec.sort.quantity
        units = accepted(quantity) if quantity is not None else ()
        time = spec.name == one.at and spec.sort is Sort.TIME
        found.append(
            FormField(
                spec.name,
                spec.sort.value,
                quantity or "",
                spec.required and not time,
                spec.choices,
                units,
                spec.unit,
                time,
                explained(kind, spec.name, is_time=time),
            )
        )
    return tuple(found)


def kind_named(kind: str) -> SheetKind:
    """Give a kind by its name, or say that there is none."""
    if kind not in FORMS:
        message = f'no form is of kind "{kind}": there are {", ".join(FORMS)}'
        raise Misuse(message)
    return FORMS[kind]
