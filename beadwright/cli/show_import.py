"""What `import` says: the files, everything that stands in the way, and what was recorded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beadwright.cli.ending import say
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Fault
from beadwright.interop.changed import Changed
from beadwright.interop.importing import ImportReport
from beadwright.interop.set_anew import SetAnew
from beadwright.interop.sheets.asked import Taken
from beadwright.interop.sheets.doubts import Question
from beadwright.plant.words import number

__all__ = ["as_json", "show"]

_LONGEST = 200
"""Bad rows and questions listed; more than that is one mistake made many times."""


def show(report: ImportReport, *, json: bool) -> None:
    """Print the report for a person, or as JSON."""
    if json:
        write_json(as_json(report))
        return
    page = Page()
    page.line(f"Plant {report.plant or '(none named)'}")
    rows = [(one.name, one.kind.replace("_", " ") or "?", str(one.rows)) for one in report.files]
    page.table(("file", "kind", "rows>"), rows)
    _taken(page, report.taken)
    _anew(page, report)
    _faults(page, report.faults)
    _questions(page, report.questions)
    _changed(page, report.differing)
    _following(page, report.following)
    _erased(page, report.erased)
    page.line()
    page.line(_ending(report))
    if report.posted and report.nonconformities:
        say(
            "Next: `beadwright assess` says which lots may ship; `beadwright nonconformities`"
            " lists what is open."
        )


def _faults(page: Page, faults: Sequence[Fault]) -> None:
    if not faults:
        return
    unsigned = all(fault.where.startswith("setting/") for fault in faults)
    what = "in who signs for settings" if unsigned else "to mend in the files"
    page.heading(f"{number(len(faults), 'fault')} {what}")
    for fault in faults[:_LONGEST]:
        page.item(f"{fault.where or fault.value}: {_told(fault)}")
    _more(page, len(faults))


def _told(fault: Fault) -> str:
    what = fault.what[:1].upper() + fault.what[1:]
    value = f" (given: {fault.value})" if fault.value and fault.value not in fault.what else ""
    remedy = f" {fault.remedy}" if fault.remedy else ""
    return f"{what}{value}.{remedy} [{fault.code}]".replace("..", ".")


def _questions(page: Page, questions: Sequence[Question]) -> None:
    if not questions:
        return
    page.heading(f"{number(len(questions), 'value')} to ask about")
    for one in questions[:_LONGEST]:
        perhaps = f" Perhaps {one.perhaps}?" if one.perhaps else ""
        page.item(f"{one.where}: {one.value}. {one.why}{perhaps} [{one.code}]")
    _more(page, len(questions))
    page.line(
        "Mend the file where the value is wrong. Where it is right as keyed, import again with"
        f" --keep {questions[0].where} (and so on for each)."
    )


def _taken(page: Page, taken: Sequence[Taken]) -> None:
    """Tell what was found by exclusion; the zone of the plant needs no telling of every sheet."""
    told = [one for one in taken if one.key != "zone"]
    if not told:
        return
    page.heading(f"{number(len(told), 'fact')} left out of layouts, where only one reading fits")
    rows = [(one.file, f'{one.key} = "{one.value}"', one.because) for one in told[:_LONGEST]]
    page.table(("file", "taken", "because"), [tuple(map(_plain, row)) for row in rows])
    _more(page, len(told))


def _plain(text: str) -> str:
    return text.replace("\t", "\\t")


def _anew(page: Page, report: ImportReport) -> None:
    """Tell what each setting says from now on, against what stood on its day."""
    anew = report.anew
    if not anew:
        return
    who = f", signed for by {report.by}" if report.by else ""
    how = "that would change" if report.refused or report.dry_run else "changed"
    page.heading(f"{number(len(anew), 'setting')} {how}{who}")
    for one in anew[:_LONGEST]:
        change = one.change
        page.item(f"{change.topic} {change.name}, from {one.since}{_back(one)}")
        rows = [(key.key, key.before or "-", key.after or "-") for key in change.keys]
        if rows:
            page.table(("key", "before", "from that day"), rows, indent=4)
        else:
            page.line("stated again as it stood", indent=4)
    _more(page, len(anew))


def _back(one: SetAnew) -> str:
    """Say how far back a setting reaches, and how much of the record with it."""
    told = [f"{number(one.days_back, 'day')} before today"] if one.days_back else []
    if one.steps:
        told.append(f"{number(one.steps, 'step')} in the record happened since then")
    return f" ({'; '.join(told)})" if told else ""


def _changed(page: Page, changed: Sequence[Changed]) -> None:
    """Show each row by what the record holds and what the file says."""
    if not changed:
        return
    page.heading(f"{number(len(changed), 'row')} that said something else last time")
    for one in changed[:_LONGEST]:
        page.item(f"{one.key}{f' ({one.where})' if one.where else ''}")
        rows = [(each.field, each.record or "-", each.file or "-") for each in one.differences]
        if rows:
            page.table(("field", "in the record", "in the file"), rows, indent=4)
        page.line(one.remedy, indent=4)
    _more(page, len(changed))
    page.line("Nothing of these rows was recorded: the record keeps what was said first.")


def _following(page: Page, following: Sequence[str]) -> None:
    if not following:
        return
    page.heading(f"{number(len(following), 'correction')} that follow from those in the files")
    for key in following[:_LONGEST]:
        page.item(key)
    _more(page, len(following))
    page.line("Pieces weigh otherwise by now, so what was recorded of them is restated too.")


def _erased(page: Page, erased: Sequence[str]) -> None:
    if not erased:
        return
    page.heading(f"{number(len(erased), 'name')} not kept again")
    for person in erased:
        page.item(f"{person} was erased, and stays so.")
    page.line(
        "Take whoever was erased out of plant.toml; somebody new takes an id that nobody has had."
    )


def _more(page: Page, count: int) -> None:
    if count > _LONGEST:
        page.line(f"… and {count - _LONGEST} more; --json lists all.", indent=2)


def _ending(report: ImportReport) -> str:
    before = f", {report.repeated} were in the record already" if report.repeated else ""
    if report.refused:
        return "Nothing was recorded."
    if report.dry_run:
        todo = report.drafts - report.repeated - len(report.changed)
        return f"Dry run: nothing was recorded; {number(todo, 'entry')} would be{before}."
    found = number(report.nonconformities, "nonconformity")
    return f"{number(report.posted, 'entry')} recorded{before}; {found} found."


def as_json(report: ImportReport) -> dict[str, Any]:
    """Give a report as a map that JSON can hold."""
    return {
        "plant": report.plant,
        "dry_run": report.dry_run,
        "refused": report.refused,
        "files": [_named(one, "name kind rows") for one in report.files],
        "faults": [_named(one, "code what value where remedy") for one in report.faults],
        "questions": [_named(one, "code where value why perhaps") for one in report.questions],
        "taken": [_named(one, "file key value because") for one in report.taken],
        "changed": list(report.changed),
        "changed_rows": [
            {
                "key": one.key,
                "where": one.where,
                "fields": [_named(each, "field record file") for each in one.differences],
                "remedy": one.remedy,
            }
            for one in report.differing
        ],
        "settings": [_set_anew(one) for one in report.anew],
        "settings_by": report.by,
        "following": list(report.following),
        "erased": list(report.erased),
        "drafts": report.drafts,
        "recorded": report.posted,
        "repeated": report.repeated,
        "nonconformities": report.nonconformities,
    }


def _set_anew(one: SetAnew) -> dict[str, Any]:
    return {
        "topic": one.change.topic,
        "name": one.change.name,
        "since": one.since.isoformat(),
        "new": one.change.new,
        "days_back": one.days_back,
        "steps": one.steps,
        "keys": [_named(key, "key before after") for key in one.change.keys],
    }


def _named(one: object, fields: str) -> dict[str, Any]:
    """Give the fields of something by name."""
    return {field: getattr(one, field) for field in fields.split()}
