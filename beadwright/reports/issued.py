"""Certificates that were issued, read back from the record.

Read :func:`issued`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from beadwright.ledger.decided import Said, of_kinds

__all__ = ["KIND", "Issued", "issued", "of_lot"]

KIND = "certificate"
"""Kind of decision that a certificate's issue is."""


@dataclass(frozen=True, slots=True)
class Issued:
    """One certificate as it was issued."""

    number: str
    lot: str
    seq: int
    at_ms: int
    by: str
    text: str
    """Its content, canonical JSON."""
    sha256: str
    """Of the PDF."""
    setter: str
    """What set its pages."""

    @property
    def content(self) -> Mapping[str, Any]:
        """What it says."""
        said: Mapping[str, Any] = json.loads(self.text)
        return said


def issued(plant_no: int, number: str | None = None) -> tuple[Issued, ...]:
    """Give the certificates issued, or the one of a number, in order of entry."""
    found = of_kinds(plant_no, KIND)
    return tuple(_of(one) for one in found if number is None or one.about == number)


def of_lot(plant_no: int, lot: str) -> tuple[Issued, ...]:
    """Give the certificates of a lot, in order of entry."""
    return tuple(one for one in issued(plant_no) if one.lot == lot)


def _of(one: Said) -> Issued:
    body = one.body
    return Issued(
        one.about,
        str(body.get("lot", "")),
        one.seq,
        one.at_ms,
        one.by,
        str(body.get("content", "{}")),
        str(body.get("sha256", "")),
        str(body.get("set_by", "")),
    )
