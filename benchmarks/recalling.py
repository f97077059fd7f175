"""How often a recall is right, on simulated plants that know what is truly in every lot.

Read :func:`run` first. Each plant-month has a seed that no test uses and a store of its own: it is
imported by the real door, and recalled and traced as a person would. Each month is written to
build/recalling.jsonl as it is done, and a run that was cut off goes on from there.
``python -m benchmarks.recalling 4`` runs four months only, in that many processes: 1, or a second
number. ``python -m benchmarks.recalling kept`` runs none, and writes the figures of those done.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from beadwright.site import configure
from benchmarks import Result
from benchmarks._kept import keep
from benchmarks._resumed import done, resumed

if TYPE_CHECKING:
    from tests.simulated.scoring import Score

__all__ = ["Month", "right", "run", "scored"]

_MONTHS = 200
_PROCESSES = 2
_FIRST_SEED = 20_001
"""Tests use seeds below 1000; those from 5001 on were looked at while the bounds were written."""

_BEADS, _TIES, _LOTS = 10, 5, 30
"""Bags and cartons recalled, and lots traced back, of each month."""

_KEPT = Path(__file__).parent.parent / "build" / "recalling.jsonl"


@dataclass(frozen=True)
class Month:
    """What was wrong in one plant-month; every second one has exact scales."""

    seed: int
    exact: bool
    sources: int
    affected: int
    missed: int
    ratio: float
    """Greatest mass of a scope over that of the clerk who knows the sheets alone."""
    shares: int
    outside: int
    """True shares outside their bounds, by more than the rounding of masses."""
    furthest: float
    width: float
    """Mean width of the bounds."""
    open_kg: float
    """What a closing account leaves without a name."""
    unaccounted: float
    """The greatest share of a start that an account calls unaccounted for."""
    beyond: float
    """The greatest mass so called, over what explains it."""
    seconds: float


def run() -> list[Result]:
    """Score 200 plant-months in two processes."""
    return _results(_months(_MONTHS, _PROCESSES))


def _months(count: int, processes: int) -> list[Month]:
    found = [Month(**one) for one in resumed(_KEPT, _month, _jobs(count), processes)]
    return sorted(found, key=lambda month: month.seed)


def _jobs(count: int) -> list[tuple[int, bool]]:
    """Seeds, and whether their scales are exact."""
    return [(_FIRST_SEED + i, i % 2 == 0) for i in range(count)]


def _month(seed: int, exact: bool) -> Month:  # noqa: FBT001 - submitted by place
    """Simulate a month, import it into a store of its own, and ask."""
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="beadwright-recalling-") as kept:
        os.environ["BEADWRIGHT_STORE"] = str(Path(kept) / "store.sqlite3")
        configure()
        return _scored(Path(kept) / "sheets", seed, begun, exact=exact)


def _scored(folder: Path, seed: int, begun: float, *, exact: bool) -> Month:
    from django.core.management import call_command  # noqa: PLC0415 - after the set-up

    from beadwright.demo.simulated import load, simulate, write_simulated  # noqa: PLC0415
    from beadwright.interop.importing import import_files  # noqa: PLC0415
    from tests.simulated.scoring import read_truth, score  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    parameters = load().changed("scales", exact=exact)
    write_simulated(simulate(seed, 1, parameters), folder)
    report = import_files([folder])
    assert not report.refused, f"seed {seed}: {report.faults[:1]} {report.questions[:1]}"
    truth, draw = read_truth(folder), random.Random(seed)
    sources = sorted({source for mix in truth["lots"].values() for source in mix})
    ties = [one for one in sources if one[0] == "T"]
    beads = [one for one in sources if one[0] != "T"]
    asked = [
        *draw.sample(beads, min(_BEADS, len(beads))),
        *draw.sample(ties, min(_TIES, len(ties))),
    ]
    gain = 0.0 if exact else parameters.number("scales", "gain")
    found = score(folder, asked, draw.sample(sorted(truth["lots"]), _LOTS), gain)
    return scored(found, seed, begun, exact=exact)


def scored(found: Score, seed: int, begun: float, *, exact: bool) -> Month:
    """Say what was found in one plant, as a month is kept."""
    from tests.simulated.scoring import ROUNDING  # noqa: PLC0415 - after the set-up

    return Month(
        seed=seed,
        exact=exact,
        sources=found.sources,
        affected=found.affected,
        missed=len(found.missed),
        ratio=max(found.ratios),
        shares=found.shares,
        outside=sum(off > ROUNDING for _, _, off in found.outside),
        furthest=found.furthest,
        width=sum(found.widths) / len(found.widths),
        open_kg=found.open_kg,
        unaccounted=max(found.unaccounted),
        beyond=max(found.beyond),
        seconds=time.perf_counter() - begun,
    )


def _results(months: Sequence[Month]) -> list[Result]:
    found: list[Result] = []
    for exact, name in ((True, "exact scales"), (False, "real scales")):
        some = [one for one in months if one.exact is exact]
        if some:
            found += right(name, some, f"{len(some)} plant-months")
    took = sum(one.seconds for one in months) / len(months)
    name, note = "a simulated month, imported and asked", f"{len(months)} of {_MONTHS} plant-months"
    return [*found, Result(name, round(took, 1), "s", None, None, "lower", note)]


def right(name: str, some: Sequence[Month], of: str) -> Iterable[Result]:
    """Say what was wrong with plants of one kind; ``of`` is how many of what they are."""
    shares, affected = (sum(getattr(one, what) for one in some) for what in ("shares", "affected"))
    furthest = max(one.furthest for one in some)
    width = sum(one.width * one.shares for one in some) / shares
    yield Result(
        f"affected lots outside the scope, {name}", sum(one.missed for one in some), "lots", 0,
        None, "lower", f"of {affected:,} in {sum(one.sources for one in some):,} recalls; {of}",
    )  # fmt: skip
    yield Result(
        f"mass of a scope over the clerk's, {name}", round(max(one.ratio for one in some), 4),
        "times", 1.05, None, "lower", "the greatest of any recall",
    )  # fmt: skip
    yield Result(
        f"true shares outside their bounds, {name}", sum(one.outside for one in some), "shares", 0,
        None, "lower", f"of {shares:,}; by {furthest:.2g} at most; bounds {width:.2f} wide",
    )  # fmt: skip
    yield Result(
        f"what an account leaves unnamed, {name}",
        round(1e6 * max(one.open_kg for one in some), 3), "mg", 1, None, "lower", "the greatest",
    )  # fmt: skip
    unaccounted = 100 * max(one.unaccounted for one in some)
    yield Result(
        f"unaccounted for, over what explains it, {name}",
        round(max(one.beyond for one in some), 3), "times", 1, None, "lower",
        f"the greatest of any recall; {unaccounted:.2g} % of a start at most",
    )  # fmt: skip


if __name__ == "__main__":
    if sys.argv[1:] == ["kept"]:
        keep(
            "recalling",
            _results([Month(**one) for one in done(_KEPT, _month, _jobs(_MONTHS)).values()]),
        )
    else:
        _wanted = [int(text) for text in sys.argv[1:]] or [_MONTHS]
        for _one in _results(_months(_wanted[0], _wanted[1] if _wanted[1:] else 1)):
            print(_one.met, _one.name, _one.value, _one.unit, _one.note)
