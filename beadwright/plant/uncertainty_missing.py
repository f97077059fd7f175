"""What to state so that the uncertainty of what was read is known: of which instrument, and where.

Read :func:`to_state`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.plant.weighings import Evidence
from beadwright.plant.words import in_runs
from beadwright.quality import readings

__all__ = ["to_state"]


def to_state(plant_no: int, characteristic: str, found: Mapping[str, Evidence]) -> str:
    """Say of which readings of some lots the uncertainty is missing; empty where it is of none."""
    lacking = {
        one
        for here in found.values()
        for value in here.values.get(characteristic, ())
        if value.u_si is None or value.partly
        for one in value.ids
    }
    if not lacking:
        return ""
    entered = readings.of_entries(plant_no, {seq for seq, _ in lacking})
    bare = [one for one in entered if (one.seq, one.line) in lacking and one.u_si is None]
    tools = sorted({one.instrument for one in bare if one.instrument})
    names = sorted({one.characteristic for one in bare})
    parts = []
    if tools:
        parts.append(
            f"the standard uncertainty of {in_runs(tools)}: with its next calibration (column"
            f" uncertainty of the sheet calibrations), or as u under [instrument.{tools[0]}]"
        )
    if any(not one.instrument for one in bare):
        parts.append(
            "the instrument of each reading that names none, or its uncertainty in its row"
        )
    if names:
        parts.append(
            f"what measuring scatters by, as s under [repeatability.{names[0]}], or study = true"
            " there with a gauge study on record"
        )
    return f"To be stated: {'; '.join(parts)}." if parts else ""
