"""What `curve` says: what each column was taken for, what is open, and each specimen's result.

Read :func:`show`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import typer

from beadwright.charts import curves
from beadwright.charts.specimen_curve import specimen_curve
from beadwright.cli import drawing
from beadwright.cli.handing import require_new
from beadwright.cli.printed import Page, write_json
from beadwright.cli.session import of
from beadwright.errors import Misuse
from beadwright.interop.load_frame import (
    Block,
    Column,
    Found,
    Layout,
    layout_of,
    read,
    specimens,
)
from beadwright.interop.load_frame.results import CAUTION, Asked, Result, result
from beadwright.lab.compression import Compression
from beadwright.plant.frame_layouts import layouts
from beadwright.plant.opening import Plant
from beadwright.units import System
from beadwright.units import show as shown

__all__ = ["draw", "found", "keep", "layout_in", "layout_of_either", "show", "text_of", "worked"]

_GOVERN = "Local code and licensed practice govern."
_STIFF = 10e6
"""From here on a stress is shown in MPa."""


def layout_in(file: Path | None) -> Layout | None:
    """Give the layout that a file holds, if one is named."""
    return None if file is None else Layout.from_json(text_of(file))


def layout_of_either(context: typer.Context, file: Path | None, machine: str) -> Layout | None:
    """Give the layout in a file, or the one that is kept for a machine; none of neither.

    Raises
    ------
    Misuse
        If both are named, or none is kept.
    """
    if not machine:
        return layout_in(file)
    if file is not None:
        message = "--machine and --layout both say how the files are read: give one of them"
        raise Misuse(message)
    return _kept_for(of(context).plant(), machine)


def _kept_for(plant: Plant, machine: str) -> Layout:
    for one in layouts(plant.no):
        if one.machine == machine:
            return Layout.from_json(one.text)
    message = f"no layout is kept for {machine}: `frame-layout {machine} FILE` keeps one"
    raise Misuse(message)


def found(files: Sequence[Path], kept: Layout | None, answers: Sequence[str]) -> list[Found]:
    """Read the files, with the answers that were kept and given; each must be asked by a file."""
    given = dict(_answer(one) for one in answers)
    read_ = [read(path, kept, answers=given, strict=False) for path in files]
    used = {key for one in read_ for key, _ in one.answers}
    unasked = sorted(set(given) - used)
    if unasked:
        fields = dict.fromkeys(q.field for one in read_ for q in one.questions)
        message = f"{', '.join(unasked)} was not asked; open is: {', '.join(fields) or 'nothing'}."
        raise Misuse(message)
    return read_


def text_of(path: Path) -> str:
    """Give what a layout's file holds."""
    try:
        return path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        message = f"the layout {path} cannot be read: {error}"
        raise Misuse(message) from None


def _answer(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name or not value:
        message = f"{text!r} is no answer: write FIELD=VALUE, as unit.force=kN"
        raise Misuse(message)
    return name.strip(), value.strip()


def keep(found: Sequence[Found], to: Path) -> None:
    """Write the layout of one file."""
    require_new(to)
    if len(found) != 1 or found[0].questions:
        message = "--keep-layout goes with one file on which no question is open"
        raise Misuse(message)
    to.write_text(layout_of(found[0]).to_json(), encoding="utf-8")


def worked(found: Sequence[Found], asked: Asked) -> list[Result]:
    """Work out every specimen of the files on which no question is open."""
    pairs = [
        (one.name, each)
        for one in found if not one.questions
        for each in specimens(one, asked.sizes)
    ]  # fmt: skip
    if asked.specimen:
        chosen = [pair for pair in pairs if pair[1].name == asked.specimen]
        if pairs and not chosen:
            names = ", ".join(each.name for _, each in pairs)
            message = f"no specimen is named {asked.specimen!r}; there are: {names}."
            raise Misuse(message)
        pairs = chosen
    return [result(file, each, asked, len(pairs)) for file, each in pairs]


def draw(results: Sequence[Result], to: Path, units: System) -> None:
    """Write the picture of one specimen."""
    made = [one for one in results if one.of is not None]
    if len(made) != 1 or made[0].of is None:
        message = f"--picture draws one specimen, and there are {len(made)}: name it by --specimen"
        raise Misuse(message)
    title = f"Specimen {made[0].loaded.name}"
    spec = specimen_curve(made[0].of, name="specimen", title=title, system=units)
    drawing.draw(curves.draw(spec), to)


def show(
    found: Sequence[Found], results: Sequence[Result], asked: Asked, *, units: System, json: bool
) -> None:
    """Print what was found, what is open, and what was worked out."""
    if json:
        write_json(_json(found, results))
        return
    page = Page()
    for one in found:
        _file(page, one)
    if results:
        _results(page, results, asked, units)


def _file(page: Page, one: Found) -> None:
    page.heading(one.name)
    page.line(f"Read as {one.how}.")
    several = {_form(block) for block in one.blocks}
    for block in one.blocks if len(several) > 1 else one.blocks[:1]:
        rows = [
            (column.heading, _taken(column), column.unit, column.why) for column in block.columns
        ]
        page.table(("column", "taken for", "!unit", "because of"), rows)
    rows = [
        (block.name, block.where, "; ".join(f"{s.name} {s.text}" for s in block.sizes),
         "; ".join(block.agreed))
        for block in one.blocks
    ]  # fmt: skip
    page.line()
    page.table(("specimen", "where", "sizes in the file", "agrees"), rows)
    for note in one.notes:
        page.item(note)
    if one.questions:
        page.heading(f"Open on {one.name}: answer with --answer FIELD=VALUE")
        for question in one.questions:
            page.item(f"{question.field}: {question.what} One of: {', '.join(question.choices)}.")
        page.line("No number is given until these are answered.")


def _form(block: Block) -> tuple[tuple[str, str, str], ...]:
    return tuple((one.heading, one.taken_for, one.unit) for one in block.columns)


def _taken(column: Column) -> str:
    return "not used" if column.taken_for == "other" else column.taken_for


def _results(page: Page, results: Sequence[Result], asked: Asked, units: System) -> None:
    what = "Bending" if asked.span_m is not None else "Compression"
    page.heading(what)
    page.line(f"Caution. {CAUTION} {_GOVERN}")
    page.line()
    rows = []
    for one in results:
        made = one.of
        if made is None:
            rows.append((one.loaded.name, "none", "", "", "", "", ""))
            continue
        strength = "none" if made.strength_pa is None else _stress(made.strength_pa, units)
        strain = made.strain_at_strength
        rows.append(
            (one.loaded.name, strength, made.strength_at, "" if strain is None else _share(strain),
             _stress(made.modulus_pa, units), _stress(made.u_modulus_pa, units),
             _share(made.toe))
        )  # fmt: skip
    names = (
        "specimen",
        "!strength>",
        "read at",
        "!strain>",
        "!modulus>",
        "!u by scatter>",
        "!toe>",
    )
    page.table(names, rows)
    _named(page, [(one.loaded.name, one.why_not) for one in results if one.why_not], len(results))
    told = [(one.loaded.name, str(each)) for one in results for each in one.departures]
    if told:
        page.heading("Departures")
        _named(page, told, len(results))


def _named(page: Page, told: Sequence[tuple[str, str]], count: int) -> None:
    """Print each text once, with the names it is about where these are not all."""
    for text in dict.fromkeys(text for _, text in told):
        names = [name for name, other in told if other == text]
        page.item(text if len(names) == count else f"{', '.join(names)}: {text}")


def _stress(value: float, units: System) -> str:
    if units == "si" and value >= _STIFF:
        return f"{value / 1e6:.4g} MPa"
    return shown(value, "pressure", system=units, digits=1)


def _share(value: float) -> str:
    return f"{100 * value:.2f} %"


def _json(found: Sequence[Found], results: Sequence[Result]) -> dict[str, Any]:
    return {
        "caution": f"{CAUTION} {_GOVERN}",
        "files": [_file_json(one) for one in found],
        "results": [_result_json(one) for one in results],
    }


def _file_json(one: Found) -> dict[str, Any]:
    return {
        "name": one.name,
        "read_as": one.how,
        "notes": list(one.notes),
        "questions": [
            {"field": q.field, "what": q.what, "choices": list(q.choices)} for q in one.questions
        ],
        "specimens": [
            {
                "name": block.name,
                "where": block.where,
                "agreed": list(block.agreed),
                "sizes": [{"name": s.name, "si": s.si, "text": s.text} for s in block.sizes],
                "columns": [
                    {"heading": c.heading, "taken_for": c.taken_for, "unit": c.unit, "why": c.why}
                    for c in block.columns
                ],
            }
            for block in one.blocks
        ],
    }


def _result_json(one: Result) -> dict[str, Any]:
    made = one.of
    peak = made.peak if isinstance(made, Compression) else None
    return {
        "file": one.file,
        "specimen": one.loaded.name,
        "strength_pa": made.strength_pa if made else None,
        "strength_at": made.strength_at if made else None,
        "strain_at_strength": made.strain_at_strength if made else None,
        "modulus_pa": made.modulus_pa if made else None,
        "u_modulus_pa": made.u_modulus_pa if made else None,
        "toe": made.toe if made else None,
        "highest_pa": made.highest.stress_pa if made else None,
        "yield_pa": peak.stress_pa if peak else None,
        "why_not": one.why_not,
        "departures": [
            {"code": d.code, "what": d.what, "value": d.value, "asked": d.asked, "source": d.source}
            for d in one.departures
        ],
    }
