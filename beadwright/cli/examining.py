"""The store looked over: its engine, its safeguards, and how much each plant holds."""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.cli.session import Session, StoreState
from beadwright.ledger import heads, holds, lots, soundness
from beadwright.ledger import rebuild as record
from beadwright.ledger.draft import Material

__all__ = ["Examined", "ExaminedPlant", "examined"]


@dataclass(frozen=True, slots=True)
class ExaminedPlant:
    """How much a plant's record holds."""

    code: str
    head: tuple[int, str]
    projected: int
    """Entry up to which the projections were made."""
    lots: int
    nonconformities: int
    open: int
    """Nonconformities that no concession covers."""


@dataclass(frozen=True, slots=True)
class Examined:
    """A store and its plants."""

    state: StoreState
    plants: tuple[ExaminedPlant, ...]
    damage: tuple[str, ...] = ()
    """What is wrong with the database file itself."""

    @property
    def is_sound(self) -> bool:
        """Whether the store may be used."""
        state = self.state
        return not (self.damage or state.new or state.pending or state.missing)


def examined(session: Session, *, mend: bool) -> Examined:
    """Look a store over; with ``mend``, make or lay what it lacks first."""
    stores = session.stores
    state = stores.mend(session.store) if mend else stores.look(session.store)
    damage = soundness.damage()
    found: list[ExaminedPlant] = []
    with soundness.noting(damage):
        codes = () if state.new or state.pending else lots.plants()
        found.extend(_examined(code) for code in codes if session.plant_code in {"", code})
    return Examined(state, tuple(found), tuple(damage))


def _examined(code: str) -> ExaminedPlant:
    no = lots.plant_number(code)
    found = holds.nonconformities(no)
    kept = heads.look(code)
    return ExaminedPlant(
        code=code,
        head=record.head(code),
        projected=kept.seq if kept is not None else 0,
        lots=sum(len(lots.of_kind(no, kind)) for kind in Material),
        nonconformities=len(found),
        open=sum(not one.closed for one in found),
    )
