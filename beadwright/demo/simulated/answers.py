"""The answer sheet of a simulated plant: what is truly in each lot, and what went wrong.

Read :func:`answers` first, whose result is the content of ``truth.json``. No tool reads that file.
"""

from __future__ import annotations

from beadwright.demo.floor import true_contents
from beadwright.demo.simulated.plant import Plant

__all__ = ["answers"]

_ABOUT = (
    "What is true of this simulated plant; nothing reads it but tests. lots, bundles: by code, the "
    "share of its mass by bag of beads or carton of ties; kg: the mass of each. bead_lots: pentane "
    "per wet bead, bead size, and strength against usual beads. left: by place, the kilograms that "
    "truly stayed in it each time it was written down as empty. uncaught_kg: pentane that went "
    "into the air while its capture was down. faults: what went wrong, when (minutes from the "
    "first midnight), and where."
)


def answers(plant: Plant) -> dict[str, object]:
    """Return the answer sheet, fit for JSON."""
    return {
        "about": _ABOUT,
        "plant": plant.parameters.text("plant", "code"),
        "seed": plant.seed,
        "months": plant.months,
        **true_contents(plant.came, plant.bundles, plant.left),
        "bead_lots": {
            one.code: {
                "pentane": round(one.pentane, 6),
                "bead_mm": round(one.bead_mm, 4),
                "strength": one.strength,
            }
            for one in plant.bead_lots
        },
        "uncaught_kg": round(plant.uncaught_kg, 3),
        "faults": [
            {
                "kind": fault.kind,
                "at": fault.at,
                "place": fault.place,
                "what": fault.what,
            }
            for fault in plant.faults
        ],
    }
