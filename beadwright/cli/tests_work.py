"""Test reports and calibrations as drafts, brought to the door."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from beadwright.cli.decisions import Decided, key_of
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Fault, Misuse, Refusal
from beadwright.ledger import settings
from beadwright.ledger.draft import Decision
from beadwright.ledger.settings import Settings
from beadwright.plant import attached, heeding
from beadwright.plant.calibrating import Doubtful, require_meant
from beadwright.plant.decided_bodies import MAY, MUST
from beadwright.plant.door import now_ms
from beadwright.plant.frame_layouts import KIND as LAYOUT
from beadwright.plant.frame_layouts import require_listed
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.plan import Planbook
from beadwright.plant.reports import ALL, reports
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED

__all__ = ["calibration", "frame_layout", "report", "withdraw"]

_OPTIONS = {"products": "--product", "conditioned_h": "--conditioned", "reason": "--withdraw",
            "as_found": "--as-found", "as_left": "--as-left"}  # fmt: skip
"""Options that are not called as the part of a decision that they state."""


_IF_SAID = frozenset({"uncertainty", "conditioned_h"})
"""What an entry holds only where it was said."""


def report(  # noqa: PLR0913 - what was written, and whether it stands as it is
    session: Session,
    number: str,
    body: Mapping[str, object],
    file: Path | None,
    by: str,
    *,
    keep: bool,
) -> tuple[Decided, tuple[str, ...]]:
    """Enter a test report, and keep its file beside the store.

    Gives what was entered, and for which products it counts for nothing as things stand.

    Raises
    ------
    Misuse
        If a product was never set up, nothing is tested by that name, or the result is many times
        off its limit and nobody said that it stands so.
    """
    plant = session.plant()
    in_force = settings.load(plant.no)
    body = {name: said for name, said in body.items() if said or name not in _IF_SAID}
    products = body["products"]
    _require_products(in_force, products if isinstance(products, Sequence) else ())
    _require_tested(in_force, str(body["characteristic"]))
    about = _about(body)
    doubt = heeding.far_off(in_force, *about, str(body["result"]), moment(plant))
    if doubt and not keep:
        message = f"{number}: {doubt}; if the report says so, say --keep"
        raise Misuse(message)
    kept = attached.keep(file, attached.folder()).sha256 if file is not None else ""
    said = {**body, "file": kept, **({"kept": "as keyed"} if doubt else {})}
    done = _post(session, plant, ("report", number, said), by)
    return done, heeding.unheeded(plant.no, *about, moment(plant))


def withdraw(session: Session, said: tuple[str, str, str], by: str) -> Decided:
    """Withdraw a report: the number, the characteristic (empty: all of it), the reason.

    Raises
    ------
    Misuse
        If no such report counts.
    """
    number, characteristic, reason = said
    plant = session.plant()
    there = [one for one in reports(plant.no) if not one.withdrawn]
    if not any(
        one.number == number and characteristic in {"", one.characteristic} for one in there
    ):
        of = f" on {characteristic}" if characteristic else ""
        known = ", ".join(dict.fromkeys(one.number for one in there)) or "none"
        message = f"no report {number!r}{of} counts; those that do: {known}"
        raise Misuse(message)
    body = {"reason": reason, "characteristic": characteristic}
    return _post(session, plant, ("report_withdrawn", number, body), by)


def calibration(
    session: Session, instrument: str, body: Mapping[str, object], by: str, *, keep: bool
) -> Decided:
    """Enter a calibration.

    Raises
    ------
    Misuse
        If the plant lists no such instrument, or the calibration says otherwise what the record
        holds and nobody said that it stands so.
    """
    plant = session.plant()
    try:
        require_meant(plant.no, instrument, body, keep=keep)
    except Doubtful as doubt:
        message = f"{doubt}; if that is so, say --keep"
        raise Misuse(message) from doubt
    return _post(session, plant, ("calibration", instrument, body), by)


def frame_layout(session: Session, machine: str, text: str, by: str) -> Decided:
    """Keep a layout of a load frame's files.

    Raises
    ------
    Misuse
        If the plant lists no such instrument.
    """
    plant = session.plant()
    require_listed(plant.no, machine)
    return _post(session, plant, (LAYOUT, machine, {"layout": text}), by)


def _about(body: Mapping[str, object]) -> tuple[tuple[str, ...], str]:
    """Products and characteristic that a report names."""
    products = body["products"]
    names = tuple(map(str, products)) if isinstance(products, list | tuple) else ()
    return names, str(body["characteristic"])


def _require_products(in_force: Settings, products: Sequence[object]) -> None:
    known = in_force.names("product")
    for name in map(str, products):
        if name not in known and name != ALL:
            message = f"no product {name!r} was set up; there are: {', '.join(known)}"
            raise Misuse(message)


def _require_tested(in_force: Settings, characteristic: str) -> None:
    """Refuse a name that nothing asks for: its report would cover nothing, in silence."""
    if not characteristic or characteristic in CHARACTERISTICS or characteristic in DERIVED:
        return  # of one that is not stated, the door says so with all else that is not
    planned = Planbook(in_force).all_characteristics()
    if characteristic not in planned:
        there = ", ".join(sorted({*CHARACTERISTICS, *DERIVED, *planned}))
        message = f"nothing here is tested by the name {characteristic!r}; there are: {there}"
        raise Misuse(message)


def _post(
    session: Session, plant: Plant, said: tuple[str, str, Mapping[str, object]], by: str
) -> Decided:
    kind, about, body = said
    who, at_ms = person_of(plant.code, by), moment(plant)
    draft = Decision(key_of(kind, now_ms()), at_ms, kind, about, body, by=who)
    try:
        seq = session.post(plant, draft).seq
    except Refusal as refusal:
        raise Refusal([_by_option(fault, kind) for fault in refusal.faults]) from refusal
    return Decided(about, (who,), seq)


def _by_option(fault: Fault, kind: str) -> Fault:
    """Name the option that a part of the decision was given by."""
    for part in (*MUST.get(kind, ()), *MAY.get(kind, ())):
        if f": {part} " in fault.what:
            option = _OPTIONS.get(part, f"--{part}")
            remedy = fault.remedy
            if fault.code == "bad_decision":
                remedy = f"State {option}; `beadwright {kind} --help` says what it takes."
            return replace(fault, what=fault.what.replace(f": {part} ", f": {option} ", 1),
                           remedy=remedy)  # fmt: skip
    return fault
