"""The verb that reads a load frame's exports and works out strength and modulus."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture, InUnits, Units
from beadwright.cli.ending import DONE, REFUSED
from beadwright.cli.session import of

__all__ = ["curve", "frame_layout"]

_Files = Annotated[list[Path], typer.Argument(metavar="FILE...", help="Exports: text or .xlsx.")]
_Layout = Annotated[
    Path | None,
    typer.Option("--layout", metavar="FILE", help="Answers kept of an earlier file of its form."),
]
_Answer = Annotated[
    list[str] | None,
    typer.Option(metavar="FIELD=VALUE", help="Answer a question; may be given several times."),
]
_Keep = Annotated[
    Path | None,
    typer.Option("--keep-layout", metavar="FILE", help="Keep the answers; it must not exist."),
]
_Length = Annotated[str, typer.Option(help="Of every specimen, before the file's, as '100 mm'.")]
_Width = Annotated[str, typer.Option(help="The other edge of the face, as '100 mm'.")]
_Height = Annotated[str, typer.Option(help="Along the load, as '50 mm'.")]
_Method = Annotated[str, typer.Option(help="Compare with what it asks, as 'ASTM D1621'.")]
_Bending = Annotated[
    str, typer.Option(metavar="SPAN", help="Bent at mid-span on supports so far apart, as '10 in'.")
]
_Specimen = Annotated[str, typer.Option(metavar="NAME", help="This specimen alone.")]


_Machine = Annotated[
    str, typer.Option(metavar="INSTRUMENT", help="Read as kept for it in the store (--store).")
]


def curve(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    files: _Files,
    layout: _Layout = None,
    machine: _Machine = "",
    answer: _Answer = None,
    keep_layout: _Keep = None,
    length: _Length = "",
    width: _Width = "",
    height: _Height = "",
    method: _Method = "",
    bending: _Bending = "",
    specimen: _Specimen = "",
    picture: AsPicture = None,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Read a load frame's exports, and work out strength and modulus of each specimen.

    Shows what each column was taken for, in which unit and why. What is not sure is asked, and
    gives no number until it is answered. Records nothing, and needs no store but for --machine.

    Example: beadwright curve press.csv --length '100 mm' --width '100 mm' --height '50 mm'
    """
    from beadwright.cli import show_curve as shown
    from beadwright.interop.load_frame.results import Asked

    asked = Asked.of((length, width, height), method, bending, specimen)
    by = shown.layout_of_either(context, layout, machine)
    found = shown.found(files, by, answer or [])
    if keep_layout is not None:
        shown.keep(found, keep_layout)
    results = shown.worked(found, asked)
    if picture is not None:
        shown.draw(results, picture, units.system)
    shown.show(found, results, asked, units=units.system, json=json)
    return REFUSED if any(one.questions for one in found) else DONE


def frame_layout(
    context: typer.Context,
    machine: Annotated[str, typer.Argument(metavar="INSTRUMENT", help="As `instruments` lists.")],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="As --keep-layout wrote it.")],
    by: Annotated[str, typer.Option(metavar="WHO", help="Initials of the engineer.")],
) -> int:
    """Keep for a load frame how its files are to be read: the answers a person gave once.

    The page /laboratory/curve/ and `curve --machine` read files of that form so. Files of another
    form ask again.

    Example: beadwright --store plant.sqlite3 frame-layout LF-1 press.json --by EI
    """
    from beadwright.cli import show_curve as shown
    from beadwright.cli import tests_work
    from beadwright.cli.printed import Page

    text = shown.text_of(file)
    shown.layout_in(file)  # what is no layout is refused
    done = tests_work.frame_layout(of(context), machine, text, by)
    Page().line(f"Entry {done.seq}: how files of {machine} are read is kept by {done.named[0]}.")
    return DONE
