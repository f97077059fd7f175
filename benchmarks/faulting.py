"""What the tool shows of each fault that a simulated plant can have, seed by seed.

Read :data:`_EXPECTED` first: what each fault is looked for in. Each plant of two weeks is imported
by the real door; the fault begins on the eighth day, and a plant of the same seed without it
stands beside it. Where a chart is what should find it, the series must signal after it began and
not in the other plant. Then every bag that came before or while it was at work is recalled:
where the record itself is wrong a recall may miss lots, and how many is said.
"""

from __future__ import annotations

import os
import re
import sys
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from beadwright.site import configure
from benchmarks import Result
from benchmarks._resumed import resumed

if TYPE_CHECKING:
    from beadwright.demo.simulated import Parameters
    from beadwright.demo.simulated import Plant as Simulated
    from beadwright.plant.opening import Plant
    from tests.simulated.showing import Shown

__all__ = ["Seen", "run"]

_SEEDS = (7001, 7002, 7003)
_DAYS, _SWEPT, _BEGINS = 14, 5, 8
_DAY_MS = 86_400_000
_CODES = ("TARNBROOK", "TARNBROOK-2")
_LATE_UNTIL = _BEGINS * 24 * 60
"""Late entries are looked at when the eighth day ends, and again when all was entered."""
_BAGS = 12
_LOOKED = (1.5, 3.0, 5.0, _DAYS - _BEGINS + 1.0)
"""Days after a fault began at which charts are looked at; all else is looked at at the end."""
_BAG = re.compile(r"(?:F1|F2|PK1)-[0-9]{4}")
_KEPT = Path(__file__).parent.parent / "build" / "faulting.jsonl"

_CHART, _CODE, _FINDING, _LATER, _NOWHERE = "chart", "nonconformity", "finding", "recall", ""
_BY_CHANCE = "by chance"
"""A nonconformity that comes in some plants and not in others: none is asked for."""

_EXPECTED: Mapping[str, tuple[str, str]] = {
    "weak_bead_lot": (_CHART, "compressive_resistance"),
    "wrong_grade": (_CODE, "wrong_grade"),
    "short_ageing": (_CODE, "too_fresh"),
    "over_steaming": (_CHART, "cup_hot.E1"),
    "worn_mould": (_CHART, "length_24h.FB6S"),
    "misaligned_ties": (_CHART, "share_defective_ties"),
    "missing_ties": (_FINDING, "ties_short"),
    "drifting_scale": (_FINDING, "scale_drifts"),
    "reclaim_into_silo": (_CODE, "reclaim_in_block"),
    "forgotten_entry": (_CODE, "more_than_held"),
    "late_entry": (_LATER, "lots missed before it was entered"),
    "mixed_labels": (_BY_CHANCE, "more_than_held"),
    "swapped_bundles": (_NOWHERE, ""),
    "reclaim_unseen": (_NOWHERE, ""),
    "unswept": (_NOWHERE, ""),
    "pentane_capture_down": (_NOWHERE, ""),
}
"""What each fault should be seen in; nothing, where the record looks as if all were well."""


@dataclass(frozen=True)
class Seen:
    """What was seen of one fault in one plant."""

    fault: str
    seed: int
    told: int
    """How often the answer sheet says that it happened."""
    found: bool
    where: str
    affected: int
    missed: int
    shares: int
    outside: int
    """True shares of lots in scope that lie outside their bounds."""


def run() -> list[Result]:
    """Look for every fault in three plants each, in two processes."""
    return _results(_each(_EXPECTED, _SEEDS, 2))


def _each(faults: Iterable[str], seeds: Sequence[int], processes: int) -> list[Seen]:
    """Look for each in each; those done before by the same program are not done again."""
    jobs = [(fault, seed) for fault in faults for seed in seeds]
    found = [Seen(**one) for one in resumed(_KEPT, _of_seed, jobs, processes)]
    return sorted(found, key=lambda one: jobs.index((one.fault, one.seed)))


def _of_seed(fault: str, seed: int) -> Seen:
    with tempfile.TemporaryDirectory(prefix="beadwright-faulting-") as kept:
        os.environ["BEADWRIGHT_STORE"] = str(Path(kept) / "store.sqlite3")
        configure()
        return _looked(Path(kept), fault, seed)


def _with(fault: str) -> Parameters:
    from beadwright.demo.simulated import load  # noqa: PLC0415 - after the set-up

    usual = load().changed("plant", days_a_month=_DAYS).changed("silos", sweep_days=[_SWEPT])
    if fault == "forgotten_entry":
        return usual.changed("people", forget=0.03)
    if fault == "late_entry":
        return usual.changed("people", late=0.1)
    day = _SWEPT + 1 if fault == "unswept" else _BEGINS
    return usual.changed("faults", **{fault: {"day": day}}) if fault else usual


def _looked(kept: Path, fault: str, seed: int) -> Seen:
    from django.core.management import call_command  # noqa: PLC0415 - after the set-up

    from beadwright.demo.simulated import simulate  # noqa: PLC0415
    from tests.simulated.scoring import read_truth  # noqa: PLC0415
    from tests.simulated.showing import recalled  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    plants = [
        simulate(seed, 1, _with(one).changed("plant", code=code))
        for one, code in ((fault, _CODES[0]), ("", _CODES[1]))
    ]
    early = _LATE_UNTIL if fault == "late_entry" else None
    opened = [_imported(one, kept / str(i), early) for i, one in enumerate(plants)]
    bags = _bags(plants[0], read_truth(kept / "0"), fault)
    known = _lots(plants[0], 0, _LATE_UNTIL)
    before = recalled(kept / "0", bags, known if early else None)
    if early:
        _imported(plants[0], kept / "0", None)
    found, where = _in_days(fault, opened, _first_ms(plants[0].parameters))
    after = recalled(kept / "0", bags)
    if early:
        found = after.missed == 0
        where = f"{before.missed} of {before.affected} missed until they were entered"
    told = sum(one.kind == fault for one in plants[0].faults)
    return Seen(
        fault=fault,
        seed=seed,
        told=told,
        found=found,
        where=where,
        affected=after.affected,
        missed=after.missed,
        shares=after.shares,
        outside=after.outside,
    )


def _in_days(fault: str, opened: Sequence[Plant], first_ms: int) -> tuple[bool, str]:
    """Say whether a fault was seen, in what, and in how many days."""
    from tests.simulated.showing import shown  # noqa: PLC0415

    begun_ms = first_ms + (_BEGINS - 1) * _DAY_MS
    for days in _LOOKED if _EXPECTED[fault][0] == _CHART else _LOOKED[-1:]:
        there, usual = (shown(one, begun_ms + round(days * _DAY_MS)) for one in opened)
        found, where = _found(fault, (there, usual), begun_ms)
        if found:
            return True, f"{where} within {days:g} days".strip()
    return False, ""


def _imported(plant: Simulated, folder: Path, until: int | None) -> Plant:
    from beadwright.demo.simulated import write_simulated  # noqa: PLC0415
    from beadwright.interop.importing import import_files  # noqa: PLC0415
    from beadwright.plant.opening import open_plant  # noqa: PLC0415

    write_simulated(plant, folder, until)
    code = plant.parameters.text("plant", "code")
    report = import_files([folder], plant=code)
    assert not report.refused, f"{plant.seed}: {report.faults[:1]} {report.questions[:1]}"
    return open_plant(code)


def _bags(plant: Simulated, truth: Mapping[str, Any], fault: str) -> list[str]:
    """Bags that the fault is about; else those in lots of its first two days."""
    named = {bag for one in plant.faults if one.kind == fault for bag in _BAG.findall(one.what)}
    lots = _lots(plant, (_BEGINS - 1) * 24 * 60, (_BEGINS + 1) * 24 * 60) & truth["lots"].keys()
    found = named or {bag for lot in lots for bag in truth["lots"][lot] if _BAG.fullmatch(bag)}
    return sorted(found)[:: 1 + len(found) // _BAGS]


def _lots(plant: Simulated, since: int, until: int) -> set[str]:
    """Lots of which some was moulded in a time."""
    rows = [row for row in plant.rows["mould_runs"] if since <= row.written < until]
    return {str(getattr(row, "lot", "")) for row in rows}


def _first_ms(parameters: Parameters) -> int:
    first = datetime.combine(parameters.first, time(7), UTC)  # midnight in Phoenix
    return int(first.timestamp() * 1000)


def _found(fault: str, both: tuple[Shown, Shown], since: int) -> tuple[bool, str]:
    """Say whether a fault was seen, and in what: beside it the plant without it."""
    (how, what), (there, usual) = _EXPECTED[fault], both
    if how in (_CODE, _BY_CHANCE):
        more = there.codes[what] - usual.codes[what]
        return more > 0, f"{more} more {what}"
    if how == _FINDING:
        about = sorted({about for kind, about in there.findings - usual.findings if kind == what})
        return bool(about), ", ".join(about[:3])
    new = {key for key, at in there.signals.items() if at >= since}
    new -= {key for key, at in usual.signals.items() if at >= since}
    if how == _CHART:
        keys = sorted(key for key in new if key.startswith(what))
        return bool(keys), ", ".join(keys[:3])
    return False, ""


def _results(every: Sequence[Seen]) -> list[Result]:
    found = []
    for fault, (how, what) in _EXPECTED.items():
        some = [one for one in every if one.fault == fault and one.told]
        if not some:
            continue
        seen, affected = sum(one.found for one in some), sum(one.affected for one in some)
        missed = sum(one.missed for one in some)
        outside, shares = sum(one.outside for one in some), sum(one.shares for one in some)
        words = f"{how} {what}" if how else "not seen: the record looks as if all were well"
        note = f"{words}; recalls miss {missed:,} of {affected:,} lots, and {outside:,} of"
        note += f" {shares:,} true shares lie outside their bounds. {some[0].where}".rstrip()
        target = len(some) if how not in (_BY_CHANCE, _NOWHERE) else None
        label = f"{fault.replace('_', ' ')}: plants in which it shows"
        found.append(Result(label, seen, "plants", target, None, "higher", note))
    return found


if __name__ == "__main__":
    _faults = sys.argv[2:] or _EXPECTED
    for _one in _results(_each(_faults, _SEEDS[: int(sys.argv[1])], 2)):
        print(_one.met, _one.name, _one.value, _one.note)
