"""Reasons in plain sentences, worst first, and the answer that follows from them.

Read :func:`reasons_for` first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from beadwright.ledger.releases import Approval
from beadwright.plant.assessment import REASONS, Answer, Reason, Weight
from beadwright.plant.calibrations import Aside
from beadwright.plant.codes import CODES
from beadwright.plant.lot_tests import Lot
from beadwright.plant.masses_said import mass_said
from beadwright.plant.pieces import Basis
from beadwright.plant.reasons_of_tests import limits_of_tests, of_aside, of_tests
from beadwright.plant.tested import Judgement
from beadwright.plant.upstream import Upstream
from beadwright.plant.verdicts import STATE_WORDS, LimitResult
from beadwright.plant.weighings import Evidence, TieQuestion
from beadwright.plant.whereabouts import Whereabouts
from beadwright.quality.characteristics import DIMENSIONS

__all__ = ["BOUND_WORDS", "answer_of", "of_limits", "reasons_for", "with_consequences"]

_WORST_FIRST = (
    "wrong_grade", "reclaim_in_block", "wrong_grade_in_place", "on_hold", "too_fresh", "too_old",
    *CODES, *REASONS,
)  # fmt: skip
_RANK: Mapping[str, int] = {code: n for n, code in reversed(list(enumerate(_WORST_FIRST)))}
"""Codes by how bad they are; of a code named twice its first place counts."""

_WEIGHTS = ("stops", "asks", "notes")
BOUND_WORDS = {"min": "at least", "max": "at most", "within": "within"}
_NET = frozenset({"density", "foam_mass", "block_mass"})


def reasons_for(
    lot: Lot,
    told: Judgement,
    aside: Iterable[Aside],
    upstream: Iterable[Upstream],
    others: Iterable[Reason] = (),
) -> tuple[Reason, ...]:
    """Every reason that bears on a lot, worst first."""
    basis, here, limits = lot.basis, lot.here, told.limits
    found = [
        *_from_above(upstream),
        *_not_met(limits),
        *_missing(basis, limits, planned=bool(told.tests)),
        *_too_soon(here, basis.day_old_h, _told_of(told)),
        *of_tests(told.tests),
        *of_aside(one for one in aside if not _told_of(told).issuperset(one.characteristics)),
        *_ties(basis, here.questions, limits),
        *_to_be_known([*limits, *limits_of_tests(told.tests)], here),
        *_met(limits),
        *others,
    ]
    return _sorted(found)


def answer_of(reasons: Iterable[Reason]) -> Answer:
    """Give the answer: what stops decides, then what is asked."""
    weights = {reason.weight for reason in reasons}
    if "stops" in weights:
        return "may_not_ship"
    return "not_enough_evidence" if "asks" in weights else "may_ship"


def with_consequences(
    reasons: Sequence[Reason], where: Whereabouts, release: Sequence[Approval]
) -> tuple[Reason, ...]:
    """Add what follows where a lot may not ship: a release is suspended, pieces have left.

    ``release`` are the approvals that make it; none where it is not released.
    """
    answer = answer_of(reasons)
    if answer == "may_ship":
        return tuple(reasons)
    found = list(reasons)
    weight: Weight = "stops" if answer == "may_not_ship" else "notes"
    if release:
        by = " and ".join(f"by {one.by or 'an unnamed person'}" for one in release)
        what = f"the release {by} is suspended: see below"
        entries = ", ".join(str(one.seq) for one in release)
        source = f"{'entries' if len(release) > 1 else 'entry'} {entries}"
        found.append(Reason("release_suspended", what, source, weight))
    receivers: dict[str, list[str]] = {}
    for stand in where.shipped:
        receivers.setdefault(stand.receiver, []).append(f"{stand.pieces} in {stand.lot}")
    for receiver, some in sorted(receivers.items()):
        what = f"pieces are already with {receiver}: {', '.join(some)}"
        found.append(_reason("already_shipped", what, "shipments"))
    return _sorted(found)


def _sorted(reasons: Iterable[Reason]) -> tuple[Reason, ...]:
    return tuple(sorted(reasons, key=lambda r: (_WEIGHTS.index(r.weight), _RANK.get(r.code, 0))))


def _reason(code: str, sentence: str, source: str) -> Reason:
    return Reason(code, sentence, source, REASONS[code][0])


def _from_above(upstream: Iterable[Upstream]) -> Iterator[Reason]:
    for one in upstream:
        path = f" ({one.path})" if one.path else f" ({one.at})" if one.step else ""
        source = f"step {one.step}" if one.step else one.cause.partition("@")[0].replace(":", " ")
        sentence = f"{one.sentence}{path}"
        if one.closed:
            why = f": {one.conceded}" if one.conceded else ""
            yield _reason("conceded", f"conceded{why}. It was: {sentence}", source)
        else:
            yield Reason(one.code, sentence, source, "stops")


def of_limits(limits: Sequence[LimitResult]) -> tuple[Reason, ...]:
    """Give the reasons that say a figure beside its limit: each that is not met, or all are met."""
    return (*_not_met(limits), *_met(limits))


def _not_met(limits: Iterable[LimitResult]) -> Iterator[Reason]:
    """Say which limits are not met, the one missed by the largest share of its bound first."""
    missed = [result for result in limits if result.finding == "not_met"]
    for result in sorted(missed, key=_share):
        code = "guard_not_met" if result.in_band else "limit_not_met"
        yield _reason(code, f"{_valued(result)} is {result.short}", _source(result))


def _share(result: LimitResult) -> float:
    """Margin as share of the bound: of different quantities nothing else compares."""
    return (result.margin_si or 0.0) / (float(result.limit.value_si) or 1.0)


def _valued(result: LimitResult) -> str:
    """Say what a value is: characteristic, value, of how many pieces, in which state."""
    name = result.limit.characteristic.replace("_", " ")
    if result.limit.characteristic.startswith(("defective", "share", "checked")):
        return f"{name} {result.value}"
    which = "mean" if result.limit.statistic == "mean" else "least"
    if which == "least" and result.limit.bound == "max":
        which = "largest"
    if which != "mean" and result.guard_si is not None and result.n > 1:
        which = "nearest to the limit, by its uncertainty,"
    state = STATE_WORDS.get(result.state, "")
    return f"{name} {result.value} ({which} of {result.n}{', ' if state else ''}{state})"


def _bound(result: LimitResult) -> str:
    return f"{BOUND_WORDS[result.limit.bound]} {result.bound}"


def _source(result: LimitResult) -> str:
    limit = result.limit
    verified = "" if limit.verified is None else ", unverified"
    if limit.verified:
        verified = f", verified by {limit.verified_by} on {limit.verified_on}"
    return f"{limit.name}: {limit.stated}{verified}"


def _missing(basis: Basis, limits: Sequence[LimitResult], *, planned: bool) -> Iterator[Reason]:
    """Say what is missing, once for all limits that miss the same."""
    if basis.made_at_ms is None:
        yield _reason("nothing_made", f"no step has brought pieces into {basis.lot}", "the record")
        return
    if basis.product is None:
        yield _reason("unknown_product", "its product was not set up", "settings")
    if not limits and not planned:
        name = "its product" if basis.product is None else basis.product.name
        yield _reason("no_limit", f"no limit asks a lot test of {name}", "settings")
    gaps: dict[tuple[str, str, str], list[LimitResult]] = {}
    for result in limits:
        if result.finding == "not_enough_evidence":
            # What the same readings would have decided, had they counted, is said once.
            name = "" if result.kept_out else result.limit.characteristic
            gaps.setdefault((_gap(result), name, result.missing), []).append(result)
    for (code, _, missing), results in gaps.items():
        names = dict.fromkeys(one.limit.characteristic for one in results)
        words = ", ".join(names).replace("_", " ")
        sentence = missing if words in missing else f"{words}: {missing}"
        sources = dict.fromkeys(_source(result) for result in results)
        sources |= dict.fromkeys(o.source for r in results if (o := r.kept_out) and o.source)
        yield _reason(code, sentence, "; ".join(sources))


def _told_of(told: Judgement) -> frozenset[str]:
    """Give what a lot's readings are of that do not count, where what they leave open says so."""
    outs = (*(one.kept_out for one in told.limits), *(one.kept_out for one in told.tests))
    return frozenset(name for one in outs if one and not one.lot for name in one.read)


def _gap(result: LimitResult) -> str:
    if result.limit.unusable:
        return "limit_unusable"
    if result.kept_out is not None:
        return result.kept_out.code
    if result.value_si is None:
        return "not_measured"
    if result.unsure:
        return "uncertainty_unknown"
    return (
        "only_wet"
        if result.state == "press" and result.limit.characteristic in _NET
        else ("too_few_readings")
    )


def _too_soon(here: Evidence, hours: float, told: frozenset[str]) -> Iterator[Reason]:
    """Say which weighings are not of blocks as old as they are said to be."""
    early = [one for one in here.young if one.age_h < 0 and one.reading.characteristic not in told]
    soon = [one.age_h for one in here.young if one.age_h >= 0]
    todo = "correct the row's time, age or state"
    if early:
        what = f"{len(early)} of its readings were taken before it was moulded"
        yield _reason("weighed_too_soon", f"{what}, and are no evidence: {todo}", "mould runs")
    if soon:
        ages = " to ".join(dict.fromkeys(f"{age:.1f}" for age in (min(soon), max(soon))))
        what = (
            f"{len(soon)} of its readings are said to be of blocks a day old or dry; by the record"
            f" these were {ages} h old, less than {hours:g} h, and count as wet: {todo}"
        )
        yield _reason("weighed_too_soon", what, "mould runs")


def _ties(
    basis: Basis, questions: Iterable[TieQuestion], limits: Sequence[LimitResult]
) -> Iterator[Reason]:
    light = any(r.finding == "not_met" and r.limit.characteristic in _NET for r in limits)
    for one in questions:
        state = STATE_WORDS[one.state]
        count = f"{one.short} tie{'s' if one.short > 1 else ''}"
        mass = mass_said(one.shortfall_kg * 1e6)
        if one.pieces:
            many = len(one.pieces) > 1
            what = (
                f"piece{'s' if many else ''} {', '.join(one.pieces)} ({state})"
                f" weigh{'' if many else 's'} {mass} too little, which fits {count}:"
                " count the ties before the foam is called light"
            )
        elif light:
            name = basis.product.name if basis.product is not None else "its product"
            what = (
                f"every piece ({state}) is about {mass} short of {name}'s target, which fits"
                f" {count} a piece: count ties, and weigh ties of the carton, first"
            )
        else:
            continue
        yield _reason("tie_missing", what, "block masses and the tie cartons drawn")


def _superseded(limits: Sequence[LimitResult]) -> Iterator[Reason]:
    """Say once of each edition that another has taken its place."""
    by_words: dict[str, list[str]] = {}
    for result in limits:
        if result.limit.superseded:
            name = result.limit.characteristic.replace("_", " ")
            by_words.setdefault(result.limit.superseded, []).append(name)
    for words, names in by_words.items():
        what = f"{words}; by the older one are judged: {', '.join(dict.fromkeys(names))}"
        yield _reason("superseded_edition", what, "the editions seen")


def _to_be_known(limits: Sequence[LimitResult], here: Evidence) -> Iterator[Reason]:
    yield from _superseded(limits)
    for result in limits:
        if result.warning:
            yield _reason("columns_disagree", result.warning, _source(result))
        if result.limit.verified is False and not result.limit.unusable:
            what = f"{result.limit.name}, {_bound(result)}, is unverified: {result.limit.how_read}"
            yield _reason("unverified_limit", what, result.limit.source)
    whole = [one for one in limits if one.finding == "met" and one.n < one.limit.specimens]
    if whole:
        names = ", ".join(dict.fromkeys(one.limit.characteristic for one in whole))
        what = f"all {here.pieces} pieces that the lot has were measured: {names.replace('_', ' ')}"
        yield _reason("all_measured", what, "the lot's readings")
    if here.defects.total:
        kinds = ", ".join(f"{kind} {number}" for kind, number in here.defects.defective if number)
        bad, are = here.defects.total, "is" if here.defects.total == 1 else "are"
        what = f"{bad} of {here.defects.checked} looked at {are} defective: {kinds}"
        yield _reason("defects", what, "inspections")


def _met(limits: Sequence[LimitResult]) -> Iterator[Reason]:
    met = [result for result in limits if result.finding == "met"]
    if met and len(met) == len(limits):
        # A dimension's window is a small share of it by nature: it is named where it stands alone.
        others = [result for result in met if result.limit.characteristic not in DIMENSIONS]
        narrow = min(others or met, key=_share)
        all_of = f"all {len(met)} limits are met" if len(met) > 1 else "the limit is met"
        what = f"{all_of}, narrowest: {_valued(narrow)}, {_bound(narrow)}"
        yield _reason("limits_met", what, _source(narrow))
