"""The record of each plant verified, with what the projections say of its end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from beadwright.cli.session import Session
from beadwright.errors import Misuse, RecordBroken, StoreUnreachable
from beadwright.ledger import lots, soundness
from beadwright.ledger.chain import Break
from beadwright.plant.attached import Damaged, damaged
from beadwright.plant.chain_verified import head_of, verify_chain
from beadwright.plant.opening import projections_differing, rebuild_plant

__all__ = ["Verified", "VerifiedPlant", "rebuilt", "verified", "verified_plants"]


@dataclass(frozen=True, slots=True)
class VerifiedPlant:
    """One plant's record: its head, and every place where it does not hold."""

    code: str
    head: tuple[int, str]
    breaks: tuple[Break, ...]
    differing: tuple[str, ...] = ()
    """Projections that do not say what the record says; empty where they were not compared."""
    compared: bool = False
    damaged: tuple[Damaged, ...] = ()
    """Attachments that are missing or altered; not looked for where only the chain was asked."""

    @property
    def holds(self) -> bool:
        """Whether nothing was found wrong."""
        return not (self.breaks or self.differing or self.damaged)


@dataclass(frozen=True, slots=True)
class Verified:
    """All plants asked about, and triggers that the store lacks."""

    plants: tuple[VerifiedPlant, ...]
    missing: tuple[str, ...]
    held_against: tuple[int, str] | None
    damage: tuple[str, ...] = ()
    """What is wrong with the database file itself; not looked for where only the chain was asked.
    """

    @property
    def holds(self) -> bool:
        """Whether nothing was found wrong with a record, nor with the file it is in."""
        return not self.damage and all(one.holds for one in self.plants)


def verified(session: Session, head: str = "", *, chain_only: bool = False) -> Verified:
    """Verify the plants of a session, whatever state their store is in.

    Raises
    ------
    Misuse
        If the head is none, or the store holds several plants and none was named beside it.
    """
    printed = head_of(head) if head else None
    state = session.stores.look(session.store)
    if state.new:
        message = f"{state.where} holds no record yet: import a plant's files into it first."
        raise StoreUnreachable(message)
    if chain_only:
        return Verified(tuple(_chains(session, printed)), state.missing, printed)
    damage = soundness.damage(indexes=True)
    found: list[VerifiedPlant] = []
    with soundness.noting(damage):
        chains = _chains(session, printed)
        found.extend(one if damage else _looked_over(one) for one in chains)
    return Verified(tuple(found), state.missing, printed, tuple(damage))


def _chains(session: Session, printed: tuple[int, str] | None) -> Iterator[VerifiedPlant]:
    codes = _codes(session)
    if printed is not None and len(codes) > 1:
        message = "say with --plant which plant the head is of: the store holds several"
        raise Misuse(message)
    yield from (_verified(code, printed) for code in codes)


def _codes(session: Session) -> tuple[str, ...]:
    codes = lots.plants()
    if session.plant_code:
        lots.plant_number(session.plant_code)
        return (session.plant_code,)
    return codes


def _verified(code: str, printed: tuple[int, str] | None) -> VerifiedPlant:
    found = verify_chain(code, printed)
    return VerifiedPlant(code, found.head, found.breaks)


def _looked_over(one: VerifiedPlant) -> VerifiedPlant:
    """Look at what the record does not hold itself: projections, where it verifies, and files."""
    looked = replace(one, damaged=damaged(lots.plant_number(one.code)))
    if one.breaks:
        return looked
    return replace(looked, differing=projections_differing(one.code), compared=True)


def verified_plants(session: Session) -> tuple[str, ...]:
    """Give the plants of a session, whose records verify.

    Raises
    ------
    RecordBroken
        If one does not.
    """
    codes = session.plants()
    for code in codes:
        for one in _verified(code, None).breaks:
            what = f"{one.what} (plant {code}). Nothing was done: projections would hide it."
            raise RecordBroken(one.seq, what)
    return codes


def rebuilt(code: str) -> int:
    """Make a plant's projections again; gives the number of entries read."""
    return rebuild_plant(code)
