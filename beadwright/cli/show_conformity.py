"""What `conformity` says: limit by limit the newest lots, then the risks of the rule."""

from __future__ import annotations

from beadwright.cli.choices import Units
from beadwright.cli.printed import Page, write_json
from beadwright.plant.conformity import as_json, conformity
from beadwright.plant.conformity_words import ASSUMED, RISK, worth_words
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.strength import strength_line
from beadwright.plant.strength_words import CAUTION, strength_json, words_of

__all__ = ["show", "strength"]


def show(plant: Plant, product: str, characteristic: str, u: str, *, json: bool) -> None:
    """Print the answer."""
    found = conformity(plant.no, product, characteristic, moment(plant), u)
    if json:
        write_json(as_json(found))
        return
    page = Page()
    name = characteristic.replace("_", " ")
    page.line(f"{product}: how probable it is that {name} conforms")
    if u:
        page.line(f"As if each piece had been read with a standard uncertainty of {u}.")
    for one in map(worth_words, found.limits):
        page.heading(f"{one.name}: {one.what}")
        rows = [(x.lot, x.found, x.u, x.by_rule, x.conforms, x.risk) for x in one.lots]
        if rows:
            page.table(("lot", "!found>", "!u>", "!by the rule", "!conforms>", "!risk>"), rows)
        else:
            page.line(f"No lot has readings of {name}.", indent=2)
        if one.risks:
            page.facts(one.risks)
        else:
            page.line(f"No risk is told: {one.why_not}.", indent=2)
    page.line()
    if found.to_state:
        page.line(f"Of some readings no uncertainty is known. {found.to_state}")
        page.line()
    page.line(RISK)
    page.line(ASSUMED)


def strength(plant: Plant, product: str, characteristic: str, units: Units, *, json: bool) -> None:
    """Print a product's line of strength against density."""
    found = strength_line(plant.no, product, characteristic, moment(plant))
    if json:
        write_json({**plant.about, **strength_json(found)})
        return
    page = Page()
    page.line(f"{product}: {characteristic.replace('_', ' ')} against density")
    for line in words_of(found, units.system):
        page.item(line)
    page.line()
    page.line(CAUTION)
