"""Holds speed: each module measures one thing, with the bare floor beside it.

Read :class:`Result` first. A module joins by having ``run() -> list[Result]``; ``./bench`` finds
it, prints the table and writes its file under benchmarks/last/.
"""

from dataclasses import dataclass

__all__ = ["Result"]


@dataclass(frozen=True)
class Result:
    """One figure: what was reached, what is asked, and what the bare floor does.

    `target` and `baseline` are in the figure's unit; `better` says which way is better.
    """

    name: str
    value: float
    unit: str
    target: float | None = None
    baseline: float | None = None
    better: str = "higher"
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a direction that is neither of the two."""
        if self.better not in ("higher", "lower"):
            message = f"better is {self.better!r}: it must be 'higher' or 'lower'"
            raise ValueError(message)

    @property
    def met(self) -> bool | None:
        """Whether the target is met; None where there is no target."""
        if self.target is None:
            return None
        return self.value >= self.target if self.better == "higher" else self.value <= self.target

    @property
    def ratio(self) -> float | None:
        """The figure over the bare floor; None where there is no floor."""
        return self.value / self.baseline if self.baseline else None
