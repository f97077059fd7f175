"""Verbs about evidence: what is due, test reports, instruments and their calibrations."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.ending import DONE, REFUSED
from beadwright.cli.session import of
from beadwright.cli.together import not_with

__all__ = ["calibration", "due", "instruments", "report", "reports"]

_By = Annotated[
    str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who says so.")
]
_Sampled = Annotated[
    str, typer.Option(metavar="DATE", help="Day on which the sample was made: 2026-09-01.")
]
_Conditioned = Annotated[
    str, typer.Option(metavar="H", help="For how many hours the specimens were conditioned.")
]
_Tested = Annotated[str, typer.Option(metavar="DATE", help="Day of the test.")]
_Issued = Annotated[str, typer.Option(metavar="DATE", help="Day of the report.")]
_Expires = Annotated[str, typer.Option(metavar="DATE", help="Last day it is valid.")]
_Products = Annotated[
    list[str] | None,
    typer.Option("--product", metavar="PRODUCT", help="What was sampled; repeat; * is every."),
]
_Tests = Annotated[
    str, typer.Option(metavar="NAME", help="What was tested: compressive_resistance …")
]
_Result = Annotated[
    str, typer.Option(metavar="VALUE", help='With its unit: "17.4 psi"; or pass, fail.')
]
_File = Annotated[
    Path | None, typer.Option("--file", metavar="FILE", help="The report itself, to keep.")
]
_U = Annotated[
    str,
    typer.Option(
        "--uncertainty",
        metavar="U",
        help='Standard uncertainty: a U with k = 2 halved. "0.5 psi", "2 %".',
    ),
]
_Keep = Annotated[
    bool, typer.Option("--keep", help="The result stands, though it is many times off its limit.")
]
_Withdraw = Annotated[
    str, typer.Option(metavar="REASON", help="Withdraw it, or one characteristic of it.")
]
_Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


_OF_A_RESULT = (
    "laboratory", "products", "result", "sampled", "method", "specimens", "uncertainty",
    "conditioned", "tested", "issued", "expires", "file", "keep",
)  # fmt: skip


def due(
    context: typer.Context,
    everything: Annotated[bool, typer.Option("--all", help="List what is in time too.")] = False,
    days: Annotated[
        int,
        typer.Option(
            metavar="N", min=0, max=36500, help="As it will stand in N days, if nothing is done."
        ),
    ] = 0,
    json: _Json = False,
) -> int:
    """Say which tests and calibrations are due or overdue, and which lots in stock wait for one.

    Periodic and type tests by the plan (the topic `plan` of the settings); lot tests are told by
    `assess`. The exit status is 1 where something is overdue, failed or was never done.

    Example: beadwright --store plant.sqlite3 due --days 7
    """
    from beadwright.cli import show_tests

    late = show_tests.due(of(context).plant(), days, everything=everything, json=json)
    return REFUSED if late else DONE


def reports(
    context: typer.Context,
    everything: Annotated[bool, typer.Option("--all", help="List those withdrawn too.")] = False,
    json: _Json = False,
) -> int:
    """List the test reports of the record, the newest sample first.

    Example: beadwright --store plant.sqlite3 reports --all
    """
    from beadwright.cli import show_tests

    show_tests.reports(of(context).plant(), everything=everything, json=json)
    return DONE


def report(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    number: Annotated[str, typer.Argument(metavar="NUMBER", help="The report's own number.")],
    by: _By,
    laboratory: Annotated[str, typer.Option(metavar="NAME", help="Who tested.")] = "",
    products: _Products = None,
    characteristic: _Tests = "",
    result: _Result = "",
    sampled: _Sampled = "",
    method: Annotated[str, typer.Option(metavar="TEXT", help="By which method.")] = "",
    specimens: Annotated[int, typer.Option(metavar="N", min=0, help="On how many.")] = 0,
    uncertainty: _U = "",
    conditioned: _Conditioned = "",
    tested: _Tested = "",
    issued: _Issued = "",
    expires: _Expires = "",
    file: _File = None,
    keep: _Keep = False,
    withdraw: _Withdraw = "",
) -> int:
    """Enter a test report, or withdraw one.

    A number with several results is entered once for each characteristic. Entered again, the
    newest counts; both stay in the record.

    Example: beadwright report R-118 --laboratory "Northgate" --product FB6S \
--characteristic compressive_resistance --result "17.4 psi" --sampled 2026-09-01 --by EI
    """
    from beadwright.cli import show_tests, tests_work

    not_with(context, "--withdraw", *_OF_A_RESULT, given=bool(withdraw))
    if withdraw:
        said = (number, characteristic, withdraw)
        show_tests.withdrawn(tests_work.withdraw(of(context), said, by))
        return DONE
    body = {
        "laboratory": laboratory, "products": products or [], "characteristic": characteristic,
        "method": method, "specimens": specimens, "result": result, "sampled": sampled,
        "tested": tested, "issued": issued, "expires": expires, "uncertainty": uncertainty,
        "conditioned_h": conditioned.removesuffix("h").strip(),
    }  # fmt: skip
    show_tests.reported(*tests_work.report(of(context), number, body, file, by, keep=keep))
    return DONE


def instruments(
    context: typer.Context,
    named: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="INSTRUMENT", help="Each with every calibration; all, briefly, if none."
        ),
    ] = None,
    json: _Json = False,
) -> int:
    """List the plant's instruments, those out of calibration first.

    An instrument is listed by the settings (topic `instrument`); readings of one that was not fit
    when it took them are no evidence.

    Example: beadwright --store plant.sqlite3 instruments BAL-2
    """
    from beadwright.cli import show_tests

    show_tests.instruments(of(context).plant(), named or [], json=json)
    return DONE


def calibration(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    instrument: Annotated[
        str, typer.Argument(metavar="INSTRUMENT", help="As `instruments` lists it.")
    ],
    done: Annotated[str, typer.Option(metavar="DATE", help="Day it was done: 2026-09-01.")],
    result: Annotated[str, typer.Option(metavar="WORD", help="pass or fail.")],
    by: _By,
    certificate: Annotated[
        str, typer.Option(metavar="TEXT", help="Its number, or what it was checked against.")
    ] = "",
    due: Annotated[
        str, typer.Option(metavar="DATE", help="Last day it holds; else by the settings.")
    ] = "",
    as_found: Annotated[
        str,
        typer.Option(
            "--as-found",
            metavar="ERROR",
            help='Its error before it was adjusted, what it says less the truth: "+2 g", "-0.4 %".',
        ),
    ] = "",
    as_left: Annotated[
        str, typer.Option("--as-left", metavar="ERROR", help="Its error after that: likewise.")
    ] = "",
    uncertainty: _U = "",
    keep: Annotated[
        bool,
        typer.Option("--keep", help="It stands, though the record says otherwise of the same."),
    ] = False,
) -> int:
    """Enter a calibration of an instrument.

    Example: beadwright calibration BAL-2 --done 2026-09-01 --result pass --certificate C-88 --by EI
    """
    from beadwright.cli import show_tests, tests_work

    body = {"done": done, "result": result, "certificate": certificate, "due": due}
    errors = {"as_found": as_found, "as_left": as_left, "uncertainty": uncertainty}
    body |= {name: text for name, text in errors.items() if text}
    show_tests.calibrated(tests_work.calibration(of(context), instrument, body, by, keep=keep))
    return DONE
