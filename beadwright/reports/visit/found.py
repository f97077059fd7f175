"""What was forbidden and happened since a day: nonconformities by cause, and their files."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from beadwright.plant.caused import Caused, by_cause
from beadwright.plant.nonconforming import FileAnswer, files
from beadwright.reports.visit.parts import Part, table
from beadwright.reports.words import in_words, local

__all__ = ["nonconformities"]


def nonconformities(plant_no: int, since_ms: int, zone: ZoneInfo) -> Part:
    """Causes with a nonconformity since, open ones of any age, and the files that stand."""
    causes = [
        one
        for one in by_cause(plant_no)
        if not one.closed or any(step.at_ms >= since_ms for step in one.steps)
    ]
    answers = [
        one for one in files(plant_no) if one.state != "closed" or one.file.opened.at_ms >= since_ms
    ]
    words = (
        "A nonconformity is what was forbidden and happened. Those of one cause stand together;"
        " open ones are listed whatever their age."
    )
    columns = "what:2|lot|first|last|times>|state:2|detail:4"
    return Part(
        "Nonconformities",
        (words,),
        tables=(
            table("By cause", columns, [_cause(one, zone) for one in causes]),
            table(
                "Files", "number|opened|state|title:3|dispositions:3|still to do:3",
                [_file(one, zone) for one in answers],
            ),
        ),
    )  # fmt: skip


def _cause(one: Caused, zone: ZoneInfo) -> tuple[str, ...]:
    state = f"conceded: {one.reason}" if one.closed else "open"
    return (
        in_words(one.code), one.lot, local(one.steps[0].at_ms, zone),
        local(one.steps[-1].at_ms, zone), str(len(one.steps)), state, one.steps[0].detail,
    )  # fmt: skip


def _file(one: FileAnswer, zone: ZoneInfo) -> tuple[str, ...]:
    file = one.file
    done = "; ".join(f"{in_words(each.how)} {each.of.lot}" for each in file.dispositions)
    to_do = "; ".join(fault.what for fault in one.to_do)
    return (
        file.number, local(file.opened.at_ms, zone), one.state, file.title, done or "none", to_do,
    )  # fmt: skip
