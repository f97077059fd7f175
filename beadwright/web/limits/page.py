"""What the page of limits shows: those printed in standards, then the plant's own by product.

Read :func:`page`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from beadwright.plant.bounds import own_words
from beadwright.plant.listed import Listed, OwnLimit, PrintedLimit, SetBy
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.set_how import words_of
from beadwright.plant.upstream import local
from beadwright.reports.words import BOUNDS, KINDS, asked_of

__all__ = ["LimitLine", "LimitsPage", "Setter", "page"]


@dataclass(frozen=True, slots=True)
class Setter:
    """Who gave products a limit: the entries, since which day, and by whom."""

    entries: tuple[int, ...]
    since: str
    by: str


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit."""

    name: str
    """As whatever leads to it calls it."""
    called: str
    """As the shell takes it."""
    what: str
    asks: str
    where: str
    """Of a printed one the type, and for which products; of the plant's own the evidence."""
    source: str
    """Of a printed one the clause and how it was read; of the plant's own what its setting says."""
    sort: str
    verified: str
    """Whether a person has compared it with the paid text, and who."""
    signed: int | None
    """The entry of that signature."""
    set_by: tuple[Setter, ...]


@dataclass(frozen=True, slots=True)
class LimitsPage:
    """Limits in force, of all products or of one."""

    of: str
    products: tuple[str, ...]
    printed: tuple[tuple[str, str, tuple[LimitLine, ...]], ...]
    """By edition: how it is cited, what took its place, its limits."""
    own: tuple[tuple[str, tuple[LimitLine, ...]], ...]
    """By product."""


def page(plant: Plant, found: Listed, of: str) -> LimitsPage:
    """Put limits into words; ``of`` a product, or of all."""
    named = Named.of(plant)
    products = dict.fromkeys(one.product for one in found.own)
    products.update(dict.fromkeys(name for one in found.printed for name in one.products))
    printed = [one for one in found.printed if not of or of in one.products]
    own = [one for one in found.own if of in {"", one.product}]
    return LimitsPage(
        of,
        tuple(sorted(products)),
        tuple(
            (*edition, tuple(_printed(plant, one, named, of) for one in some))
            for edition, some in groupby(printed, lambda one: (one.row.cite, one.superseded))
        ),
        tuple(
            (product, tuple(_own(plant, one, named) for one in some))
            for product, some in groupby(own, lambda one: one.product)
        ),
    )


def _printed(plant: Plant, one: PrintedLimit, named: Named, of: str) -> LimitLine:
    row, by = one.row, one.signature
    read = row.normative.read if by is None else f"{by.page}, {named(by.by)} on {by.on}"
    return LimitLine(
        one.name,
        row.id,
        row.characteristic.replace("_", " "),
        f"{BOUNDS[row.bound]} {row.normative}, {row.statistic.replace('_', ' ')}",
        f"type {row.product_type}; for {of or ', '.join(one.products)}",
        f"{row.clause}: {read}",
        "ask" if by is None else "good",
        "not verified" if by is None else "verified in the paid text",
        None if by is None else by.seq,
        tuple(_setters(plant, (by for by in one.set_by if of in {"", by.product}), named)),
    )


def _own(plant: Plant, one: OwnLimit, named: Named) -> LimitLine:
    limit = one.limit
    return LimitLine(
        limit.name,
        limit.name,
        limit.characteristic.replace("_", " "),
        limit.unusable or asked_of(limit),
        KINDS.get(limit.evidence, limit.evidence.replace("_", " ")),
        own_words(limit.source),  # who set it has its own column
        "stop" if limit.unusable else "note",
        "cannot be judged" if limit.unusable else "the plant's own",
        None,
        tuple(_setters(plant, () if one.set_by is None else (one.set_by,), named)),
    )


def _setters(plant: Plant, some: Iterable[SetBy], named: Named) -> Iterable[Setter]:
    """Give each day and person once, with the entries that were theirs."""
    entries: dict[tuple[str, str], list[int]] = {}
    for one in some:
        said = words_of(named(one.by) if one.by else "", one.account, which=True)
        day = local(one.since_ms, plant.zone).partition(" ")[0]
        entries.setdefault((day, said), []).append(one.entry)
    return (Setter(tuple(sorted(seqs)), day, said) for (day, said), seqs in entries.items())
