"""Who may do what: roles, asked by the door and by every question. Default: no.

Read :data:`MAY_POST`. The role of an account, and of a person, is a dated setting (topic ``role``);
the accounts ``install`` (who runs the command line on the plant's own machine) and ``import`` are
engineers. Where a decision names a person, that person must be allowed to make it as well: see
:func:`allow_persons`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from beadwright.errors import Fault, Refusal
from beadwright.ledger.body import kind_of
from beadwright.ledger.draft import (
    RANK,
    Concession,
    Correction,
    Decision,
    Draft,
    Lift,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.fold import Dated

__all__ = [
    "MAY_ASK",
    "MAY_DECIDE",
    "MAY_POST",
    "Role",
    "Who",
    "allow",
    "allow_persons",
    "brings_files",
    "is_house",
    "may_ask",
    "may_post",
    "may_restate",
    "role_of",
]


class Role(StrEnum):
    """What an account is in the plant."""

    OPERATOR = "operator"
    SHIFT_LEAD = "shift_lead"
    TECHNICIAN = "technician"
    ENGINEER = "engineer"
    AUDITOR = "auditor"
    MACHINE = "machine"


@dataclass(frozen=True, slots=True)
class Who:
    """Who is at the door: an account and its role; no role may do nothing."""

    account: str
    role: Role | None


_FLOOR = frozenset(
    {
        "receipt", "expand", "fill", "draw", "mould", "produce", "run_open", "run_close", "move",
        "split", "merge", "relabel", "weigh", "ran_empty", "bundle", "scrap", "strip", "grind",
        "densify",
    }
)  # fmt: skip
_LEAD = _FLOOR | {"swept_empty", "ship", "return", "mould_change", "first_piece", "dispose"}
_BENCH = frozenset({"inspect", "sample", "weigh", "relabel", "split", "first_piece"})
_ALL = _LEAD | _BENCH | {"stocktake"}

MAY_POST: Mapping[Role, tuple[frozenset[str], frozenset[str]]] = {
    Role.OPERATOR: (_FLOOR, frozenset({"step", "readings"})),
    Role.SHIFT_LEAD: (
        _LEAD | {"inspect"},
        frozenset({"step", "readings", "hold", "correct", "reverse"}),
    ),
    Role.TECHNICIAN: (_BENCH, frozenset({"step", "readings", "void", "hold"})),
    Role.ENGINEER: (
        _ALL,
        frozenset(
            {
                "step",
                "readings",
                "void",
                "setting",
                "hold",
                "lift",
                "release",
                "concession",
                "decision",
                "correct",
                "reverse",
            }
        ),
    ),
    Role.MACHINE: (frozenset({"weigh", "produce"}), frozenset({"step", "readings"})),
    Role.AUDITOR: (frozenset(), frozenset()),
}
"""For each role: kinds of step, and kinds of entry, it may post."""

MAY_DECIDE: Mapping[Role, frozenset[str]] = {
    Role.SHIFT_LEAD: frozenset({"nc_open", "nc_note"}),
    Role.TECHNICIAN: frozenset({"nc_open", "nc_note"}),
}
"""Kinds of decision that a role may post, where it may not post every kind."""

MAY_ASK: frozenset[Role] = frozenset(Role) - {Role.MACHINE}
"""Who may ask about lots, trace, evidence; a machine only tells."""

_IMPORT = "import"
_HOUSE = frozenset({"install", _IMPORT})

_DECIDED = (Release, Lift, Concession, SettingDraft, Correction, Reversal, Void, Decision)
"""What only a person who is allowed to may decide. A hold is none of them: anybody who sees cause
may stop a lot; nor is a step or a reading, of which ``by`` says who did it."""


def role_of(account: str, settings: Dated, at_ms: int) -> Role | None:
    """Role of an account at a time, or None."""
    if account in _HOUSE:
        return Role.ENGINEER
    body = settings.at("role", account, at_ms)
    return None if body is None else Role(str(body["role"]))


def allow(who: Who, draft: Draft) -> None:
    """Let the draft through, or refuse it.

    Raises
    ------
    Refusal
        ``not_allowed``, where the role may not make such an entry.
    """
    kind = kind_of(draft)
    steps, entries = (
        (frozenset[str](), frozenset[str]()) if who.role is None else MAY_POST[who.role]
    )
    if isinstance(draft, Decision) and who.role is not None:
        entries |= {kind} if draft.kind in MAY_DECIDE.get(who.role, ()) else set()
    inner = draft if isinstance(draft, StepDraft) else getattr(draft, "restated", None)
    # A kind that does not exist is refused by the record, which says so.
    if kind in entries and (inner is None or inner.kind in steps or inner.kind not in RANK):
        return
    what = f"{who.account} ({who.role or 'no role'}) may not post a {kind}"
    if inner is not None:
        what += f" of kind {inner.kind}"
    remedy = "Ask somebody whose role allows it; an engineer gives roles."
    raise Refusal([Fault("not_allowed", what, "", draft.key, remedy)])


def allow_persons(who: Who, drafts: Iterable[Draft], settings: Dated) -> None:
    """Let decisions through where the people they name may decide so, or refuse them.

    A person has the role in force when they decided; who has none decides nothing. Only an import
    brings in what people without a role decided: it is history, and a role may have come later.

    Raises
    ------
    Refusal
        ``not_allowed``, once for each draft whose person may not.
    """
    faults: list[Fault] = []
    for draft in drafts:
        if not isinstance(draft, _DECIDED) or not draft.by:
            continue
        body = settings.at("role", draft.by, draft.happened_at)
        if body is None and brings_files(who):
            continue
        try:
            allow(Who(draft.by, None if body is None else Role(str(body["role"]))), draft)
        except Refusal as refusal:
            faults += refusal.faults
    if faults:
        raise Refusal(faults)


def brings_files(who: Who) -> bool:
    """Whether the account is the import, which speaks for whoever wrote the files."""
    return who.account.partition(":")[0] == _IMPORT


def is_house(account: str) -> bool:
    """Whether an account is nobody's own: the import, or the shell on the plant's own machine."""
    return account.partition(":")[0] in _HOUSE


def may_ask(who: Who) -> bool:
    """Whether the account may ask questions of the record."""
    return who.role in MAY_ASK


def may_restate(role: Role, *, step: bool, readings: bool) -> bool:
    """Whether a role may correct a form in place, by what the form became.

    Readings are voided and stated anew; a step is corrected.
    """
    _, entries = MAY_POST[role]
    asked = {"correct"} if step else set()
    return (asked | ({"void", "readings"} if readings else set())) <= entries


def may_post(role: Role, kind: str) -> bool:
    """Whether a role may post a kind of step or entry: what a page asks before it offers a way."""
    steps, entries = MAY_POST[role]
    return kind in steps or kind in entries
