"""What `conformity` says: limit by limit the newest lots, then the risks of the rule."""

from __future__ import annotations

from beadwright.cli.choices import Units
from beadwright.cli.printed import Page, write_json
from beadwright.plant.conformity import (
    Conformity,
    Spread,
    Worth,
    as_json,
    chance_said,
    conformity,
)
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.reasons import BOUND_WORDS
from beadwright.plant.strength import strength_line
from beadwright.plant.strength_words import CAUTION, words_of
from beadwright.plant.verdicts import shown

__all__ = ["show", "strength"]

_SHOWN = 12
"""Newest lots that are shown of each limit."""

_ASSUMED = (
    "Taken for granted: what is made is normal about one mean and stays so; errors of reading are"
    " normal, of the uncertainty stated; nothing but the reading tells of a lot. Where the process"
    " moves, the risks move: look at its chart first. A guide inside the plant, on no paper."
)


def show(plant: Plant, product: str, characteristic: str, *, json: bool) -> None:
    """Print the answer."""
    found = conformity(plant.no, product, characteristic, moment(plant))
    if json:
        write_json(as_json(found))
        return
    page = Page()
    name = characteristic.replace("_", " ")
    page.line(f"{product}: how probable it is that {name} conforms")
    for one in found.limits:
        _limit(page, found, one)
    page.line()
    page.line(_ASSUMED)


def _limit(page: Page, found: Conformity, one: Worth) -> None:
    limit = one.limit
    what = f"{BOUND_WORDS[limit.bound]} {limit.value} {limit.unit}, {limit.statistic}"
    page.heading(f"{limit.name}: {what}; {limit.rule.words}")
    rows = [
        (
            x.lot, x.result.value,
            "" if x.result.u_si is None or not x.result.u_known else shown(x.result.u_si, limit),
            x.result.finding.replace("_", " "),
            "u not known" if x.chance is None else chance_said(x.chance),
        )
        for x in one.lots[-_SHOWN:]
    ]  # fmt: skip
    if rows:
        page.table(("lot", "!found>", "!u>", "!by the rule", "!conforms>"), rows)
    else:
        page.line(f"No lot has readings of {found.characteristic.replace('_', ' ')}.", indent=2)
    if one.spread is None:
        page.line(f"No risk is told: {one.why_not}.", indent=2)
    else:
        _risks(page, one, one.spread)


def _risks(page: Page, one: Worth, spread: Spread) -> None:
    limit, risks = one.limit, spread.risks
    what = "pieces" if limit.statistic == "each" else "lot means"
    seen = (
        f"{shown(spread.seen_si, limit)} about {shown(spread.mean_si, limit)}; without reading"
        f" {shown(spread.own_si, limit)}"
    )
    page.facts(
        (
            (f"Spread of {spread.count} {what}", seen),
            ("Guard band", f"{shown(spread.guard_si, limit)} ({limit.rule.k} u)"),
            ("Made beyond the limit", chance_said(risks.nonconforming)),
            ("Consumer's risk: beyond it, and accepted", chance_said(risks.consumer)),
            ("Producer's risk: within it, and rejected", chance_said(risks.producer)),
        )
    )  # fmt: skip


def strength(plant: Plant, product: str, characteristic: str, units: Units) -> None:
    """Print a product's line of strength against density."""
    page = Page()
    page.line(f"{product}: {characteristic.replace('_', ' ')} against density")
    found = strength_line(plant.no, product, characteristic, moment(plant))
    for line in words_of(found, units.system):
        page.item(line)
    page.line()
    page.line(CAUTION)
