"""A recall in words, and as a program reads it.

Read :func:`scope_json`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.ledger.account import Account
from beadwright.plant.opening import Plant
from beadwright.plant.recall.scope import InScope, Scope, Sent
from beadwright.plant.whereabouts import Stand
from beadwright.plant.words import iso, number

__all__ = [
    "ACCOUNT",
    "RECALL_SAYS",
    "account_masses",
    "account_said",
    "days_left",
    "pieces_of",
    "pieces_told",
    "product_told",
    "scope_json",
    "share_told",
    "told_nobody",
]

_TEN = 10
_LITTLE = 0.01
"""Per cent below which a share is not told apart from another."""

ACCOUNT = ("came in", "in stock", "sent", "scrap", "lost", "unaccounted")
"""Columns of a closing account; what was sampled counts as stock."""

RECALL_SAYS = (
    "Every lot that may hold any of it, by the record: places that were not swept empty in between"
    " pass it on. Shares are estimates; the bounds are of any part of a lot, and hold while the"
    " record is true, with its weighings as far off as the plant says they may be. Nothing is held"
    " or sent by it."
)


def share_told(one: InScope | Sent) -> str:
    """Give a share with its bound, in per cent."""
    if one.share == one.most == 1:
        return "all of it"
    low = f"{_cent(one.least)} to " if isinstance(one, InScope) else "at most "
    return f"{_cent(one.share)} % ({low}{_cent(one.most)} %)"


def _cent(share: float) -> str:
    cent = 100 * share
    if 0 < cent < _LITTLE:
        return f"under {_LITTLE}"
    return f"{cent:.0f}" if cent >= _TEN or not cent else f"{cent:.2g}"


def pieces_told(stand: Stand) -> str:
    """Give pieces that stand together, and in what; in the plant, where."""
    many = number(stand.at_most, "piece")
    if stand.at_least != stand.at_most:
        many = f"{stand.pieces} pieces"
    inside = f" in {stand.lot}" if stand.what != "mould run" else ""
    return f"{many}{inside}{f', {stand.place}' if stand.place and not stand.receiver else ''}"


def account_masses(one: Account) -> tuple[float, ...]:
    """Give the masses of a closing account as they are shown, in mg: see :data:`ACCOUNT`."""
    kept = one.in_stock + one.sampled
    return (one.made, kept, one.shipped, one.scrapped, sum(one.losses.values()), one.unaccounted)


def pieces_of(some: Sequence[Sent]) -> str:
    """Give how many pieces a receiver has; two bounds where bundles mixed lots."""
    least, most = (sum(getattr(one.stand, end) for one in some) for end in ("at_least", "at_most"))
    return number(most, "piece") if least == most else f"{least} to {most} pieces"


def product_told(one: Sent) -> str:
    """Give a product by its code and what it is called: a building site knows no codes."""
    return f"{one.product}, {one.title}" if one.title else one.product


def days_left(one: Sent, zone: ZoneInfo) -> str:
    """Give the day on which it left the plant, in the plant's zone; of several, first and last."""
    days = (datetime.fromtimestamp(ms / 1000, zone).date().isoformat() for ms in one.left_ms)
    return " to ".join(dict.fromkeys(days))


def told_nobody(found: Scope) -> tuple[str, ...]:
    """Say who need not be told, and who has what of the lots that were left out by evidence."""
    said = []
    if not found.receivers:
        whole = not found.narrowing.assumes
        said.append(f"Nobody: none of {'it' if whole else 'what is left in scope'} has left.")
    if found.out_sent:
        who = ", ".join(f"{name} ({pieces_of(some)})" for name, some in found.out_sent)
        said.append(f"Of the lots left out by evidence, told nothing: {who}.")
    return tuple(said)


def account_said(found: Scope) -> str:
    """Say of what the closing account is."""
    return "Of all that was started from, lots left out included." if found.out else ""


def scope_json(plant: Plant, found: Scope) -> dict[str, Any]:
    """Give a scope as a map that JSON can hold; masses in mg."""
    return {
        **plant.about,
        "says": RECALL_SAYS,
        "starts": list(found.starts),
        "within": list(found.within),
        "narrowed": {
            "assumes": list(found.narrowing.assumes),
            "left_out": [{"lot": code, "why": why} for code, why in found.out],
            "sent": [
                {"receiver": name, "lots": [_sent(one, plant.zone) for one in some]}
                for name, some in found.out_sent
            ],
        },
        "lots": [_lot(one) for one in found.lots],
        "here": [
            {"lot": code, "in": one.lot, "place": one.place, "at_least": one.at_least,
             "at_most": one.at_most}
            for code, one in found.here
        ],
        "stock": [
            {"lot": one.lot.code, "kind": one.lot.kind, "mass_mg": one.lot.mg,
             "share": one.share, "share_most": one.most}
            for one in found.stock
        ],
        "receivers": [
            {"receiver": name, "lots": [_sent(one, plant.zone) for one in some]}
            for name, some in found.receivers
        ],
        "gone_pieces": found.gone,
        "not_listed_mg": round(found.cut_mg, 3),
        "accounts": [_account(one) for one in found.accounts],
    }  # fmt: skip


def _lot(one: InScope) -> dict[str, Any]:
    return {
        "lot": one.lot.code, "kind": one.lot.kind, "what": one.lot.what,
        "product": one.lot.product, "place": one.lot.place, "share": one.share,
        "share_least": one.least, "share_most": one.most, "mass_mg": round(one.mg, 3),
    }  # fmt: skip


def _sent(one: Sent, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "lot": one.lot, "product": one.product, "title": one.title, "in": one.stand.lot,
        "left": [iso(ms, zone) for ms in one.left_ms],
        "at_least": one.stand.at_least, "at_most": one.stand.at_most,
        "share": one.share, "share_most": one.most,
    }  # fmt: skip


def _account(one: Account) -> dict[str, Any]:
    return {
        "lot": one.lot, "made_mg": round(one.made), "in_stock_mg": round(one.in_stock, 3),
        "shipped_mg": round(one.shipped, 3), "scrapped_mg": round(one.scrapped, 3),
        "sampled_mg": round(one.sampled, 3), "lost_mg": round(sum(one.losses.values()), 3),
        "unaccounted_mg": round(one.unaccounted, 3),
    }  # fmt: skip
