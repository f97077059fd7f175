"""A scope narrowed by evidence: which block lots may be left out, and what that assumes.

Read :class:`Narrowing` and :func:`left_out`. Nothing is narrowed unless somebody says so; a hold is
on what a recall starts from, and reaches what is left out as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.plant.release import assess
from beadwright.plant.verdicts import LimitResult
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED

__all__ = ["WHOLE", "Narrowing", "judged_by", "left_out", "narrowing"]


@dataclass(frozen=True, slots=True)
class Narrowing:
    """By what a scope is narrowed; by nothing where it is left as it is.

    A share that is none below one, and a name under which nothing is read, are refused (Misuse).
    """

    below: float = 0.0
    """Largest share: lots of which at most so much can be of the starts are left out."""
    tested: str = ""
    """A characteristic: lots whose own readings of it meet every limit on it are left out."""

    def __post_init__(self) -> None:
        """Refuse what cannot be meant."""
        if not 0 <= self.below < 1:
            message = f"a share is between 0 and 100 per cent, and {100 * self.below:g} is not"
            raise Misuse(message)
        if self.tested and self.tested not in {*CHARACTERISTICS, *DERIVED}:
            message = f"nothing is read under the name {self.tested!r}: one is called density"
            raise Misuse(message)

    @property
    def assumes(self) -> tuple[str, ...]:
        """What it takes for granted, a sentence for each way of narrowing."""
        said = []
        if self.below:
            said.append(
                f"Left out are lots of which at most {100 * self.below:g} % can be of it, by the"
                " bounds. That assumes that the record is true, with its weighings as far off as"
                " the plant says, and that so little of it does no harm."
            )
        if self.tested:
            name = self.tested.replace("_", " ")
            said.append(
                f"Left out are lots whose own readings of {name} meet every limit on it. That"
                " assumes that what is wrong shows there, in every block that holds some of it,"
                " and that the blocks read stand for those that were not."
            )
        return tuple(said)

    @classmethod
    def of_body(cls, body: Mapping[str, object]) -> Narrowing:
        """Read it as it stands in a recall's first entry."""
        return cls(
            float(str(body.get("narrowed_below") or 0)), str(body.get("narrowed_tested", ""))
        )

    @property
    def body(self) -> dict[str, object]:
        """Write it into a recall's first entry: nothing where it narrows nothing."""
        said: dict[str, object] = {"narrowed_below": f"{self.below:g}"} if self.below else {}
        return said | ({"narrowed_tested": self.tested} if self.tested else {})


WHOLE = Narrowing()
"""Nothing is left out."""


def narrowing(percent: str, tested: str) -> Narrowing:
    """Read by what a scope is narrowed, as somebody writes it: "0.5" per cent, a characteristic.

    Raises
    ------
    Misuse
        If it is no number, or cannot be meant.
    """
    try:
        below = float(percent.strip().removesuffix("%") or 0) / 100
    except ValueError as error:
        message = f"{percent!r} is no per cent: write it as 0.5"
        raise Misuse(message) from error
    return Narrowing(below, tested)


def judged_by(plant_no: int) -> tuple[str, ...]:
    """Give the characteristics that the plant has a limit on, by name."""
    in_force = settings.load(plant_no)
    bodies = (
        body for name in in_force.names("limit") for _, body in in_force.versions("limit", name)
    )
    return tuple(sorted({str(body.get("characteristic", "")) for body in bodies} - {""}))


def left_out(plant_no: int, most: Mapping[str, float], by: Narrowing) -> dict[str, str]:
    """Say of which block lots it leaves out, and why; ``most`` is the largest share of each."""
    why = {
        code: f"at most {100 * share:.2g} %"
        for code, share in most.items()
        if by.below and share <= by.below
    }
    if by.tested:
        asked = [code for code in most if code not in why]
        for lot in assess(plant_no, asked, way_back=False).lots if asked else ():
            some = [one for one in lot.limits if one.limit.characteristic == by.tested]
            if some and all(one.finding == "met" for one in some):
                why[lot.lot] = _met(some)
    return why


def _met(some: Iterable[LimitResult]) -> str:
    return "; ".join(f"{one.limit.name} met by {one.value} ({one.n} read)" for one in some)
