"""What a plant's own weighed mesh samples say of a grade, so that the estimate is narrower.

Read :func:`samples`. A bag of mesh with beads hangs in a silo and is weighed again and again; the
newest of a grade that tells anything is taken for all beads of that grade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

import numpy as np

from beadwright.errors import OutOfRange, UnitError
from beadwright.plant.ageing.formulas import CLASSES
from beadwright.plant.giving_off import Asked, bulk_density
from beadwright.plant.physical import physical
from beadwright.plant.usual import KEPT, WEIGHED_SAMPLE
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView
from beadwright.science.ageing import (
    MeshSample,
    Posterior,
    PouchPosterior,
    SampledBeads,
    pouch_posterior,
    size_classes,
)
from beadwright.science.beads import PACKING, bead_density, diameter_in_silo
from beadwright.science.pentane import PerWetBead, per_dry_polymer
from beadwright.science.trust import NINE_IN_TEN
from beadwright.units import parse_number, to_si

__all__ = ["MESH", "PROBE", "SIZE_SPREAD", "Mesh", "samples", "telling"]

MESH, PROBE = "mesh_sample_mass", "silo_temperature"

SIZE_SPREAD = 0.15
"""Of bead sizes about their mean. Common practice, no source."""

_LEAST = 3
"""Half of a band in standard deviations."""


@dataclass(frozen=True, slots=True)
class Mesh:
    """A mesh sample as it was weighed, and what it says; without a reason why not, it narrows."""

    sample: str
    silo: str
    grade: str
    weighings: int
    from_ms: int
    to_ms: int
    pentane: Posterior | None = None
    """Diffusivity at 23 °C in a bead of 36 kg/m³. [m²/s]"""
    air: Posterior | None = None
    """Multiplier of the published permeability."""
    why_not: str = ""

    @property
    def words(self) -> str:
        """What it is, in words."""
        return f"mesh sample {self.sample}, {self.weighings} weighings in {self.silo}"


def samples(
    plant_no: int, asked: Asked, probed: Mapping[str, Sequence[ReadingView]]
) -> Mapping[str, tuple[Mesh, ...]]:
    """Give the samples of each grade, newest first, up to the first that tells something."""
    found: dict[str, list[Mesh]] = {}
    for grade, sample, views in _by_sample(plant_no, asked[1]):
        told = found.setdefault(grade, [])
        if not any(not one.why_not for one in told):
            told.append(_mesh(plant_no, (grade, sample), views, asked, probed))
    return {grade: tuple(some) for grade, some in found.items()}


def telling(plant_no: int, grade: str, asked: Asked) -> Mesh | None:
    """Give the newest sample of a grade that tells something."""
    probed = readings.of_characteristics(plant_no, (PROBE,))
    some = samples(plant_no, asked, probed).get(grade, ())
    return next((one for one in some if not one.why_not), None)


def _by_sample(plant_no: int, at_ms: int) -> list[tuple[str, str, list[ReadingView]]]:
    """Give each grade's samples with their weighings by age, the last weighed first."""
    by_silo = readings.of_characteristics(plant_no, (MESH,))
    some = [
        one
        for views in by_silo.values()
        for one in views
        if one.at_ms <= at_ms and one.facts.get("grade") and one.si is not None
    ]

    def name(one: ReadingView) -> tuple[str, str]:
        return one.facts["grade"], one.specimen

    found = [
        (grade, sample, sorted(views, key=lambda one: float(one.facts["age_h"])))
        for (grade, sample), views in groupby(sorted(some, key=name), name)
    ]
    return sorted(found, key=lambda one: -max(view.at_ms for view in one[2]))


def _mesh(
    plant_no: int,
    name: tuple[str, str],
    views: Sequence[ReadingView],
    asked: Asked,
    probed: Mapping[str, Sequence[ReadingView]],
) -> Mesh:
    """Work out what a sample says."""
    grade, sample = name
    silo = views[-1].lot
    times = [one.at_ms for one in views]
    known = (sample, silo, grade, len(views), min(times), max(times))
    if len(views) < _LEAST:
        return Mesh(*known, why_not=f"weighed {len(views)} times; it takes {_LEAST} or more")
    warmth = [_kelvin(one, probed.get(one.lot, ())) for one in views]
    filling = readings.filling(plant_no, silo, min(times))
    until = max(times) if filling is None or filling.to_ms is None else filling.to_ms - 1
    bulk = bulk_density(plant_no, (silo, ()), (asked[0], max(min(until, max(times)), min(times))))
    pentane, raw = (physical(asked[0], "grade", grade, key, asked[1])
                    for key in ("pentane", "raw_size"))  # fmt: skip
    lacking = [
        *(["how warm it hung"] if None in warmth else []),
        *([] if bulk[0] is not None else [f"a cup of the beads in {silo}"]),
        *([] if pentane is not None else [f"pentane of grade {grade}"]),
        *([] if raw is not None else [f"raw size of grade {grade}"]),
    ]
    if lacking or bulk[0] is None or pentane is None or raw is None:
        return Mesh(*known, why_not=f"missing: {'; '.join(lacking)}")
    weighed = tuple((float(one.facts["age_h"]) * 3600, one.si or 0.0, _u(one)) for one in views)
    said = tuple(0.0 if one is None else one for one in warmth)
    try:
        found = _posterior((bulk[0], pentane, raw), said, weighed)
    except OutOfRange as error:
        return Mesh(*known, why_not=str(error))
    why = "" if found.pentane.told or found.air.told else found.pentane.why
    return Mesh(*known, found.pentane, found.air, why)


def _u(one: ReadingView) -> float:
    return one.u_si or WEIGHED_SAMPLE.value * (one.si or 0.0)


def _kelvin(one: ReadingView, probe: Sequence[ReadingView]) -> float | None:
    """Give how warm a sample hung: as it was keyed, else between its silo's readings."""
    if one.facts.get("temperature"):
        number, _, unit = one.facts["temperature"].partition(" ")
        try:
            return float(to_si(parse_number(number, decimal="."), unit, "temperature"))
        except UnitError:
            return None
    near = [view for view in probe if view.si is not None and abs(view.at_ms - one.at_ms) < _DAY_MS]
    if not near:
        return None
    near.sort(key=lambda view: view.at_ms)
    return float(
        np.interp(one.at_ms, [view.at_ms for view in near], [view.si or 0.0 for view in near])
    )


_DAY_MS = 86_400_000


@lru_cache(maxsize=64)
def _posterior(
    beads: tuple[float, float, float],
    kelvin: tuple[float, ...],
    weighed: tuple[tuple[float, float, float], ...],
) -> PouchPosterior:
    """Ask the physics; ``beads``: bulk density, pentane per wet raw bead, raw size."""
    bulk, wet, raw = beads
    diameter = float(diameter_in_silo(raw, bulk).value)
    dry = float(per_dry_polymer(PerWetBead.of(wet)).kg_kg)
    times, mass, u = (np.array(column) for column in zip(*weighed, strict=True))
    followed = SampledBeads(
        float(bead_density(bulk, PACKING.value)),
        size_classes([diameter], SIZE_SPREAD, CLASSES)[0],
        np.array(kelvin),
        dry * KEPT.value,
        dry * (KEPT.high - KEPT.low) / (2 * NINE_IN_TEN),
    )
    return pouch_posterior(MeshSample(followed, times, mass, u))
