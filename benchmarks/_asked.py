"""What the plant of the bench asks of its blocks: limits, a plan, reports, and a balance.

Read :func:`asked`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from beadwright.ledger.draft import Decision, Draft, SettingDraft
from benchmarks._sheets import at_ms

__all__ = ["asked"]

_WEEKS = 60
_NOW = at_ms(24 * 420)


def asked() -> Iterator[Draft]:
    """Give the drafts of it all: settings from the first day on, and what laboratories said."""
    yield from _settings()
    yield from _said()


def _settings() -> Iterator[Draft]:
    def limit(characteristic: str, bound: str, value: str, **more: object) -> dict[str, object]:
        return {
            "product": "FB6S", "characteristic": characteristic, "bound": bound, "value": value,
            "statistic": "mean", "source": "signed limits, sheet 1", "evidence": "lot_test", **more,
        }  # fmt: skip

    def planned(characteristic: str, evidence: str, **more: object) -> dict[str, object]:
        return {"product": "*", "characteristic": characteristic, "evidence": evidence, **more}

    of_strength = {"evidence": "periodic_test"}
    bodies: dict[tuple[str, str], dict[str, object]] = {
        ("limit", "DENSITY"): limit("density", "min", "21.5 kg/m3", specimens=3),
        ("limit", "LENGTH-MIN"): limit("length", "min", "1210 mm", specimens=3),
        ("limit", "LENGTH-MAX"): limit("length", "max", "1228 mm", specimens=3),
        ("limit", "TIES"): limit("defective_ties", "max", "5 %", statistic="each"),
        ("limit", "STRENGTH"): limit("compressive_resistance", "min", "104 kPa", **of_strength),
        ("plan", "STRENGTH"): planned("compressive_resistance", "periodic_test", every="week"),
        ("plan", "CONDUCTIVITY"): planned("thermal_conductivity", "type_test"),
        ("instrument", "BAL-1"): {"what": "balance", "every": "year"},
    }
    for (topic, name), body in bodies.items():
        yield SettingDraft(f"bench/{topic}/{name}", at_ms(0), topic, name, body, at_ms(0))


def _said() -> Iterator[Draft]:
    first = date(2024, 1, 8)
    for week in range(_WEEKS):
        body: dict[str, object] = {
            "result": "110 kPa",
            "sampled": f"{first + timedelta(weeks=week)}",
        }
        yield _report(f"R-{week}", "compressive_resistance", body)
    yield _report("R-TYPE", "thermal_conductivity", {"result": "pass", "sampled": f"{first}"})


def _report(number: str, characteristic: str, body: dict[str, object]) -> Decision:
    full: dict[str, object] = {
        "laboratory": "Northgate Testing", "products": ["FB6S"],
        "characteristic": characteristic, **body,
    }  # fmt: skip
    return Decision(f"bench/{number}", _NOW, "report", number, full)
