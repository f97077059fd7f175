"""First pieces: which runs had to wait for one after a change at the press, and who signed it.

Read :func:`of_lots`. What a press makes after a change (a start, another mould, other beads or
ties) is scrap until mass, ties, fusion, dimensions and code of a first piece are signed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast
from zoneinfo import ZoneInfo

from beadwright.ledger.fold import Dated
from beadwright.ledger.lots import Making
from beadwright.ledger.news import KeptAnswer, News
from beadwright.ledger.pressed import TOLD, PressStep, press_steps
from beadwright.ledger.settings import Settings
from beadwright.plant.assessment import REASONS, Reason
from beadwright.plant.upstream import local

__all__ = [
    "SIGNED", "SIGNERS", "STILL_H", "Awaited", "FirstPiece", "as_evidence", "awaited", "of_lots",
    "reasons_of", "steps_back",
]  # fmt: skip

SIGNED = ("mass", "ties", "fusion", "dimensions", "code")
"""Facts of a first piece that must all be ``ok``."""

SIGNERS = ("shift_lead", "technician", "engineer")
"""Roles that may sign a first piece; a plant may say which of them must (``signed_by``)."""

STILL_H = 8.0
"""Hours a press must have stood for what follows to be a start, where the plant sets none
(``still_h``). Common practice, no source."""

_HOUR_MS = 3_600_000
_DAY_MS = 24 * _HOUR_MS
_LOOK_BACK_MS = 31 * 24 * _HOUR_MS
"""How far before the rule a press is looked at, to know what it made last."""

_WORDS = {"start": "a start", "mould": "a mould change", "bead": "other beads", "tie": "other ties"}


@dataclass(frozen=True, slots=True)
class FirstPiece:
    """A change at a press before pieces of a lot, and the first piece signed after it, if any."""

    press: str
    run: str
    step: str
    """Client key of the first step after the change."""
    at_ms: int
    after: tuple[str, ...]
    """What had changed: ``start``, ``mould``, ``bead``, ``tie``."""
    signature: str = ""
    """Client key of the approval; empty where there is none."""
    signed_ms: int = 0
    by: str = ""
    before: int = 0
    """Pieces of the lot that were counted good before it was signed."""


@dataclass(frozen=True, slots=True)
class Awaited:
    """What a press makes now, and whether its first piece is signed."""

    after: tuple[str, ...] = ()
    """What had changed; none: no first piece is asked for."""
    since_ms: int = 0
    signed_ms: int | None = None
    by: str = ""
    missing: tuple[str, ...] = SIGNED
    """What is not signed as ``ok`` yet."""
    refused: tuple[str, ...] = ()
    """What was looked at and is not ok."""
    good: int = 0
    """Pieces counted good since the change, before a signature."""

    @property
    def waits(self) -> bool:
        """Whether what is made now is scrap until it is signed."""
        return bool(self.after) and self.signed_ms is None

    @property
    def words(self) -> str:
        """What had changed, in words."""
        return " and ".join(_WORDS[name] for name in self.after)


@dataclass(slots=True)
class _Stretch:
    """What a press made from one change to the next."""

    after: tuple[str, ...]
    steps: list[PressStep]


def of_lots(
    plant_no: int, settings: Settings, makings: Mapping[str, Sequence[Making]]
) -> dict[str, tuple[FirstPiece, ...]]:
    """Give the first pieces that each lot had to wait for, by the rule in force at the change."""
    versions = settings.versions("first_piece", "rule")
    places = {one.place for some in makings.values() for one in some if one.place}
    if not versions or not places:
        return {}
    steps = press_steps(plant_no, places, versions[0][0] - _LOOK_BACK_MS)
    approvals = [one for one in steps if one.kind == "first_piece" and _whole(one)]
    found: dict[str, list[FirstPiece]] = {}
    for press in sorted(places):
        stretches = _stretches(press, steps, settings)
        for number, stretch in enumerate(stretches):
            later = stretches[number + 1].steps[0].at_ms if number + 1 < len(stretches) else 2**62
            signed = _signed(press, stretch, approvals, (later, settings))
            for lot in dict.fromkeys(code for one in stretch.steps for code in _blocks(one)):
                if stretch.after and lot in makings:
                    found.setdefault(lot, []).append(_of(press, stretch, lot, signed))
    return {lot: tuple(some) for lot, some in found.items()}


def awaited(
    plant_no: int, settings: Settings, press: str, ahead: PressStep | None, at_ms: int
) -> Awaited:
    """Say whether what a press makes at a time waits for its first piece.

    ``ahead`` is what it is set to make next and has not counted yet: its mould, beads and ties.
    """
    if settings.at("first_piece", "rule", at_ms) is None:
        return Awaited()
    steps = [one for one in steps_back(plant_no, press, at_ms) if one.at_ms <= at_ms]
    told = steps if ahead is None else sorted([*steps, ahead], key=lambda one: one.at_ms)
    stretches = _stretches(press, told, settings)
    if not stretches or not stretches[-1].after:
        return Awaited()
    last = stretches[-1]
    begun = last.steps[0].at_ms
    signed = _signed(press, last, filter(_whole, _approvals(steps)), (2**62, settings))
    partly = [one for one in _approvals(steps) if one.place == press and one.at_ms >= begun]
    said = partly[-1].facts if partly else {}
    refused = tuple(name for name in SIGNED if said.get(name) == "not ok")
    if signed is not None:
        return Awaited(last.after, begun, signed.at_ms, signed.by, ())
    good = sum(sum(one.lots.values()) for one in last.steps)
    missing = tuple(name for name in SIGNED if said.get(name) != "ok")
    # All ok, and signed by somebody who may not: everything is to be signed again.
    return Awaited(last.after, begun, None, "", missing or SIGNED, refused, good)


@dataclass(frozen=True, slots=True)
class _Since:
    """What was told of a press since a day."""

    day: int
    steps: tuple[PressStep, ...]


_kept: KeptAnswer[_Since] = KeptAnswer()


def steps_back(plant_no: int, press: str, at_ms: int) -> tuple[PressStep, ...]:
    """Give what was told of a press in the month before a time, and after it."""
    day = (at_ms - _LOOK_BACK_MS) // _DAY_MS

    def renewed(before: _Since, news: News) -> _Since | None:
        return None if before.day != day or news.kinds & TOLD else before

    def anew() -> _Since:
        return _Since(day, press_steps(plant_no, [press], day * _DAY_MS))

    return _kept.answer(plant_no, anew, renewed, press).steps


def _approvals(steps: Iterable[PressStep]) -> list[PressStep]:
    return [one for one in steps if one.kind == "first_piece"]


def _whole(approval: PressStep) -> bool:
    return all(approval.facts.get(name) == "ok" for name in SIGNED)


def _stretches(press: str, steps: Iterable[PressStep], settings: Dated) -> list[_Stretch]:
    found: list[_Stretch] = []
    last: PressStep | None = None
    changed = False
    for one in steps:
        if one.kind == "mould_change":
            changed = changed or one.place == press
        elif one.kind != "first_piece" and one.place == press:
            rule = settings.at("first_piece", "rule", one.at_ms) or {}
            after = tuple(_changes(one, last, rule, changed=changed))
            if after or not found:
                found.append(_Stretch(after, []))
            found[-1].steps.append(one)
            last, changed = one, False
    return found


def _changes(
    one: PressStep, last: PressStep | None, rule: Mapping[str, object], *, changed: bool
) -> Iterator[str]:
    """What of the rule's changes lies between a step at a press and the one before it there."""
    asked = cast("Sequence[str]", rule.get("after", ()))
    still = float(str(rule.get("still_h") or STILL_H)) * _HOUR_MS
    if "start" in asked and (last is None or one.at_ms - _ended(last) >= still):
        yield "start"
    if last is None:
        return
    if "mould" in asked and (changed or _mould(one) != _mould(last)):
        yield "mould"
    if "bead" in asked and one.beads != last.beads:
        yield "bead"
    if "tie" in asked and one.ties != last.ties:
        yield "tie"


def _blocks(one: PressStep) -> Iterator[str]:
    """Lots that wait for a first piece: packaging has no ties to be looked at."""
    yield from (code for code in one.lots if code not in one.packaging)


def _mould(one: PressStep) -> tuple[str, str]:
    """The mould by name, and the product, whose shape is the mould's."""
    return one.facts.get("mould", ""), one.product


def _ended(one: PressStep) -> int:
    ended = one.facts.get("ended", "")
    return max(one.at_ms, int(ended)) if ended.isdigit() else one.at_ms


def _signed(
    press: str,
    stretch: _Stretch,
    approvals: Iterable[PressStep],
    told: tuple[int, Settings],
) -> PressStep | None:
    """Give the first approval of a stretch: at its press, of a run of it, or of a lot of it.

    ``told``: when the next stretch begins, and the dated settings that say whose approval counts.
    """
    later, settings = told
    runs = {one.run for one in stretch.steps} - {""}
    made = {code for one in stretch.steps for code in one.lots}
    for one in approvals:
        its = one.place == press or (not one.place and (one.run in runs or made & one.lots.keys()))
        if its and stretch.steps[0].at_ms <= one.at_ms < later and _counts(one, settings):
            return one
    return None


def _counts(approval: PressStep, settings: Settings) -> bool:
    """Whether who signed was who must, where the plant says which roles sign."""
    rule = settings.at("first_piece", "rule", approval.at_ms) or {}
    roles = cast("Sequence[str]", rule.get("signed_by", ()))
    body = settings.at("role", approval.by, approval.at_ms) or {}
    return not roles or body.get("role") in roles


def _of(press: str, stretch: _Stretch, lot: str, signed: PressStep | None) -> FirstPiece:
    first = stretch.steps[0]
    plain = FirstPiece(press, first.run, first.step, first.at_ms, stretch.after)
    if signed is None:
        return plain
    # Of a whole run, told as one step, nobody knows what was made before a time within it.
    before = sum(
        one.lots.get(lot, 0)
        for one in stretch.steps
        if _ended(one) < signed.at_ms and (one.kind == "produce" or "ended" in one.facts)
    )
    return FirstPiece(
        press, first.run, first.step, first.at_ms, stretch.after,
        signed.step, signed.at_ms, signed.by, before,
    )  # fmt: skip


def reasons_of(found: Iterable[FirstPiece], zone: ZoneInfo) -> Iterator[Reason]:
    """Give the reasons that follow: unsigned, pieces before the signature, and what was signed."""
    for one in found:
        run = f"run {one.run}" if one.run else "the run"
        after = " and ".join(_WORDS[name] for name in one.after)
        begun = f"{run} at {one.press}, begun {local(one.at_ms, zone)} after {after}"
        if not one.signature:
            what = f"no first piece was approved of {begun}: {', '.join(SIGNED)}"
            yield _reason("no_first_piece", what, f"step {one.step}")
            continue
        when, source = local(one.signed_ms, zone), f"step {one.signature}"
        if one.before:
            what = (
                f"{one.before} pieces of {begun} were counted good before its first piece was"
                f" approved {when}: they count as scrap; correct the number of good ones"
            )
            yield _reason("before_first_piece", what, source)
        by = f" by {one.by}" if one.by else ""
        yield _reason("first_piece", f"the first piece of {begun} was approved {when}{by}", source)


def _reason(code: str, what: str, source: str) -> Reason:
    return Reason(code, what, source, REASONS[code][0])


def as_evidence(found: Iterable[FirstPiece]) -> list[list[object]]:
    """Give what the hash of the evidence is made from."""
    return [
        [one.press, one.step, list(one.after), one.signature, one.signed_ms, one.by, one.before]
        for one in found
    ]
