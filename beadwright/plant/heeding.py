"""What a test report would be worth, before and after it is entered.

:func:`far_off` asks about a result that is many times what the limits on it ask; :func:`unheeded`
says which limits it answers nothing of, so that nobody waits for a report that counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from beadwright.errors import BeadwrightError
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.bounds import LOT_TEST, LimitInForce
from beadwright.plant.limits import Rulebook, rulebook
from beadwright.plant.plan import LOT, Planbook, PlanRow
from beadwright.plant.reports import ALL
from beadwright.plant.tested import asked_by_limits
from beadwright.units import parse_number, to_si

__all__ = ["far_off", "unheeded"]

_NOTHING = Decimal("1e-99")
_FAR = Decimal(8)
"""Ten, less what results differ from a limit anyway. Common practice, no source."""


def far_off(
    in_force: Settings, products: Sequence[str], characteristic: str, result: str, at_ms: int
) -> str:
    """Say of a result that it is many times off what every limit on it asks; empty where not.

    Less than a limit that must not be exceeded is never far: it may be next to nothing.
    """
    book = Rulebook(in_force)
    found = [
        one
        for product in _named(in_force, products)
        for one in _limits(book, product, characteristic, at_ms)
        if not one.unusable and one.value_si
    ]
    apart = [(one, times) for one in found if (times := _times(one, result)) is not None]
    if not apart or len(apart) < len(found):
        return ""
    limit, times = min(apart, key=lambda pair: max(pair[1], 1 / (pair[1] or _NOTHING)))
    words = f"{_figures(times)} times" if times >= 1 else _part(times)
    return f"{result} is {words} what {limit.name} asks ({limit.bound} {limit.value} {limit.unit})"


def unheeded(
    plant_no: int, products: Sequence[str], characteristic: str, at_ms: int
) -> tuple[str, ...]:
    """Say for which products a report on a characteristic counts for nothing now, and why."""
    in_force = settings.load(plant_no)
    book, plan = rulebook(plant_no, in_force), Planbook(in_force)
    found: dict[str, list[str]] = {}
    for product in _named(in_force, products):
        limits = _limits(book, product, characteristic, at_ms)
        why = _why(plan, product, characteristic, limits, at_ms)
        if why:
            found.setdefault(why, []).append(product)
    return tuple(f"{', '.join(names)}: {why}" for why, names in found.items())


def _why(
    plan: Planbook,
    product: str,
    characteristic: str,
    limits: Sequence[LimitInForce],
    at_ms: int,
) -> str:
    """Say why a report is not asked for; empty where the plan takes one."""
    rows = plan.rows(product, at_ms) if plan.in_force(at_ms) else ()
    asking: Iterable[PlanRow] = (
        [*rows, *asked_by_limits(product, rows, limits)] if plan.in_force(at_ms) else ()
    )
    mine = [one for one in asking if one.characteristic == characteristic]
    if any(one.evidence != LOT for one in mine):
        return ""
    until = "this report counts for nothing until the plan says so"
    if mine:
        return f"the plan asks readings of each lot ({mine[0].name}); {until}"
    if not limits:
        return f"neither a limit nor the plan asks for it; {until}"
    names = " and ".join(dict.fromkeys(one.name for one in limits))
    many = len({one.name for one in limits}) > 1
    verb = "ask" if many else "asks"
    of = "readings of each lot" if any(one.evidence == LOT_TEST for one in limits) else "a test"
    return f"the limit{'s' if many else ''} {names} {verb} {of}; {until}"


def _limits(
    book: Rulebook, product: str, characteristic: str, at_ms: int
) -> tuple[LimitInForce, ...]:
    return tuple(one for one in book.limits(product, at_ms) if one.characteristic == characteristic)


def _named(in_force: Settings, products: Sequence[str]) -> tuple[str, ...]:
    return in_force.names("product") if ALL in products else tuple(dict.fromkeys(products))


def _times(limit: LimitInForce, result: str) -> Decimal | None:
    """Say how many times a limit's value a result is; None where it is near, or cannot be told."""
    number, _, unit = result.partition(" ")
    try:
        value = abs(to_si(parse_number(number, decimal="."), unit, limit.kind))
    except BeadwrightError:
        return None  # a word, or what the door refuses
    times = value / abs(limit.value_si)
    small = limit.bound == "min" and times <= 1 / _FAR
    return times if times >= _FAR or small else None


def _part(times: Decimal) -> str:
    return f"only 1/{_figures(1 / times)} of" if times else "nothing of"


def _figures(number: Decimal) -> str:
    return f"{float(number):,.3g}" if number < 10_000 else f"{float(number):,.0f}"  # noqa: PLR2004
