"""Entries of nonconformity files at the door: checked against the record under its lock.

Read :func:`checked`. The rules are ``plant.nc_rules``; here they are asked in the order of a batch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from beadwright.errors import Fault, Refusal
from beadwright.ledger import decided, heads, lots, said
from beadwright.ledger.draft import Decision, Draft
from beadwright.plant.nc_file import KINDS, Said, fold
from beadwright.plant.nc_rules import faults
from beadwright.plant.nonconforming import grounds_of

__all__ = ["checked", "entry_faults"]


@dataclass(frozen=True, slots=True)
class _Coming:
    """A decision that is about to be entered, as the fold reads it."""

    seq: int
    kind: str
    about: str
    at_ms: int
    by: str
    body: Mapping[str, Any]


@contextmanager
def checked(plant: str, drafts: Sequence[Draft]) -> Iterator[None]:
    """Hold the record's lock from the look at the files on, until the drafts are in.

    Raises
    ------
    Refusal
        With every fault of every entry of a file among the drafts.
    """
    if not any(map(_is_mine, drafts)):
        yield
        return
    with transaction.atomic():
        if plant in lots.plants():
            heads.lock(plant)
        wrong = entry_faults(plant, drafts)
        if wrong:
            raise Refusal(wrong)
        yield


def entry_faults(plant: str, drafts: Sequence[Draft]) -> list[Fault]:
    """Faults of the entries of files among drafts, each as if those before it were in."""
    mine = [draft for draft in drafts if isinstance(draft, Decision) and _is_mine(draft)]
    if not mine:
        return []
    no = lots.plant_number(plant) if plant in lots.plants() else 0
    same, changed = said.compare(no, mine)
    known: list[Said] = list(decided.of_kinds(no, *KINDS))
    found: list[Fault] = []
    for draft in mine:
        if draft.key in same | changed:
            continue  # it is in already, or the record says that its key was used
        among = fold(known)
        causes, codes = _names(draft.body)
        wrong = faults(among, draft, grounds_of(no, among, causes, codes))
        found += wrong
        if not wrong:
            at_ms, body = draft.happened_at, draft.body
            known.append(_Coming(0, draft.kind, draft.about, at_ms, draft.by, body))
    return found


def _is_mine(draft: Draft) -> bool:
    return isinstance(draft, Decision) and draft.kind in KINDS


def _names(body: Mapping[str, Any]) -> tuple[set[str], set[str]]:
    """Causes and lots that a body names, whatever else is wrong with it."""
    causes, items, complaint = body.get("causes"), body.get("items"), body.get("complaint")
    told = [*(items if isinstance(items, list | tuple) else ()), complaint]
    codes = {
        item.get(part) for item in told if isinstance(item, Mapping) for part in ("lot", "shipment")
    }
    named = causes if isinstance(causes, list | tuple) else ()
    return _texts(named), _texts(codes)


def _texts(values: Any) -> set[str]:
    return {value for value in values if isinstance(value, str) and value}
