"""Results of reports and days of calibrations that can be read, and mostly are not meant: asked.

Read :func:`evidence_doubts`. The questions are those that the shell asks of the same entries.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.interop.sheets.register import Register
from beadwright.ledger.settings import Settings
from beadwright.plant.heeding import far_off
from beadwright.plant.stated_again import calibration_doubt

__all__ = ["evidence_doubts"]

_TOPICS = ("product", "limit", "standard")
_PARTS = ("done", "result", "certificate", "due")


def evidence_doubts(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about results many times off their limits, and calibrations that say otherwise again."""
    good = [row for row in rows if not row.bad and row.kind in {"reports", "calibrations"}]
    good.sort(key=lambda row: (row.number_of("entered"), row.number))
    said: dict[str, list[Mapping[str, object]]] = {}
    in_force: Settings | None = None
    for row in good:
        if row.kind == "calibrations":
            yield from _calibration(row, register, said)
            continue
        in_force = in_force or _settings(register)
        products, result = row.text("products").split(), row.text("result")
        about = (products, row.text("characteristic"))
        why = far_off(in_force, *about, result, row.number_of("entered"))
        if why:
            yield _asked(row, "result", "result_far_off", why)


def _calibration(
    row: Row, register: Register, said: dict[str, list[Mapping[str, object]]]
) -> Iterator[Questioned]:
    name = row.text("instrument")
    if name not in said:
        recorded = register.known.decisions("calibration", name)
        said[name] = [one.body for one in recorded if one.key != row.key]
    body = {part: row.text(part) for part in _PARTS if part in row.cells}
    field, why = calibration_doubt(said[name], body)
    said[name].append(body)
    if field:
        yield _asked(row, field, "calibration_again", f"{name}: {why}")


def _asked(row: Row, field: str, code: str, why: str) -> Questioned:
    question = Question(code, row.address(field), row.shown(field), f"{why}.")
    return Questioned(row, field, question)


def _settings(register: Register) -> Settings:
    """Give what limits rest on, as the record holds it once these files are in."""
    return Settings(
        (topic, name, one.since, 0, json.dumps(one.body))
        for topic in _TOPICS
        for name in register.names(topic)
        for one in register.versions(topic, name)
    )
