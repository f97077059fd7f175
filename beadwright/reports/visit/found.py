"""What was forbidden and happened since a day: nonconformities by cause, and their files."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from beadwright.plant.caused import Caused, by_cause
from beadwright.plant.held import Reach, counted, reached_by
from beadwright.plant.nonconforming import FileAnswer, files
from beadwright.plant.words import number
from beadwright.reports.visit.parts import Part, table
from beadwright.reports.words import in_words, local

__all__ = ["nonconformities"]

_MANY = 24


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
    reach = reached_by(plant_no, [one.cause for one in causes])
    columns = "what:2|lot|first|last|times>|state:2|detail:4|reaches now:3|with receivers:3"
    return Part(
        "Nonconformities",
        (words,),
        tables=(
            table("By cause", columns, [_cause(one, reach.get(one.cause), zone) for one in causes]),
            table(
                "Files", "number|opened|state|title:3|dispositions:3|still to do:3",
                [_file(one, zone) for one in answers],
            ),
        ),
    )  # fmt: skip


def _cause(one: Caused, reach: Reach | None, zone: ZoneInfo) -> tuple[str, ...]:
    state = f"conceded: {one.reason.removeprefix('conceded: ')}" if one.closed else "open"
    here, gone = ("", "") if reach is None else (_lots(reach), _receivers(reach))
    return (
        in_words(one.code), one.lot, local(one.steps[0].at_ms, zone),
        local(one.steps[-1].at_ms, zone), str(len(one.steps)), state, one.steps[0].detail,
        here or "nothing that is anywhere", gone or "nobody",
    )  # fmt: skip


def _lots(reach: Reach) -> str:
    """Name the lots of mould runs, and what is no block; count the blocks in the plant."""
    named = ", ".join(reach.made[:_MANY])
    if len(reach.made) > _MANY:
        named += f" and {number(len(reach.made) - _MANY, 'more lot')}"
    here = f"{number(reach.pieces, 'block')} in the plant"
    return f"{named}; {here}" if named else here


def _receivers(reach: Reach) -> str:
    return "; ".join(
        f"{one.receiver}: {counted(one.at_least, one.at_most)} in {one.shipment}"
        for one in reach.shipped
    )


def _file(one: FileAnswer, zone: ZoneInfo) -> tuple[str, ...]:
    file = one.file
    done = "; ".join(f"{in_words(each.how)} {each.of.lot}" for each in file.dispositions)
    to_do = "; ".join(fault.what for fault in one.to_do)
    return (
        file.number, local(file.opened.at_ms, zone), one.state, file.title, done or "none", to_do,
    )  # fmt: skip
