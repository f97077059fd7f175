"""Read a plant's files and post what they say: all of a file, or nothing of it.

Read :func:`import_files`. What was posted before is left as it is; a row that says something else
than last time is shown, and waits for a correction.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from beadwright.errors import Fault, Misuse
from beadwright.interop.changed import Changed, changed_rows
from beadwright.interop.recorded import Recorded
from beadwright.interop.set_anew import SetAnew, initials, set_anew, signer
from beadwright.interop.sheets.again import says_the_same
from beadwright.interop.sheets.asked import Taken
from beadwright.interop.sheets.doubts import Question
from beadwright.interop.sheets.files import FileSummary
from beadwright.interop.sheets.intake import Intake, read
from beadwright.interop.sheets.known import EmptyRecord, Known
from beadwright.ledger import holds, lots, people, said, settings
from beadwright.ledger.draft import Correction, Draft, SettingDraft
from beadwright.plant.access import Role, Who
from beadwright.plant.moment import moment
from beadwright.plant.opening import door_of, open_plant
from beadwright.plant.signed_settings import unsigned

__all__ = ["ImportReport", "import_files"]

_BATCH = 1000


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What became of a set of files."""

    plant: str
    files: tuple[FileSummary, ...]
    faults: tuple[Fault, ...]
    questions: tuple[Question, ...]
    changed: tuple[str, ...]
    """Client keys of rows that were posted before with other content."""
    following: tuple[str, ...]
    """Keys of corrections, not yet in the record, that follow from those in the files."""
    erased: tuple[str, ...]
    """Ids of people in these files whose names were erased, and are not kept again."""
    drafts: int
    posted: int
    repeated: int
    nonconformities: int
    dry_run: bool
    taken: tuple[Taken, ...] = ()
    """What layouts leave out and only one reading fits."""
    differing: tuple[Changed, ...] = ()
    """The rows behind ``changed``, side by side with the record."""
    anew: tuple[SetAnew, ...] = ()
    """Settings that change, or are new, in a plant that is in the record already."""
    by: str = ""
    """Id of the engineer who signs for them."""

    @property
    def refused(self) -> bool:
        """Whether something stands in the way, so that nothing was posted."""
        return bool(self.faults or self.questions)


def import_files(  # noqa: PLR0913 - keywords, each with its own meaning
    paths: Sequence[Path],
    *,
    plant: str = "",
    keep: frozenset[str] = frozenset(),
    dry_run: bool = False,
    by: str = "",
    progress: Callable[[int, int], None] | None = None,
) -> ImportReport:
    """Import files and folders into the record of a plant.

    ``by`` says, by initials or id, which engineer signs for the settings that change.

    Raises
    ------
    Misuse
        If the files are of another plant than the one the store holds or that was named, an
        answer in ``keep`` names no value that is asked about, or nobody is called as ``by`` says.
    Refusal
        If a draft cannot be meant, which the reader did not see (nothing of its batch is kept).
    """
    known = _known(plant)
    intake = read(paths, known, keep)
    _check_plant(intake.plant, plant)
    code = intake.plant or plant or _only_plant()
    if code and isinstance(known, EmptyRecord) and code in lots.plants():
        intake = read(paths, Recorded(code), keep)
    _check_answers(intake)
    same, changed, differing = _compared(code, intake)
    todo = [draft for draft in intake.drafts if draft.key not in same and draft.key not in changed]
    todo, anew, faults = _signed(code, intake, todo, by)
    posted = found = 0
    if not dry_run and not faults and not intake.questions:
        posted, found = _post(code, intake, todo, progress)
    return ImportReport(
        plant=code,
        files=intake.files,
        faults=faults,
        questions=intake.questions,
        changed=tuple(sorted(changed)),
        following=tuple(draft.key for draft in todo if draft.key in intake.following),
        erased=tuple(sorted({person.id for person in intake.people} & people.erased(code))),
        drafts=len(intake.drafts),
        posted=posted,
        repeated=len(same),
        nonconformities=found,
        dry_run=dry_run,
        taken=intake.taken,
        differing=tuple(differing),
        anew=anew,
        by=next((draft.by for draft in todo if isinstance(draft, SettingDraft)), ""),
    )


def _signed(
    code: str, intake: Intake, todo: Sequence[Draft], by: str
) -> tuple[list[Draft], tuple[SetAnew, ...], tuple[Fault, ...]]:
    """Give the drafts with who signs for the settings; those that change, and every fault."""
    told = [draft for draft in todo if isinstance(draft, SettingDraft)]
    if not told:
        return list(todo), (), intake.faults
    new = code not in lots.plants()
    who = signer(code, by, intake.people, new=new) if by else ""
    drafts = [replace(one, by=who) if isinstance(one, SettingDraft) else one for one in todo]
    if new:
        return drafts, (), intake.faults
    no, now = lots.plant_number(code), moment(open_plant(code))
    faults = unsigned(drafts, settings.load(no), now, initials(code))
    return drafts, set_anew(no, told, now), (*intake.faults, *faults)


def _check_plant(stated: str, named: str) -> None:
    """Take no other plant into a store by mistake: it would stay there for ever."""
    if named and stated and named != stated:
        message = f"these files are of {stated}, and --plant says {named}: correct one of them"
        raise Misuse(message)
    held = lots.plants()
    if stated and held and stated not in held and not named:
        there = ", ".join(held)
        message = (
            f"these files are of {stated}, and the store holds {there}. Give {stated} a store of"
            f" its own (--store FILE); if it is to be in this one, say --plant {stated} before the"
            " verb"
        )
        raise Misuse(message)


def _check_answers(intake: Intake) -> None:
    """Take no answer to what was not asked; where rows have faults, not all was asked yet."""
    if not intake.unasked or intake.faults:
        return
    asked = ", ".join(one.where for one in intake.questions) or "nothing"
    message = (
        f"--keep {', '.join(intake.unasked)} names no value that is asked about; asked about is"
        f" {asked}"
    )
    raise Misuse(message)


def _compare(code: str, drafts: Sequence[Draft]) -> tuple[set[str], set[str]]:
    """Keys posted before: those that say the same, and those that say something else."""
    no = lots.plant_number(code)
    same, changed = said.compare(no, drafts)
    by_key = {draft.key: draft for draft in drafts}
    again = {key for key in changed if says_the_same(by_key[key], said.posted(code, no, key))}
    return same | again, changed - again


def _compared(code: str, intake: Intake) -> tuple[set[str], set[str], list[Changed]]:
    """Keys that say what the record holds, keys that say something else, and how they differ."""
    if code not in lots.plants():
        return set(), set(), []
    same, changed = _compare(code, intake.drafts)
    differing, agree = _side_by_side(code, intake, changed) if changed else ([], set())
    return same | agree, changed - agree, differing


def _side_by_side(code: str, intake: Intake, changed: set[str]) -> tuple[list[Changed], set[str]]:
    """Rows beside what the record holds; and keys whose files follow a correction of the record."""
    persons = {one.person: one.initials for one in people.names(code).values()}
    drafts = [draft for draft in intake.drafts if draft.key in changed]
    return changed_rows(Recorded(code), drafts, intake.rows, persons)


def _known(plant: str) -> Known:
    code = plant or _only_plant()
    return Recorded(code) if code and code in lots.plants() else EmptyRecord()


def _only_plant() -> str:
    codes = lots.plants()
    return codes[0] if len(codes) == 1 else ""


def _batches(drafts: Sequence[Draft]) -> Iterator[Sequence[Draft]]:
    """Cut drafts into batches; settings, and corrections with what follows, are all in one."""
    numbers = range(len(drafts))
    first = next((n for n in numbers if isinstance(drafts[n], Correction)), len(drafts))
    start = sum(isinstance(draft, SettingDraft) for draft in drafts)  # they stand first
    yield from [drafts[:start]] if start else []
    for at in range(start, first, _BATCH):
        yield drafts[at : min(at + _BATCH, first)]
    if first < len(drafts):
        yield drafts[first:]


def _post(
    code: str, intake: Intake, drafts: Sequence[Draft], progress: Callable[[int, int], None] | None
) -> tuple[int, int]:
    people.match(code, [people.Person(p.initials, p.id, p.name) for p in intake.people])
    door = door_of(code)
    name = hashlib.sha256("\n".join(draft.key for draft in intake.drafts).encode()).hexdigest()
    who = Who(f"import:{name[:8]}", Role.ENGINEER)
    before = holds.number(lots.plant_number(code)) if code in lots.plants() else 0
    done = 0
    for batch in _batches(drafts):
        door.post_many(batch, who)
        done += len(batch)
        if progress is not None:
            progress(done, len(drafts))
    after = holds.number(lots.plant_number(code)) if code in lots.plants() else 0
    return len(drafts), max(0, after - before)
