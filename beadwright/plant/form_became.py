"""What a form that was keyed became: a step, readings, or both; and who may correct it in place.

Read :func:`became`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger.said import posted
from beadwright.plant.access import Role, may_restate
from beadwright.plant.opening import Plant

__all__ = ["Became", "became"]


@dataclass(frozen=True, slots=True)
class Became:
    """What is in the record under the key of a form."""

    step: bool
    readings: bool

    @property
    def recorded(self) -> bool:
        """Whether it became anything."""
        return self.step or self.readings

    def may_be_corrected_by(self, role: Role) -> bool:
        """Whether a role may correct all that it became."""
        return may_restate(role, step=self.step, readings=self.readings)


def became(plant: Plant, key: str) -> Became:
    """Say what the form of a key became; ``key`` is that of its step."""
    step, readings = (posted(plant.code, plant.no, one) for one in (key, f"{key}/readings"))
    return Became(step is not None, readings is not None)
