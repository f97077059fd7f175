"""The program `beadwright`: its verbs, the options before them, and how a call ends.

Read :func:`run`, then the module of the verb in question. Every start pays for this module, so a
command imports what it needs when it runs.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from beadwright.cli import (
    ageing,
    airing,
    answers,
    charting,
    conforming,
    costing,
    curve,
    deciding,
    defects,
    entry,
    filing,
    finding,
    inspecting,
    keeping,
    laying,
    limiting,
    looking_back,
    naming,
    nc_verbs,
    papers,
    physics,
    pouring,
    putting_by,
    recalling,
    releasing,
    sampling,
    serving,
    steering,
    studying,
    testing,
    tracing,
    walling,
)
from beadwright.cli.called import PROGRAM, Called, remember
from beadwright.cli.ending import CUT_OFF, DONE, UNREAD, told
from beadwright.cli.session import Session, Stores

__all__ = ["app", "options", "run"]

app = typer.Typer(
    name="beadwright",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    subcommand_metavar="VERB ...",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)


def _version(wanted: bool) -> None:  # noqa: FBT001 - typer hands a flag over by position
    if wanted:
        from beadwright import __version__

        typer.echo(f"beadwright {__version__}")
        raise typer.Exit


@app.callback()
def options(
    context: typer.Context,
    store: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="The plant's store; else the environment names it."),
    ] = None,
    plant: Annotated[
        str, typer.Option(metavar="CODE", help="Which plant, where the store holds several.")
    ] = "",
    debug: Annotated[
        bool, typer.Option("--debug", help="Show the traceback of a failure.")
    ] = False,
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Say which version this is.", callback=_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Tell which lots of moulded foam forms may ship and why, and where everything came from.

    The store is a file (--store, or BEADWRIGHT_STORE) or a PostgreSQL (BEADWRIGHT_DATABASE_URL).
    These options stand before the verb.

    Exit status: 0 done; 1 refused, or not all may ship; 2 misuse; 3 the record does not verify;
    4 no store that can be used; 70 a fault of the program.

    Example: beadwright --store plant.sqlite3 assess
    """
    _ = version
    if isinstance(context.obj, Session):
        context.obj.store, context.obj.plant_code, context.obj.debug = store, plant, debug
        remember(Called(context.obj.program, store, plant))


app.command("demo", short_help="Write the files of an invented plant.")(filing.demo)
app.command("import", short_help="Read a plant's files into its record.")(filing.import_)
app.command("layout", short_help="Say how a sheet is written, and keep the answers.")(laying.layout)
app.command("assess", short_help="Say which block lots may ship, which not, and why.")(
    releasing.assess
)
app.command("trace", short_help="Trace a lot back or forward.")(tracing.trace)
app.command("entry", short_help="Show one entry of the record, whole.")(entry.entry)
app.command("history", short_help="Tell all that was ever said about a lot.")(entry.history)
app.command("stock", short_help="Say where everything is by the books.")(answers.stock)
app.command("set-up", short_help="Work out what a product's set-up asks for.")(physics.set_up)
app.command("wall", short_help="Work out where a wall's courses end.")(walling.wall)
app.command("pour", short_help="Say what rate and lift measured strength supports.")(pouring.pour)
app.command("nonconformities", short_help="List what was forbidden and happened.")(
    answers.nonconformities
)
app.command("nonconformity", short_help="Show a nonconformity file, or list all.")(
    nc_verbs.nonconformity
)
app.command("nc-open", short_help="Open a nonconformity file.")(nc_verbs.nc_open)
app.command("nc-note", short_help="Add to a nonconformity file.")(nc_verbs.nc_note)
app.command("nc-dispose", short_help="Decide on a nonconforming quantity.")(nc_verbs.nc_dispose)
app.command("nc-cause", short_help="State why it happened.")(nc_verbs.nc_cause)
app.command("nc-action", short_help="State a corrective action.")(nc_verbs.nc_action)
app.command("nc-check", short_help="State whether an action worked.")(nc_verbs.nc_check)
app.command("nc-close", short_help="Close a nonconformity file.")(nc_verbs.nc_close)
app.command("limits", short_help="List limits, printed and the plant's own, and who signed them.")(
    limiting.limits
)
app.command("sign", short_help="Sign a printed limit against the paid text.")(limiting.sign)
app.command("samples", short_help="List the samples that are put by.")(putting_by.samples)
app.command("sample", short_help="Take a sample of a lot.")(putting_by.sample)
app.command("due", short_help="Say which tests and calibrations are due.")(testing.due)
app.command("reports", short_help="List test reports.")(testing.reports)
app.command("report", short_help="Enter or withdraw a test report.")(testing.report)
app.command("instruments", short_help="List instruments and their calibrations.")(
    testing.instruments
)
app.command("calibration", short_help="Enter a calibration of an instrument.")(testing.calibration)
app.command("gauge-study", short_help="Say how far a gauge, jig or laboratory can be believed.")(
    studying.gauge_study
)
app.command("frame-layout", short_help="Keep how a load frame's files are to be read.")(
    curve.frame_layout
)
app.command("inspection", short_help="Say where inspection of a product stands by its plan.")(
    inspecting.inspection
)
app.command("recall", short_help="Say what a recall has to reach, and whom to tell.")(
    recalling.recall
)
app.command("recall-stage", short_help="Record that a stage of a recall was done.")(
    recalling.recall_stage
)
app.command("recalls", short_help="List recalls and rehearsals, with their times.")(
    recalling.recalls
)
app.command("defects", short_help="Say which defects there are, and where they come from.")(
    defects.defects
)
app.command("curve", short_help="Read a load frame's exports; work out strength.")(curve.curve)
app.command("inspection-plan", short_help="Say how many pieces to inspect, and which.")(
    sampling.inspection_plan
)
app.command("conformity", short_help="Say how probable it is that lots conform.")(
    conforming.conformity
)
app.command("strength", short_help="Say at what density strength meets its limits.")(
    conforming.strength
)
app.command("look-back", short_help="Say what an instrument found wrong had read.")(
    looking_back.look_back
)
app.command("readings", short_help="List what an instrument read, one by one.")(
    looking_back.readings
)
app.command("findings", short_help="Say which scales drift, which pieces lack ties.")(
    finding.findings
)
app.command("chart", short_help="Chart what the plant records; say what signals.")(charting.chart)
app.command("ageing", short_help="Say how far beads have aged: signed hours and estimate.")(
    ageing.ageing
)
app.command("costs", short_help="Say what a good block costs, part by part.")(costing.costs)
app.command("steer", short_help="Leave a pre-expander or change it, and by how much.")(
    steering.steer
)
app.command("air", short_help="Work out what is given off, against each room's air.")(airing.air)
app.command("release", short_help="Release a block lot.")(releasing.release)
app.command("hold", short_help="Put lots on hold.")(deciding.hold)
app.command("holds", short_help="List holds: what each reaches, and what was shipped.")(
    deciding.holds
)
app.command("lift", short_help="Lift a hold from lots.")(deciding.lift)
app.command("concede", short_help="Close nonconformities by a concession.")(deciding.concede)
app.command("reverse", short_help="Undo a step whose outputs have not been used.")(deciding.reverse)
app.command("certificate", short_help="Issue the certificate of a released lot.")(
    papers.certificate
)
app.command("check-certificate", short_help="Check a certificate's file against the record.")(
    papers.check_certificate
)
app.command("visit", short_help="Write the visit file for an inspector.")(papers.visit)
app.command("people", short_help="List, confirm or erase the people behind the ids.")(naming.people)
app.command("account", short_help="Give a person a code to sign in with.")(naming.account)
app.command("token", short_help="Make a token for a machine or a program.")(naming.token)
app.command("serve", short_help="Serve the pages of a plant.")(serving.serve)
app.command("verify", short_help="Verify the record; print the head to keep.")(keeping.verify)
app.command("rebuild", short_help="Make the projections again from the record.")(keeping.rebuild)
app.command("doctor", short_help="Say in what state the store is; mend it.")(keeping.doctor)


def run(stores: Stores, arguments: Sequence[str], program: str = PROGRAM) -> int:
    """Run one command, called as ``program``; gives its exit status.

    Only a fault that was asked to be shown is traced.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a sign shows another in its place; it is no reason to fail.
        getattr(stream, "reconfigure", lambda **_: None)(errors="replace")
    session = Session(stores, program)
    remember(Called(program))
    command: Any = typer.main.get_command(app)
    try:
        status = command.main(list(arguments), PROGRAM, standalone_mode=False, obj=session)
        sys.stdout.flush()
    except (BrokenPipeError, SystemExit):  # typer ends the program itself where a pipe breaks
        _hush()
        return UNREAD
    except (KeyboardInterrupt, typer.Abort):
        return CUT_OFF
    except Exception as error:  # noqa: BLE001 - whatever it is, a person gets one message
        return told(error, debug=session.debug)
    return status if isinstance(status, int) else DONE


def _hush() -> None:
    """Give up on standard output: its reader has gone, and is not told again at exit."""
    import os

    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123 - open to the end
