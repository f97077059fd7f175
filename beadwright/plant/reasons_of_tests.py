"""Reasons that come of the plan and of instruments, in plain sentences.

Read :func:`of_tests` and :func:`of_aside`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from beadwright.plant.assessment import REASONS, Reason
from beadwright.plant.calibrations import Aside
from beadwright.plant.plan import LOT, PERIODIC, TYPE
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.verdicts import LimitResult

__all__ = ["limits_of_tests", "of_aside", "of_tests"]

_MISSING: Mapping[str, str] = {
    LOT: "not_measured",
    PERIODIC: "no_periodic_test",
    TYPE: "no_type_test",
}


def of_tests(tests: Iterable[PlannedTest]) -> Iterator[Reason]:
    """Say which planned tests are missing, lapsed or failed; of the others, which ends first."""
    covered: list[PlannedTest] = []
    for test in tests:
        match test.state:
            case "covers":
                covered.append(test)
            case "failed":
                yield _reason("test_failed", test.sentence, _source(test))
            case "lapsed":
                yield _reason("test_lapsed", test.sentence, _source(test))
            case "missing":
                yield _reason(_gap(test), test.sentence, _source(test))
    if covered:
        ends = [test for test in covered if test.until is not None]
        first = min(ends, key=lambda test: str(test.until), default=covered[0])
        many = f"{len(covered)} planned tests cover it" if len(covered) > 1 else "a planned test"
        which = "; the first to end: " if len(covered) > 1 else " covers it: "
        yield _reason("tests_cover", f"{many}{which}{first.sentence}", _source(first))


def of_aside(aside: Iterable[Aside]) -> Iterator[Reason]:
    """Say which readings are no evidence, because of what took them."""
    for one in aside:
        names = ", ".join(name.replace("_", " ") for name in one.characteristics)
        which = f"{len(one.ids)} of its readings ({names})"
        if one.known:
            what = (
                f"{which} were taken with {one.instrument} from {one.day} on, when {one.words}:"
                " they are no evidence"
            )
        else:
            what = f"{which}, the first of {one.day}, are no evidence: {one.said}"
        yield _reason(one.code, what, one.source)


def limits_of_tests(tests: Iterable[PlannedTest]) -> Sequence[LimitResult]:
    """Give the limits that results of planned tests were judged by, each once."""
    found: dict[str, LimitResult] = {}
    for test in tests:
        for result in test.proof.results if test.proof is not None else ():
            found.setdefault(result.limit.name, result)
    return tuple(found.values())


def _gap(test: PlannedTest) -> str:
    if test.kept_out is not None:
        return test.kept_out.code
    some = test.proof is not None and test.evidence == LOT
    return "too_few_readings" if some else _MISSING[test.evidence]


def _source(test: PlannedTest) -> str:
    where = f"plan {test.plan}"
    return where if test.proof is None else f"{where}; {test.proof.source}"


def _reason(code: str, sentence: str, source: str) -> Reason:
    return Reason(code, sentence, source, REASONS[code][0])
