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

from beadwright.cli import answers, deciding, filing, keeping, naming, releasing, tracing
from beadwright.cli.ending import CUT_OFF, DONE, told
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


app.command("demo")(filing.demo)
app.command("import")(filing.import_)
app.command("assess")(releasing.assess)
app.command("trace")(tracing.trace)
app.command("stock")(answers.stock)
app.command("nonconformities")(answers.nonconformities)
app.command("release")(releasing.release)
app.command("hold")(deciding.hold)
app.command("lift")(deciding.lift)
app.command("concede")(deciding.concede)
app.command("reverse")(deciding.reverse)
app.command("people")(naming.people)
app.command("verify")(keeping.verify)
app.command("rebuild")(keeping.rebuild)
app.command("doctor")(keeping.doctor)


def run(stores: Stores, arguments: Sequence[str]) -> int:
    """Run one command; gives its exit status. Only a fault that was asked to be shown is traced."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a sign shows another in its place; it is no reason to fail.
        getattr(stream, "reconfigure", lambda **_: None)(errors="replace")
    session = Session(stores)
    command: Any = typer.main.get_command(app)
    try:
        status = command.main(list(arguments), "beadwright", standalone_mode=False, obj=session)
        sys.stdout.flush()
    except BrokenPipeError:
        _hush()
        return DONE
    except (KeyboardInterrupt, typer.Abort):
        return CUT_OFF
    except Exception as error:  # noqa: BLE001 - whatever it is, a person gets one message
        return told(error, debug=session.debug)
    return status if isinstance(status, int) else DONE


def _hush() -> None:
    """Give up on standard output: its reader has gone, and is not told again at exit."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
