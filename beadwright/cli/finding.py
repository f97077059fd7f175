"""The verb about what the record shows without being asked."""

from __future__ import annotations

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["findings"]


def findings(
    context: typer.Context,
    json: AsJson = False,
) -> int:
    """Say which scales seem to drift, and which pieces seem to lack ties, with the figures.

    A scale is compared with its own noise: what the steps it weighed leave unaccounted, and what
    the books still hold when places it filled run empty. A piece is compared with the others of
    its lot. Findings are proposed; none holds a lot. The exit status is 0, whatever is found.

    Example: beadwright --store plant.sqlite3 findings
    """
    from beadwright.cli import show_findings

    show_findings.findings(of(context).plant(), json=json)
    return DONE
