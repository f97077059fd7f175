"""What the plant's figures are worth against a limit, in words that shell and page share.

Read :func:`product_worth`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.conformity import LotWorth, Spread, Worth, chance_said, conformity
from beadwright.plant.limits import rulebook
from beadwright.plant.products import product_at
from beadwright.plant.reasons import BOUND_WORDS
from beadwright.plant.verdicts import shown

__all__ = [
    "ASSUMED",
    "RISK",
    "SHOWN",
    "LotRow",
    "ProductWorth",
    "WorthWords",
    "product_worth",
    "worth_words",
]

SHOWN = 12
"""Newest lots that are shown of each limit."""

_FIRST = "density"

ASSUMED = (
    "Taken for granted: what is made is normal about one mean and stays so; errors of reading are"
    " normal, of the uncertainty stated; nothing but the reading tells of a lot. Where the process"
    " moves, the risks move: look at its chart first. A guide inside the plant, on no paper."
)


RISK = (
    "Risk is how probable it is that the rule is wrong about that lot: met and yet beyond the"
    " limit, the consumer's; not met and yet within it, the producer's."
)


@dataclass(frozen=True, slots=True)
class LotRow:
    """One lot: what was found, how sure that is, how it stands, how probable it conforms.

    ``risk`` is how probable it is that the rule is wrong about it.
    """

    lot: str
    found: str
    u: str
    by_rule: str
    conforms: str
    risk: str


@dataclass(frozen=True, slots=True)
class WorthWords:
    """One limit with the newest lots by it, and the risks of its rule."""

    name: str
    what: str
    lots: tuple[LotRow, ...]
    risks: tuple[tuple[str, str], ...]
    """What each is, and how large; empty where none is told."""
    why_not: str

    @property
    def sure(self) -> bool:
        """Whether of any lot a probability is told."""
        return any(one.risk for one in self.lots)


@dataclass(frozen=True, slots=True)
class ProductWorth:
    """What a product's figures are worth by the limits on one characteristic."""

    product: str
    is_form: bool
    of: str
    """The characteristic; empty where nothing is limited."""
    names: tuple[tuple[str, str], ...]
    """Characteristics that are limited, each with its words."""
    limits: tuple[WorthWords, ...]
    u: str = ""
    wrong: str = ""
    """What is wrong with the uncertainty that it was asked with."""
    to_state: str = ""
    """What to state, and where, so that the uncertainty is known."""


def product_worth(plant_no: int, product: str, of: str, at_ms: int, u: str = "") -> ProductWorth:
    """Give what a product's figures are worth by the limits on one characteristic.

    Of none that is named, on density where that is limited, else on the first that is.

    Raises
    ------
    Misuse
        If there is no such product, or no limit is put on that characteristic.
    """
    in_force = settings.load(plant_no)
    form = product_at(in_force, product, at_ms)
    if form is None:
        message = f"no product {product} was set up"
        raise Misuse(message)
    limits = rulebook(plant_no, in_force).limits(product, at_ms)
    names = tuple(dict.fromkeys(one.characteristic for one in limits if not one.unusable))
    of = of or (_FIRST if _FIRST in names else next(iter(names), ""))
    wrong = ""
    try:
        found = conformity(plant_no, product, of, at_ms, u) if of else None
    except Misuse as no:
        if not u or of not in names:
            raise
        wrong, found = str(no), conformity(plant_no, product, of, at_ms)
    words = tuple((name, name.replace("_", " ")) for name in names)
    told = tuple(map(worth_words, () if found is None else found.limits))
    missing = "" if found is None else found.to_state
    return ProductWorth(product, form.is_form, of, words, told, u, wrong, missing)


def worth_words(one: Worth) -> WorthWords:
    """Put one limit into words."""
    limit = one.limit
    what = f"{BOUND_WORDS[limit.bound]} {limit.value} {limit.unit}, {limit.statistic}"
    return WorthWords(
        limit.name.replace("_", " "),
        f"{what}; {limit.rule.words}",
        tuple(_lot(limit, x) for x in one.lots[-SHOWN:]),
        () if one.spread is None else _risks(one, one.spread),
        one.why_not,
    )  # fmt: skip


def _lot(limit: LimitInForce, one: LotWorth) -> LotRow:
    result = one.result
    known = result.u_si is not None and result.u_known
    return LotRow(
        one.lot,
        result.value,
        shown(result.u_si, limit) if known and result.u_si is not None else "",
        result.finding.replace("_", " "),
        "u not known" if one.chance is None else chance_said(one.chance),
        _risk(one),
    )


def _risk(one: LotWorth) -> str:
    if one.specific_risk is None:
        return ""
    return chance_said(one.specific_risk)


def _risks(one: Worth, spread: Spread) -> tuple[tuple[str, str], ...]:
    limit, risks = one.limit, spread.risks
    what = "pieces" if limit.statistic == "each" else "lot means"
    seen = (
        f"{shown(spread.seen_si, limit)} about {shown(spread.mean_si, limit)}; without reading"
        f" {shown(spread.own_si, limit)}"
    )
    return (
        (f"Spread of {spread.count} {what}", seen),
        ("Guard band", f"{shown(spread.guard_si, limit)} ({limit.rule.k} u)"),
        ("Made beyond the limit", chance_said(risks.nonconforming)),
        ("Consumer's risk: beyond it, and accepted", chance_said(risks.consumer)),
        ("Producer's risk: within it, and rejected", chance_said(risks.producer)),
    )
