"""Test reports of the record: what a laboratory found of a product's sample, and which still count.

Read :func:`reports` first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from beadwright.ledger import decided
from beadwright.ledger.decided import Said
from beadwright.plant.frequency import day_of
from beadwright.units import parse_number

__all__ = ["ALL", "Report", "counting", "reports", "same_method"]

ALL = "*"
"""Every product."""

_REPORT = "report"
_WITHDRAWN = "report_withdrawn"


@dataclass(frozen=True, slots=True)
class Report:
    """One result of a test report."""

    number: str
    laboratory: str
    products: tuple[str, ...]
    characteristic: str
    method: str
    specimens: int
    """0 where the report does not say."""
    result: str
    """A number with its unit, or a word such as ``pass``."""
    sampled: date
    tested: date | None
    issued: date | None
    expires: date | None
    """Last day it is valid."""
    file: str
    """SHA-256 of the report's file; empty where none is kept."""
    seq: int
    by: str
    conditioned_h: Decimal | None = None
    """Hours for which its specimens were conditioned; None where it does not say."""
    uncertainty: str = ""
    """Standard uncertainty of the result, with its unit, or in ``%`` of it; empty if unstated."""
    withdrawn: str = ""
    """Why it was withdrawn; empty while it counts."""
    withdrawn_by: str = ""

    def speaks_of(self, product: str) -> bool:
        """Whether its sample was of the product."""
        return product in self.products or ALL in self.products


def reports(plant_no: int) -> tuple[Report, ...]:
    """Every report of the record, those withdrawn too; of one stated again, the newest."""
    return counting(decided.of_kinds(plant_no, _REPORT, _WITHDRAWN))


def counting(said: Iterable[Said]) -> tuple[Report, ...]:
    """Read decisions in the order of the record.

    A report's number and characteristic are one result: stated again, the newest counts. A
    withdrawal names one characteristic, or all that the number holds.
    """
    found: dict[tuple[str, str], Report] = {}
    for one in said:
        if one.kind == _REPORT:
            report = _report(one)
            found.pop((report.number, report.characteristic), None)  # its place is where it is new
            found[report.number, report.characteristic] = report
            continue
        of = str(one.body.get("characteristic", ""))
        for key, report in found.items():
            if key[0] == one.about and of in {"", key[1]} and not report.withdrawn:
                found[key] = _withdrawn(report, one)
    return tuple(found.values())


def same_method(asked: str, stated: str) -> bool:
    """Whether a stated method is the one asked for; an edition or procedure may follow it."""
    want, have = (" ".join(text.casefold().split()) for text in (asked, stated))
    return not want or (have.startswith(want) and not have[len(want) : len(want) + 1].isalnum())


def _report(said: Said) -> Report:
    body = said.body
    products = body["products"]
    names = tuple(map(str, products)) if isinstance(products, list | tuple) else ()
    return Report(
        said.about,
        str(body["laboratory"]),
        names,
        str(body["characteristic"]),
        str(body.get("method", "")),
        int(str(body.get("specimens", 0))),
        str(body["result"]),
        day_of(str(body["sampled"])),
        _day(body, "tested"),
        _day(body, "issued"),
        _day(body, "expires"),
        str(body.get("file", "")),
        said.seq,
        said.by,
        _hours(body),
        str(body.get("uncertainty", "")),
    )


def _withdrawn(report: Report, said: Said) -> Report:
    reason = str(said.body.get("reason", "")) or "no reason stated"
    return replace(report, withdrawn=reason, withdrawn_by=said.by)


def _hours(body: Mapping[str, object]) -> Decimal | None:
    text = str(body.get("conditioned_h", ""))
    return parse_number(text, decimal=".") if text else None


def _day(body: Mapping[str, object], key: str) -> date | None:
    text = str(body.get(key, ""))
    return day_of(text) if text else None
