"""Imports point down, and each rule has been seen to fail.

A copy of the package gets one forbidden import at a time; the contract named beside it must break.
A rule that nobody has seen fail is not a rule.
"""

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BIN = Path(sys.executable).parent


@dataclass(frozen=True)
class Plant:
    """A module to write into, the forbidden lines, and the contract that must catch them."""

    module: str
    lines: str
    contract: str

    def __str__(self) -> str:
        """Name the case by what it plants where."""
        return f"{self.module}: {self.lines.splitlines()[0]}"


FLOORS = "Imports point down only"
KNOWLEDGE = "Knowledge knows no database and no web"
LEDGER = "The ledger knows no product, no limit, no standard"
DOOR = "One door: only plant.door appends to the record"
LEDGER_TABLES = "The ledger's tables are its own"
QUALITY_TABLES = "Quality's tables are its own"
DEMO = "The demonstration knows no rule of the tool"
PAPERS = "Papers are set in one place"
PICTURES = "Pictures know no plant and no web"
SITE = "No floor knows how the floors are joined"

PLANTS = [
    Plant("ledger.trace_planted", "import beadwright.quality", FLOORS),
    Plant("ledger.trace_planted", "def f():\n    import beadwright.quality", FLOORS),
    Plant("quality.planted", "import beadwright.plant", FLOORS),
    Plant("plant.planted", "import beadwright.interop", FLOORS),
    Plant("interop.planted", "import beadwright.demo", FLOORS),
    Plant("interop.planted", "import beadwright.reports", FLOORS),
    Plant("plant.planted", "def f():\n    import beadwright.reports", FLOORS),
    Plant("reports.planted", "import beadwright.demo", FLOORS),
    Plant("reports.planted", "import beadwright.cli", FLOORS),
    Plant("demo.planted", "import beadwright.cli", FLOORS),
    Plant("lab.planted", "import beadwright.ledger", FLOORS),
    Plant("standards.planted", "import beadwright.lab", FLOORS),
    Plant("errors", "import beadwright.units", FLOORS),
    Plant("helpers.planted", "import beadwright.errors", FLOORS),
    Plant("web.planted", "import beadwright.cli", FLOORS),
    Plant("cli.planted", "def f():\n    import beadwright.web", FLOORS),
    Plant("plant.planted", "import beadwright.web", FLOORS),
    Plant("api.planted", "import beadwright.web", FLOORS),
    Plant("api.planted", "def f():\n    import beadwright.cli", FLOORS),
    Plant("web.planted", "import beadwright.api", FLOORS),
    Plant("interop.planted", "import beadwright.api", FLOORS),
    Plant("api.planted", "from beadwright.ledger import record", DOOR),
    Plant("api.planted", "from beadwright.ledger import models", LEDGER_TABLES),
    Plant("charts.planted", "import beadwright.plant", PICTURES),
    Plant("charts.planted", "import django", PICTURES),
    Plant("lab.planted", "import django", KNOWLEDGE),
    Plant("standards.planted", "import sqlite3", KNOWLEDGE),
    Plant("units.planted", "from django.db import connection", KNOWLEDGE),
    Plant("ledger.trace_planted", "import beadwright.standards", LEDGER),
    Plant("ledger.trace_planted", "import beadwright.lab", LEDGER),
    Plant("cli.planted", "import beadwright.ledger.record", DOOR),
    Plant("web.planted", "from beadwright.ledger import record", DOOR),
    Plant("plant.planted", "from beadwright.ledger import record", DOOR),
    Plant("quality.planted", "def f():\n    from beadwright.ledger.record import append", DOOR),
    Plant("reports.planted", "from beadwright.ledger import record", DOOR),
    Plant("plant.planted", "import beadwright.ledger.models", LEDGER_TABLES),
    Plant("reports.planted", "import beadwright.ledger.models", LEDGER_TABLES),
    Plant("reports.planted", "import beadwright.quality.models", QUALITY_TABLES),
    Plant("cli.planted", "def f():\n    import typst", PAPERS),
    Plant("plant.planted", "import typst", PAPERS),
    Plant("quality.planted", "from beadwright.ledger import models", LEDGER_TABLES),
    Plant("plant.planted", "from beadwright.quality.models import Limit", QUALITY_TABLES),
    Plant("cli.planted", "import beadwright.quality.models", QUALITY_TABLES),
    Plant("web.planted", "import beadwright.quality.models", QUALITY_TABLES),
    Plant("web.planted", "from beadwright.ledger import models", LEDGER_TABLES),
    Plant("demo.planted", "import beadwright.standards", DEMO),
    Plant("demo.planted", "import beadwright.interop", DEMO),
    Plant("demo.planted", "import django", DEMO),
    Plant("plant.planted", "import beadwright.site.settings", SITE),
]


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The package as it stands and the contracts, in a folder of their own."""
    ignore = shutil.ignore_patterns("__pycache__", "data")
    shutil.copytree(ROOT / "beadwright", tmp_path / "beadwright", ignore=ignore)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the contracts over a copy, not over the checkout."""
    return subprocess.run(
        [str(BIN / "lint-imports"), "--no-cache", "--no-logo"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder), "COLUMNS": "200"},
        capture_output=True,
        text=True,
        check=False,
    )


def plant(folder: Path, planted: Plant) -> Path:
    """Write the forbidden lines, at the end of a module that exists or into a new one."""
    path = folder.joinpath("beadwright", *planted.module.split(".")).with_suffix(".py")
    path.parent.mkdir(exist_ok=True)
    (path.parent / "__init__.py").touch()
    with path.open("a", encoding="utf-8") as module:
        module.write(f"\n{planted.lines}\n")
    return path


def test_the_code_as_it_stands_keeps_every_contract(copy: Path) -> None:
    """Without a plant nothing breaks, so what breaks below is the plant."""
    done = lint(copy)

    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("planted", PLANTS, ids=str)
def test_a_forbidden_import_breaks_its_contract(copy: Path, planted: Plant) -> None:
    """The contract that forbids this import says so by name."""
    plant(copy, planted)

    done = lint(copy)

    assert done.returncode == 1, done.stdout + done.stderr
    assert f"{planted.contract} BROKEN" in done.stdout


@pytest.mark.parametrize(
    "lines",
    [
        'import importlib\n\nimportlib.import_module("beadwright.quality")',
        'from importlib import import_module\n\nimport_module("beadwright.quality")',
        'from django.apps import apps\n\napps.get_model("quality", "Limit")',
        'from django.utils.module_loading import import_string\n\nimport_string("x")',
    ],
)
def test_a_dynamic_import_is_caught_by_the_linter(copy: Path, lines: str) -> None:
    """What import contracts cannot see is banned by name."""
    path = plant(copy, Plant("ledger.trace_planted", lines, ""))
    check = [str(BIN / "ruff"), "check", "--no-cache", "--output-format=concise", str(path)]

    done = subprocess.run(check, cwd=copy, capture_output=True, text=True, check=False)

    assert done.returncode == 1
    assert "TID251" in done.stdout


def test_every_contract_has_a_plant() -> None:
    """A contract added without a plant is a contract nobody has seen fail."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    contracts = text.split("[[tool.importlinter.contracts]]")[1:]
    names = {part.split('name = "')[1].split('"')[0] for part in contracts}

    assert names == {planted.contract for planted in PLANTS}
