"""Whether two people who release a lot are two: neither made a releaser by the other alone.

Read :func:`not_apart`, then :class:`Grants`. An engineer who gives a second id the role could
release as both, and a rule of two persons would be met by one. So a person counts beside another
only where somebody else stands for the role: the plant's first set-up, or an engineer who neither
is one of the two nor has the role from one of them alone. Where nobody else could sign, a plant
must still be able to work: there both count, and every release by them says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from beadwright.ledger import entered, lots, people
from beadwright.ledger.alike import looks
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.releases import Approval
from beadwright.ledger.settings import Settings
from beadwright.plant.access import Role, may_post
from beadwright.plant.approved import counting, persons
from beadwright.plant.plan import day_at
from beadwright.plant.upstream import zone_of

__all__ = ["Grant", "Grants", "NotApart", "Told", "alike", "grants_of", "not_apart", "told"]

_ROLE = "role"
_RULE = ("release", "rule")
_TWO = 2

Told = tuple[str, str]
"""A sentence, and where it comes from."""


@dataclass(frozen=True, slots=True)
class Grant:
    """A role stated of a person: whether it releases lots, and who signed for it."""

    seq: int
    releases: bool
    by: str
    """Empty where it came with the plant's first set-up, for which nobody has to sign."""
    on: str
    """Day on which it was entered, in the plant's zone."""


@dataclass(frozen=True, slots=True)
class Grants:
    """Roles as they were stated, by person, in the order of the record."""

    by_person: Mapping[str, Sequence[Grant]]

    def of(self, person: str, before: int | None = None) -> list[Grant]:
        """Give what a person's being a releaser rests on, as the record stood before an entry.

        What stood before the role was taken away counts no more.
        """
        found: list[Grant] = []
        for one in self.by_person.get(person, ()):
            if before is None or one.seq < before:
                found = [*found, one] if one.releases else []
        return found

    def stands(
        self, person: str, other: str, before: int | None = None, seen: frozenset[str] = frozenset()
    ) -> bool:
        """Whether a person has the role otherwise than from another, or by way of them."""
        rests = self.of(person, before)
        beyond = seen | {person, other}
        return not rests or any(
            not one.by or (one.by not in beyond and self.stands(one.by, other, before, beyond))
            for one in rests
        )

    def between(self, one: str, other: str, before: int | None = None) -> tuple[str, Grant] | None:
        """Give whose role rests on the other of two, and its newest grant; None where neither's."""
        for person, by in ((one, other), (other, one)):
            if not self.stands(person, by, before):
                return person, self.of(person, before)[-1]
        return None

    def could_sign(self, person: str, other: str) -> tuple[str, ...]:
        """Give who has the role now and could stand for a person beside another."""
        pair = frozenset({person, other})
        return tuple(
            sorted(
                name for name in self.by_person
                if name not in pair and self.of(name) and self.stands(name, other, seen=pair)
            )
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class NotApart:
    """Why two people do not count as two, and what to do."""

    what: str
    remedy: str


def grants_of(plant: str, in_force: Settings) -> Grants:
    """Read who signed for the roles of a plant."""
    seqs = {
        seq: name for name in in_force.names(_ROLE) for _, seq, _ in in_force.stated(_ROLE, name)
    }
    zone, first = zone_of(in_force), None
    found: dict[str, list[tuple[tuple[int, int, int], Grant]]] = {}
    for seq, entry in sorted(entered.by_number(plant, seqs).items()):
        draft = entry.draft
        if not isinstance(draft, SettingDraft):
            continue
        releases = may_post(Role(str(draft.body["role"])), "release")
        # Who came with the first that release were set up with them, whoever signed the file.
        first = entry.recorded_at if first is None and releases else first
        early = first is None or entry.recorded_at <= first
        grant = Grant(
            seq, releases, "" if early else draft.by or entry.account,
            f"{day_at(entry.recorded_at, zone)}",
        )  # fmt: skip
        since = draft.happened_at if draft.since is None else draft.since
        found.setdefault(seqs[seq], []).append(((entry.recorded_at, since, seq), grant))
    ordered = {name: tuple(one for _, one in sorted(some, key=lambda each: each[0]))
               for name, some in found.items()}  # fmt: skip
    return Grants(ordered)


def alike(plant: str, one: str, other: str) -> bool:
    """Whether two ids, or all that is kept of their names, are read as one."""
    if looks(one) == looks(other):
        return True
    called: dict[str, set[str]] = {one: set(), other: set()}
    for each in people.names(plant).values():
        if each.person in called:
            called[each.person].add(looks(each.name))
    return bool(called[one]) and called[one] == called[other]


def not_apart(plant_no: int, one: str, over: Sequence[str], in_force: Settings) -> NotApart | None:
    """Say why a person is no second beside those who approved the same; None where they are.

    Where nobody else has the role to stand for one of them, they count; :func:`told` says so.
    """
    plant = lots.plant_code(plant_no)
    grants, why = grants_of(plant, in_force), None
    for other in over:
        if alike(plant, one, other):
            why = NotApart(
                f"{other} and {one} do not count as two: their names look alike",
                "Another person releases it. If they are two people, give one of them a fuller"
                " name under initials of its own in [people], and import it.",
            )
            continue
        rests = grants.between(one, other)
        could = grants.could_sign(rests[0], other if rests[0] == one else one) if rests else ()
        if rests is None or not could:
            return None
        why = NotApart(
            f"{other} and {one} do not count as two: {_rests(*rests)}, and by no other engineer",
            f"Another person releases it, or {' or '.join(could)} signs for {rests[0]}: state"
            f" [role.{rests[0]}] in plant.toml with since = today, and import it with --by.",
        )
    return why


def told(
    plant_no: int, in_force: Settings, given: Mapping[str, Sequence[Approval]], at_ms: int
) -> dict[str, list[Told]]:
    """Say of each lot released by two whether one of them has the role by the other alone.

    As the record stood when the later of them approved: what was signed since unsays nothing.
    """
    wanted = persons(in_force.at(*_RULE, at_ms))
    both = {lot: counting(some, wanted) for lot, some in given.items() if len(some) >= _TWO}
    both = {lot: some for lot, some in both.items() if len(some) >= max(wanted, _TWO)}
    if wanted < _TWO or not both:
        return {}
    grants = grants_of(lots.plant_code(plant_no), in_force)
    found: dict[str, list[Told]] = {}
    for lot, some in both.items():
        pairs = [
            (one, other, grants.between(one.by, other.by, max(one.seq, other.seq)))
            for one, other in combinations(some, _TWO)
        ]
        if all(rests is not None for _, _, rests in pairs):
            one, other, rests = pairs[0]
            if rests is not None:
                sentence = f"released by {one.by} and by {other.by} as two, and {_rests(*rests)}"
                found[lot] = [(sentence, f"entry {rests[1].seq}")]
    return found


def _rests(person: str, grant: Grant) -> str:
    return f"the role of {person} was signed for by {grant.by}, entry {grant.seq}, {grant.on}"
