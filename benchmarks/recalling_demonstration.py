"""How often a recall is right, on demonstrations that know what is truly in every lot.

Read :func:`run` first. Each has a seed that no test uses and a store of its own; asked is of every
bag and carton, and of every lot. What is done stays in build/recalling_demonstration.jsonl.
"""

from __future__ import annotations

import os
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from beadwright.site import configure
from benchmarks import Result
from benchmarks._resumed import resumed
from benchmarks.recalling import Month, right, scored

__all__ = ["Weeks", "run"]

_PLANTS = 40
_PROCESSES = 2
_FIRST_SEED = 30_001
"""Tests use other seeds; 1 to 12 were looked at while the replay was written."""

_KEPT = Path(__file__).parent.parent / "build" / "recalling_demonstration.jsonl"


@dataclass(frozen=True)
class Weeks:
    """What was wrong in one demonstration of three weeks."""

    found: Month
    unseen: int
    """Lots and bundles that are missed because nobody entered a run of their beads."""
    unknown: int
    """Shares outside their bounds for that reason, or because ties are not in that should be."""


def run() -> list[Result]:
    """Score 40 demonstrations in two processes."""
    jobs = [(_FIRST_SEED + i,) for i in range(_PLANTS)]
    done = list(resumed(_KEPT, _weeks, jobs, _PROCESSES))
    months = [Month(**one["found"]) for one in done]
    name, of = "demonstration", f"{len(months)} plants of three weeks"
    unknown = sum(one["unknown"] for one in done)
    took = sum(one.seconds for one in months) / len(months)
    return [
        *right(name, months, of),
        Result(
            f"outside the scope, for nobody entered the run, {name}",
            sum(one["unseen"] for one in done), "lots", None, None, "lower",
            f"and {unknown} shares outside, some for ties that are not in",
        ),
        Result(f"a {name}, imported and asked", round(took, 1), "s", None, None, "lower", of),
    ]  # fmt: skip


def _weeks(seed: int) -> Weeks:
    """Write a demonstration, import it into a store of its own, and ask."""
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="beadwright-recalling-") as kept:
        os.environ["BEADWRIGHT_STORE"] = str(Path(kept) / "store.sqlite3")
        configure()
        return _asked(Path(kept) / "sheets", seed, begun)


def _asked(folder: Path, seed: int, begun: float) -> Weeks:
    from django.core.management import call_command  # noqa: PLC0415 - after the set-up

    from beadwright.demo import write_plant  # noqa: PLC0415
    from beadwright.demo.scales import SPREAD  # noqa: PLC0415
    from beadwright.interop.importing import import_files  # noqa: PLC0415
    from tests.simulated.scoring import read_truth, score  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    write_plant(seed, folder)
    report = import_files([folder])
    assert not report.refused, f"seed {seed}: {report.faults[:1]} {report.questions[:1]}"
    truth = read_truth(folder)
    sources = sorted({source for mix in truth["lots"].values() for source in mix})
    found = score(folder, sources, sorted(truth["lots"]), SPREAD)
    return Weeks(scored(found, seed, begun, exact=False), len(found.unseen), len(found.unknown))
