"""What the reader asks of the record, and what is said of a lot or a setting there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from beadwright.ledger.draft import Decision, Draft, Material, ReadingsDraft, StepDraft
from beadwright.plant.kept_curves import CurveRead

__all__ = ["EmptyRecord", "Known", "KnownLot", "KnownSetting", "Made", "Person"]


@dataclass(frozen=True, slots=True)
class KnownLot:
    """A lot that is already introduced."""

    kind: Material
    unit_mg: int = 0
    """Mass of one piece by the newest version of the introducing step; 0: accounted by mass."""
    product: str = ""
    born: str = ""
    """Client key of the introducing step (a place with content: of its setting)."""


@dataclass(frozen=True, slots=True)
class KnownSetting:
    """One dated version of a setting."""

    since: int
    body: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Person:
    """Who stands behind initials: kept in a table outside the record."""

    id: str
    initials: str
    name: str
    role: str


class Made(NamedTuple):
    """One mould run's part of a lot."""

    started: int
    ended: int
    good: int
    """Pieces it brought."""
    mould: str = ""
    """The mould in the press."""


class Known(Protocol):
    """Questions to the record; every answer may be kept for as long as one reading lasts."""

    def lot(self, code: str) -> KnownLot | None:
        """Return the lot of that code, places with content included."""
        ...

    def settings(self, topic: str, name: str) -> Sequence[KnownSetting]:
        """Return every dated version of a setting, oldest first."""
        ...

    def person(self, initials: str) -> str | None:
        """Return the id of the person who signs with these initials."""
        ...

    def posted(self, key: str) -> Draft | None:
        """Return what was first posted under a client key."""
        ...

    def step(self, key: str, before: str = "") -> StepDraft | None:
        """Return the newest version of a step.

        With ``before``, the version that the correction of that client key restated; None where
        no such correction is recorded.
        """
        ...

    def users(self, code: str) -> Sequence[StepDraft]:
        """Return the newest versions of the steps that took pieces of a lot."""
        ...

    def made(self, codes: Iterable[str]) -> Mapping[str, Mapping[str, Made]]:
        """Return the mould runs that brought pieces of lots, by lot and client key."""
        ...

    def readings(self, key: str) -> ReadingsDraft | None:
        """Return a readings draft as it was posted, voided since or not."""
        ...

    def expansions(self, run: str) -> Sequence[StepDraft]:
        """Return the expansion steps of a run as they were first posted."""
        ...

    def receivers(self) -> frozenset[str]:
        """Return everybody whom anything was shipped to."""
        ...

    def names(self, topic: str) -> Iterable[str]:
        """Return every name that a topic of the settings has."""
        ...

    def decisions(self, kind: str, about: str) -> Sequence[Decision]:
        """Return the decisions of a kind about something, in the order of the record."""
        ...

    def zone(self) -> str:
        """Return the plant's time zone; empty where it is not known."""
        ...

    def curve_read(self, sha256: str) -> Sequence[CurveRead]:
        """Return the results that were read from the same specimen of the same file."""
        ...

    def specimens(self, names: Iterable[str]) -> Mapping[str, Sequence[str]]:
        """Return the lots that readings name each specimen with; a name may be missing."""
        ...


class EmptyRecord:
    """A record that holds nothing yet."""

    def zone(self) -> str:
        """Know no zone."""
        return ""

    def curve_read(self, sha256: str) -> Sequence[CurveRead]:  # noqa: ARG002
        """Know no result."""
        return ()

    def specimens(self, names: Iterable[str]) -> Mapping[str, Sequence[str]]:  # noqa: ARG002
        """Know no specimen."""
        return {}

    def lot(self, code: str) -> KnownLot | None:  # noqa: ARG002 - the protocol's question
        """Know no lot."""
        return None

    def settings(self, topic: str, name: str) -> Sequence[KnownSetting]:  # noqa: ARG002
        """Know no setting."""
        return ()

    def person(self, initials: str) -> str | None:  # noqa: ARG002
        """Know nobody."""
        return None

    def posted(self, key: str) -> Draft | None:  # noqa: ARG002
        """Know no draft."""
        return None

    def step(self, key: str, before: str = "") -> StepDraft | None:  # noqa: ARG002
        """Know no step."""
        return None

    def users(self, code: str) -> Sequence[StepDraft]:  # noqa: ARG002
        """Know no steps."""
        return ()

    def made(self, codes: Iterable[str]) -> Mapping[str, Mapping[str, Made]]:  # noqa: ARG002
        """Know no runs."""
        return {}

    def readings(self, key: str) -> ReadingsDraft | None:  # noqa: ARG002
        """Know no readings."""
        return None

    def expansions(self, run: str) -> Sequence[StepDraft]:  # noqa: ARG002
        """Know no run."""
        return ()

    def receivers(self) -> frozenset[str]:
        """Know no receiver."""
        return frozenset()

    def names(self, topic: str) -> Iterable[str]:  # noqa: ARG002 - the protocol's question
        """Know no name."""
        return ()

    def decisions(self, kind: str, about: str) -> Sequence[Decision]:  # noqa: ARG002
        """Know no decision."""
        return ()
