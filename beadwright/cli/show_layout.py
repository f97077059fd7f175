"""What `layout` says of a sheet: what is stated, what is taken, what is open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from beadwright.cli.printed import Page, write_json
from beadwright.interop.sheets.asked import Asked
from beadwright.interop.sheets.files import Source

__all__ = ["show"]


class _Fact(NamedTuple):
    key: str
    value: Any
    how: str
    because: str


def show(source: Source, asked: Asked, *, json: bool) -> None:
    """Print the layout of a sheet for a person, or as JSON."""
    facts = list(_facts(asked))
    if json:
        write_json(
            {
                "file": source.name,
                "layout": str(source.layout),
                "complete": not asked.faults,
                "facts": [one._asdict() | {"value": _shown(one.value)} for one in facts],
                "open": [
                    {"code": one.code, "what": one.what, "where": one.where, "remedy": one.remedy}
                    for one in asked.faults
                ],
            }
        )
        return
    page = Page()
    page.line(f"{source.name}, layout in {source.layout}")
    rows = [
        (one.key, _quoted(_shown(one.value)), one.how, one.because.replace("\t", "\\t"))
        for one in facts
    ]
    if rows:
        page.table(("fact", "value", "how", "because"), rows)
    for one in asked.faults:
        page.item(f"{one.where}: {one.what[:1].upper()}{one.what[1:]}. {one.remedy} [{one.code}]")
    if not asked.faults:
        page.line("Nothing is open: the sheet can be read.")


def _facts(asked: Asked) -> Iterator[_Fact]:
    for key, value in asked.stated.items():
        yield _Fact(key, value, "stated", "")
    for one in asked.taken:
        yield _Fact(one.key, one.value, "taken", one.because)


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{field} = {header}" for field, header in value.items())
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return str(value)


def _quoted(text: str) -> str:
    """Text of one sign, or none, so that it can be seen."""
    return f'"{text}"'.replace("\t", "\\t") if not text.strip() or len(text) == 1 else text
