"""How a lot's release stands, in words: who approved which evidence, and who has still to.

Read :func:`headline` and :func:`standing`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from zoneinfo import ZoneInfo

from beadwright.ledger.releases import Approval
from beadwright.plant.assessment import FOUND_WRONG, Asked, LotAssessment
from beadwright.plant.doubted import wrong_said
from beadwright.plant.signed_how import signed_how
from beadwright.plant.upstream import local
from beadwright.plant.words import ANSWER_WORDS

__all__ = [
    "AGAINST",
    "LEFT",
    "LEFT_UNRELEASED",
    "ONCE_RELEASED",
    "against",
    "headline",
    "not_counting",
    "signing",
    "standing",
    "stays_released",
    "tells_left",
]

ONCE_RELEASED = "may ship, once released"
_SHIPPED = "shipped"
LEFT = f"{_SHIPPED}, nothing stands against it"
LEFT_UNRELEASED = f"{_SHIPPED}, no release stands"
_SHIPMENT = "shipment"
_BESIDE = {
    "open_beside": "a nonconformity of its pieces is open",
    "holder_held": "a bundle or shipment with pieces of it is held",
}
"""What is to be known of a lot and holds nothing of it, by the code of its reason, in short."""

AGAINST = frozenset({FOUND_WRONG, *_BESIDE})
"""Codes of the reasons that a headline names though they hold nothing of a lot."""
_COUNT = {1: "one", 2: "two"}


def headline(
    one: LotAssessment | Asked, *, gone: bool = False, inside: Iterable[LotAssessment] = ()
) -> str:
    """Give an answer in words; of what may ship and waits for a release, that it waits.

    What stands against it and holds nothing is said with it. What has left is not said to may:
    ``gone`` says so of a bundle, whose pieces are not known here, and ``inside`` are its lots.
    """
    if one.answer != "may_ship":
        return ANSWER_WORDS[one.answer]
    but = against([one] if isinstance(one, LotAssessment) else inside)
    if gone or _has_left(one):
        words = LEFT if one.may_leave else LEFT_UNRELEASED
        words = _SHIPPED if but and one.may_leave else words
    else:
        words = ANSWER_WORDS[one.answer] if one.may_leave else ONCE_RELEASED
    return f"{words}; but {but}" if but else words


def against(some: Iterable[LotAssessment]) -> str:
    """Say in short what stands against lots though it holds none of them; empty: nothing does."""
    reasons = [reason for one in some for reason in one.reasons]
    said = [wrong_said(one for one in reasons if one.code == FOUND_WRONG)]
    said += [text for code, text in _BESIDE.items() if any(one.code == code for one in reasons)]
    return ", and ".join(filter(None, said))


def tells_left(words: str) -> bool:
    """Whether a headline says that it has left the plant."""
    return words.startswith(_SHIPPED)


def _has_left(one: LotAssessment | Asked) -> bool:
    """Whether nothing of it is in the plant any more, and something is with a receiver."""
    if isinstance(one, Asked):
        return one.what == _SHIPMENT
    return bool(one.whereabouts.shipped) and not one.whereabouts.in_stock


def signing(to_sign: int, persons: int) -> str:
    """Say how many persons have still to release."""
    if to_sign == persons:
        return f"{_COUNT[to_sign]} person{'s' if to_sign > 1 else ''} must release"
    return f"{_COUNT[to_sign]} more person must release"


def standing(lot: LotAssessment, zone: ZoneInfo) -> list[str]:
    """Say whether a release stands, by whose approvals of which evidence, and who must sign yet."""
    now = _once(one for one in lot.given if one.evidence == lot.evidence)
    if lot.approved:
        return _released(lot, now, zone)
    told = []
    if now:
        told.append(f"Approved by one of two, {_by(now, zone)}: not released")
    else:
        told.append("Not released")
    if _has_left(lot):
        told[0] += "; all of it is shipped"
    elif lot.answer == "may_ship" and lot.ruled:
        told[0] += f"; {signing(lot.to_sign, lot.persons)} it"
    told[0] += "."
    return [*told, *not_counting(lot, zone)]


def not_counting(lot: LotAssessment, zone: ZoneInfo) -> list[str]:
    """Say of a lot that is not released which approvals do not count, and why."""
    before = _once(one for one in lot.given if one.evidence != lot.evidence)
    if not before:
        return []
    was, do = ("approval", "does") if len(before) == 1 else ("approvals", "do")
    what = f"The {was} {_by(before, zone)} {do} not count: {_since(lot, before)}"
    return [f"{what}, and whoever approved it must look at it again."]


def _since(lot: LotAssessment, before: Sequence[Approval]) -> str:
    if all(lot.same(one.evidence) for one in before):
        return "the tool's hash of evidence covers more since"
    return "the evidence has changed since"


def stays_released(lot: LotAssessment, zone: ZoneInfo) -> str:
    """Say that a release stands though the evidence is no longer the one it was given over."""
    if all(lot.same(one.evidence) for one in lot.approvals):
        return (
            f"Its release {_by(lot.approvals, zone)} was over this same evidence, as the tool"
            " hashed it then: that release stands."
        )
    return (
        f"Its release {_by(lot.approvals, zone)} was over the evidence before. What has changed"
        " since does not make the answer worse: that release stands. Only a certificate needs one"
        " over the evidence as it is now."
    )


def _released(lot: LotAssessment, now: Sequence[Approval], zone: ZoneInfo) -> list[str]:
    given = f"Released {_by(lot.approvals, zone)}"
    if lot.suspended:
        return [f"{given}; SUSPENDED, its grounds have changed."]
    if lot.same(lot.approvals[0].evidence):
        return [f"{given}."]
    what = "The evidence has changed since, not for the worse: the release stands."
    if now:
        what += f" As it is now, it is approved by one of two, {_by(now, zone)}."
    return [f"{given}.", what]


def _once(given: Iterable[Approval]) -> list[Approval]:
    """Give the first approval by each person."""
    found: dict[str, Approval] = {}
    for one in given:
        found.setdefault(one.by, one)
    return list(found.values())


def _by(given: Sequence[Approval], zone: ZoneInfo) -> str:
    return ", ".join(
        f"{f'by {one.by} ' if one.by else ''}{local(one.at_ms, zone)}"
        f" ({signed_how(one.by, one.account)})"
        for one in given
    )
