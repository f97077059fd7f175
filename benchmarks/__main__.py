"""Runs the measurements: all, or the modules named. ``./bench [MODULE ...]``.

Exits with 1 where a target is missed, with 2 for a name that is no module of this folder.
"""

import sys
from importlib import import_module  # noqa: TID251  (finds the modules of this folder only)
from pathlib import Path

from rich.console import Console
from rich.table import Table

from beadwright.site import configure
from benchmarks import Result
from benchmarks._kept import keep

__all__ = ["main"]

_HERE = Path(__file__).parent


def main(names: list[str]) -> int:
    """Measure, show, write down."""
    known = sorted(path.stem for path in _HERE.glob("*.py") if not path.stem.startswith("_"))
    odd = sorted(set(names) - set(known))
    if odd:
        print(f"bench: no such module: {', '.join(odd)}. There are: {', '.join(known)}.")
        return 2
    configure()  # the modules import Django's tables; only their processes open a store
    results: list[Result] = []
    for name in names or known:
        print(f"bench: {name} ...", file=sys.stderr, flush=True)
        measured = import_module(f"benchmarks.{name}").run()
        keep(name, measured)
        results += measured
    _show(results)
    missed = [result.name for result in results if result.met is False]
    if missed:
        print(f"bench: {len(missed)} of {len(results)} missed: {', '.join(missed)}")
        return 1
    print(f"bench: {len(results)} figures, none misses its target; written to benchmarks/last/")
    return 0


def _show(results: list[Result]) -> None:
    table = Table("measure", "figure", "target", "bare floor", "ratio", "", "note")
    for result in results:
        sign = "≥" if result.better == "higher" else "≤"
        target = "" if result.target is None else f"{sign} {result.target:,.6g}"
        floor = "" if result.baseline is None else f"{result.baseline:,.6g}"
        ratio = "" if result.ratio is None else f"{result.ratio:.3g}"
        verdict = {True: "ok", False: "MISSED", None: ""}[result.met]
        figure = f"{result.value:,.6g} {result.unit}"
        table.add_row(result.name, figure, target, floor, ratio, verdict, result.note)
    Console(width=None if sys.stdout.isatty() else 140).print(table)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
