"""What `limits` and `sign` say: rows by edition, how each was read, who signed, what is missing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from beadwright.cli.decisions import Decided
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.limits import LimitInForce
from beadwright.plant.listed import Listed, OwnLimit, PrintedLimit, SetBy, listed
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.words import capital, iso, number
from beadwright.standards import standards

__all__ = ["limits_json", "show", "signed", "withdrawn"]

_Asked = tuple[str, bool, bool]
"""A standard, whether every row, whether only what nobody signed."""

_BOUNDS = {"min": "at least", "max": "at most", "within": "within ±"}


def show(plant: Plant, asked: _Asked, *, json: bool) -> None:
    """Print the limits asked for.

    Raises
    ------
    Misuse
        If no standard of limits is called so.
    """
    standard, everything, unsigned = asked
    there = [each.designation for each in standards() if each.use == "limits"]
    if standard and standard not in there:
        message = f"no limits of {standard!r} are carried; there are: {', '.join(there)}"
        raise Misuse(message)
    found = listed(plant.no, moment(plant), standard=standard, everything=everything)
    rows = [one for one in found.printed if not unsigned or one.signature is None]
    own = () if unsigned else found.own
    if json:
        write_json(limits_json(plant, rows, own, found))
        return
    page = Page()
    page.line(f"{plant.name}, plant {plant.code}")
    page.line(f"{number(len(rows), 'printed limit')}, {number(len(own), 'limit')} of its own.")
    for cite in dict.fromkeys(one.row.cite for one in rows):
        _edition(page, [one for one in rows if one.row.cite == cite])
    _own(page, own)
    if found.gaps:
        page.heading("What these standards limit and is not carried")
    for gap in found.gaps:
        page.item(f"{gap.standard}, {gap.gap.characteristic.replace('_', ' ')}: {gap.gap.why}")


def _edition(page: Page, rows: Sequence[PrintedLimit]) -> None:
    page.heading(rows[0].row.cite)
    if rows[0].superseded:
        page.line(f"{rows[0].superseded}.", indent=2)
    said = [
        (
            one.row.id,
            f"{_BOUNDS[one.row.bound]} {one.row.normative}",
            str(one.row.informative or ""),
            ", ".join(one.products),
            _word(one),
        )
        for one in rows
    ]
    page.table(("!row", "limit", "beside", "for", "verified"), said)
    unsigned = [one for one in rows if one.signature is None]
    for how in dict.fromkeys(str(one.row.normative.read) for one in unsigned):
        names = [one.row.id for one in unsigned if str(one.row.normative.read) == how]
        which = "all unsigned" if len(names) == len(unsigned) else f"{names[0]} …"
        page.item(f"{how}: {which if len(names) > 1 else names[0]}, {number(len(names), 'row')}")


def _word(one: PrintedLimit) -> str:
    return f"{one.signature.by} {one.signature.on}" if one.signature else "no"


def _own(page: Page, own: Sequence[OwnLimit]) -> None:
    """Print the plant's own limits by source; products that are asked the same stand together."""
    good = [one for one in own if not one.limit.unusable]
    for stated in dict.fromkeys(one.limit.stated for one in good):
        page.heading(capital(stated))
        some = [one for one in good if one.limit.stated == stated]
        by_words: dict[tuple[str, ...], list[str]] = {}
        for product in dict.fromkeys(one.product for one in some):
            for words in _paired([one.limit for one in some if one.product == product]):
                by_words.setdefault(words, []).append(product)
        rows = [(*words, ", ".join(by_words[words])) for words in sorted(by_words)]
        page.table(("characteristic", "!of", "!limit", "evidence", "for"), rows)
    bad = [one for one in own if one.limit.unusable]
    if bad:
        page.heading("Limits that cannot be judged")
    for one in bad:
        page.item(f"{one.limit.name} for {one.product}: {one.limit.unusable}")


def _paired(limits: Sequence[LimitInForce]) -> list[tuple[str, ...]]:
    """Say each limit in words, a lower and an upper bound on one figure in one line."""
    pairs: dict[tuple[str, str, str, str, int], dict[str, str]] = {}
    seen: Counter[tuple[str, ...]] = Counter()
    for one in limits:
        name = one.characteristic.replace("_", " ")
        evidence = one.evidence.replace("_", " ")
        key = (name, one.statistic, one.unit, evidence)
        times = seen[*key, one.bound]  # a second lower bound stands in a line of its own
        seen[*key, one.bound] += 1
        pairs.setdefault((*key, times), {})[one.bound] = str(one.value)
    return [
        (name, statistic, _range(bounds, unit), evidence)
        for (name, statistic, unit, evidence, _), bounds in pairs.items()
    ]


def _range(bounds: Mapping[str, str], unit: str) -> str:
    if {"min", "max"} <= bounds.keys():
        return f"{bounds['min']}–{bounds['max']} {unit}"
    ((bound, value),) = bounds.items()
    return f"{_BOUNDS[bound]} {value} {unit}"


def signed(done: Decided) -> None:
    """Say what was signed."""
    Page().line(f"Entry {done.seq}: {done.about} is verified by {done.named[0]}.")


def withdrawn(done: Decided) -> None:
    """Say what is unverified again."""
    Page().line(f"Entry {done.seq}: {done.about} is unverified again.")


def limits_json(
    plant: Plant, rows: Sequence[PrintedLimit], own: Sequence[OwnLimit], found: Listed
) -> dict[str, Any]:
    """Give limits as JSON."""
    return {
        "plant": plant.code,
        "zone": plant.zone.key,
        "printed": [_printed_json(plant, one) for one in rows],
        "own": [{**_own_json(one.product, one.limit), **_set_by(plant, one.set_by)} for one in own],
        "gaps": [
            {
                "standard": one.standard,
                "characteristic": one.gap.characteristic,
                "why": one.gap.why,
            }
            for one in found.gaps
        ],
    }


def _printed_json(plant: Plant, one: PrintedLimit) -> dict[str, Any]:
    row, by = one.row, one.signature
    return {
        "row": row.id,
        "standard": row.standard,
        "edition": row.edition,
        "cite": row.cite,
        "clause": row.clause,
        "type": row.product_type,
        "characteristic": row.characteristic,
        "bound": row.bound,
        "limit": str(row.normative.value),
        "unit": row.normative.unit,
        "limit_si": float(row.normative.si),
        "how_read": str(row.normative.read),
        "beside": None if row.informative is None else str(row.informative),
        "beside_how_read": None if row.informative is None else str(row.informative.read),
        "statistic": row.statistic,
        "specimens": row.specimens,
        "methods": list(row.methods),
        "note": row.note,
        "applies_to": list(row.applies_to),
        "products": list(one.products),
        "superseded": one.superseded,
        "verified": by is not None,
        "verified_by": None if by is None else by.by,
        "verified_at": None if by is None else iso(by.at_ms, plant.zone),
        "page": None if by is None else by.page,
        "signature_note": None if by is None else by.note,
        "entry": None if by is None else by.seq,
        "named_by": [{"product": each.product, **_set_by(plant, each)} for each in one.set_by],
    }


def _set_by(plant: Plant, one: SetBy | None) -> dict[str, Any]:
    return {
        "set_by_entry": None if one is None else one.entry,
        "since": None if one is None else iso(one.since_ms, plant.zone),
        "set_by": "" if one is None else one.by,
        "account": "" if one is None else one.account,
    }


def _own_json(product: str, limit: LimitInForce) -> dict[str, Any]:
    return {
        "name": limit.name,
        "product": product,
        "characteristic": limit.characteristic,
        "bound": limit.bound,
        "limit": str(limit.value),
        "unit": limit.unit,
        "statistic": limit.statistic,
        "specimens": limit.specimens,
        "evidence": limit.evidence,
        "source": limit.stated,
        "says": limit.source,
        "unusable": limit.unusable,
    }
