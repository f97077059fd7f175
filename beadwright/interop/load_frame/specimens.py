"""Traces in SI of an export on which no question is open.

Read first: :func:`specimens`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import Misuse
from beadwright.interop.load_frame.checked import si_of
from beadwright.interop.load_frame.found import Block, Found
from beadwright.interop.load_frame.shape import Shape, shape_of
from beadwright.lab.loading import Trace

__all__ = ["Loaded", "specimens"]


@dataclass(frozen=True, slots=True)
class Loaded:
    """One specimen's curve in SI, with the sizes that are known."""

    name: str
    trace: Trace | None
    """None where the file holds stress and strain, and no sizes to undo them with."""
    stress_pa: NDArray[np.float64] | None
    """As in the file; None where it has none."""
    strain: NDArray[np.float64] | None
    time_s: NDArray[np.float64] | None
    sizes: Mapping[str, float] = field(default_factory=dict)

    @property
    def shape(self) -> Shape:
        """The loaded area and the height along the load, as far as known."""
        return shape_of(self.sizes)


def specimens(found: Found, sizes: Mapping[str, float] | None = None) -> tuple[Loaded, ...]:
    """Return the specimens of an export in SI.

    Parameters
    ----------
    found : Found
        What was found; no question may be open on it.
    sizes : mapping or None
        Sizes by name in SI (m, m², kg) that a person gives for every specimen: they stand before
        those of the file.

    Returns
    -------
    specimens : tuple of Loaded
        One for each block, in the order of the file.

    Raises
    ------
    Misuse
        If a question is open.
    """
    if found.questions:
        fields = ", ".join(one.field for one in found.questions)
        message = f"{found.name} leaves open: {fields}. Answer first."
        raise Misuse(message)
    return tuple(_loaded(block, dict(sizes or {})) for block in found.blocks)


def _loaded(block: Block, given: dict[str, float]) -> Loaded:
    known = {one.name: one.si for one in block.sizes}
    if given.keys() & {"length", "width", "diameter", "area"}:
        # A face that a person gives replaces the file's: the two are never mixed.
        known = {k: v for k, v in known.items() if k not in {"length", "width", "diameter", "area"}}
    if given.keys() & {"height", "thickness"}:
        known = {k: v for k, v in known.items() if k not in {"height", "thickness"}}
    known |= given
    shape = shape_of(known)
    force, travel, stress, strain, time = (
        si_of(block.column(role)) for role in ("force", "travel", "stress", "strain", "time")
    )
    if force is None and stress is not None and shape.area_m2 is not None:
        force = stress * shape.area_m2
    if travel is None and strain is not None and shape.height_m is not None:
        travel = strain * shape.height_m
    trace = None if force is None or travel is None else Trace(force, travel, time)
    return Loaded(block.name, trace, stress, strain, time, known)
