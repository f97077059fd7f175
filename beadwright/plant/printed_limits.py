"""Limits of the standards that a plant names for a product, as limits in force.

Read :func:`printed`. A row that cannot be found or judged is kept with the reason why.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from beadwright.errors import Misuse
from beadwright.plant.bounds import LOT_TEST, TYPE_TEST, LimitInForce, Statistic
from beadwright.plant.signing import Signature
from beadwright.quality.characteristics import is_change, kind_of
from beadwright.standards import Limit, superseded
from beadwright.standards import limits as printed_limits

__all__ = ["name_of", "printed"]

_STATISTICS: Mapping[str, Statistic] = {
    "each_specimen": "each",
    "largest_of_specimens": "each",
    "mean_of_specimens": "mean",
    "declared_90_90": "mean",
}
_EVIDENCE: Mapping[str, str] = {"declared_90_90": TYPE_TEST}
"""A declared value rests on ten results or more, of many lots: it comes with a report."""


def printed(
    body: Mapping[str, object], signed: Mapping[str, Signature], *, is_form: bool
) -> Iterator[LimitInForce]:
    """Read the limits of a standard that the plant names for a product, characteristic by one.

    ``body``: ``standard``, ``edition``, ``type`` and, besides the type, ``classes`` of the same
    standard (a grade's levels), and the ``characteristics`` to be judged.
    """
    designation, edition = str(body.get("standard", "")), str(body.get("edition", ""))
    types = [str(body.get("type", "")), *_names(body.get("classes"))]
    wanted = _names(body.get("characteristics"))
    about = f"{designation}-{edition} type {', '.join(types)}"
    rows: dict[str, Limit] = {}
    try:
        for type_ in types:
            found = printed_limits(
                designation, edition, type_, product="form block" if is_form else "board"
            )
            rows |= {row.id: row for row in found}
    except Misuse as error:
        for characteristic in wanted or ["density"]:
            yield LimitInForce(about, characteristic, source=about, unusable=str(error).rstrip("."))
        return
    for characteristic in wanted:
        asked = [row for row in rows.values() if row.characteristic == characteristic]
        for row in asked:
            yield _signed(_row(row), signed.get(row.id))
        if not asked:
            why = f"{about} asks nothing of {characteristic} that we carry"
            yield LimitInForce(f"{about} {characteristic}", characteristic, unusable=why)


def _names(value: object) -> list[str]:
    named = isinstance(value, Sequence) and not isinstance(value, str)
    return [str(one) for one in value] if named and isinstance(value, Sequence) else []


def name_of(row: Limit) -> str:
    """Say how a limit in force by a printed row is called."""
    return f"{row.cite} {row.product_type} {row.characteristic}"


def _row(row: Limit) -> LimitInForce:
    why = ""
    if kind_of(row.characteristic) != row.kind:
        why = f"{row.characteristic} is not measured here"
    elif row.bound == "within" and not is_change(row.characteristic):
        why = "a deviation from a nominal size is not judged from a lot's readings"
    return LimitInForce(
        name=name_of(row),
        characteristic=row.characteristic,
        bound=row.bound,
        statistic=_STATISTICS[row.statistic],
        value=row.normative.value,
        unit=row.normative.unit,
        kind=row.kind,
        value_si=row.normative.si,
        specimens=row.specimens or 1,
        evidence=_EVIDENCE.get(row.statistic, LOT_TEST),
        source=f"{row.cite}, {row.clause}, type {row.product_type}",
        standard=row.standard,
        edition=row.edition,
        clause=row.clause,
        verified=row.is_verified,
        how_read=str(row.normative.read),
        printed=row,
        unusable=why,
        methods=row.methods,
        superseded=superseded(row.standard, row.edition),
    )


def _signed(limit: LimitInForce, by: Signature | None) -> LimitInForce:
    if by is None:
        return limit
    return replace(limit, verified=True, verified_by=by.by, verified_on=by.on)
