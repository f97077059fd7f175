"""Signatures on printed limits as drafts, brought to the door."""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.cli.decisions import Decided, key_of
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.ledger.draft import Decision
from beadwright.plant.door import now_ms
from beadwright.plant.moment import moment
from beadwright.plant.signing import SIGNED, WITHDRAWN, signatures
from beadwright.standards import row as limit

__all__ = ["sign", "withdraw"]

_Read = tuple[str, str, str]
"""The figure with its unit, where it stands, a note."""


def sign(session: Session, row: str, read: _Read, by: str) -> Decided:
    """Sign a printed limit.

    Raises
    ------
    Misuse
        If the figure or its place in the paid text is not stated.
    """
    value, page, note = read
    if not value.strip() or not page.strip():
        message = "state --value and --page: a signature says what was read, and where it stands"
        raise Misuse(message)
    unit = value.strip().lstrip("+-.,0123456789")
    number = value.strip().removesuffix(unit)
    if not unit.strip():
        message = f"--value {number} has no unit: write the unit, such as {_with_unit(row, number)}"
        raise Misuse(message)
    body = {"value": number, "unit": unit.strip(), "page": page, "note": note}
    return _post(session, SIGNED, row, body, by)


def _with_unit(row: str, figure: str) -> str:
    """Give a figure with the unit of its row; of a row that nobody knows, with some unit."""
    try:
        return f'"{figure} {limit(row).normative.unit}"'
    except Misuse:
        return '"1.35 lb/ft3"'


def withdraw(session: Session, row: str, reason: str, by: str) -> Decided:
    """Withdraw the signature on a printed limit.

    Raises
    ------
    Misuse
        If none stands.
    """
    plant = session.plant()
    if row not in signatures(plant.no, plant.zone):
        message = f"no signature stands on {row!r}: see `limits`"
        raise Misuse(message)
    return _post(session, WITHDRAWN, row, {"reason": reason}, by)


def _post(session: Session, kind: str, row: str, body: Mapping[str, object], by: str) -> Decided:
    plant = session.plant()
    who, at_ms = person_of(plant.code, by), moment(plant)
    draft = Decision(key_of(kind, now_ms()), at_ms, kind, row, body, by=who)
    return Decided(row, (who,), session.post(plant, draft).seq)
