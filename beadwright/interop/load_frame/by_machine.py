"""An export read as the layouts kept for the plant's machines say, where they agree.

Read :func:`read_as_kept`, and :func:`keep_as_read`, which keeps one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.interop.load_frame.found import Found
from beadwright.interop.load_frame.layout import Layout, layout_to_keep
from beadwright.interop.load_frame.reading import read
from beadwright.plant.access import Who
from beadwright.plant.door import Posted
from beadwright.plant.frame_layouts import KeptLayout, keep_layout
from beadwright.plant.opening import Plant

__all__ = ["AsKept", "Export", "keep_as_read", "read_as_kept"]


@dataclass(frozen=True, slots=True)
class Export:
    """A file of a load frame, with what somebody answered about it."""

    raw: bytes
    name: str
    answers: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class AsKept:
    """An export, and the layout it was read by."""

    found: Found
    by: KeptLayout | None
    """None where none fits, or those of several machines fit and differ."""
    differ: tuple[str, ...] = ()
    """Machines whose layouts fit and differ: nothing of them was taken."""


def read_as_kept(
    raw: bytes, name: str, answers: Mapping[str, str], kept: Sequence[KeptLayout]
) -> AsKept:
    """Read an export; ``kept``: the newest first. What is answered now stands before it.

    Raises
    ------
    Misuse, Refusal
        As :func:`~beadwright.interop.load_frame.reading.read`.
    """
    plain = read(raw, name=name, answers=answers, strict=False)
    newest: dict[str, tuple[KeptLayout, Layout]] = {}
    for one in kept:
        try:
            layout = Layout.from_json(one.text)
        except Misuse:  # written by another version: as if none were kept
            continue
        if layout.signature.fits(plain.signature):
            newest.setdefault(one.machine, (one, layout))
    said = {layout.answers for _, layout in newest.values()}
    if len(said) != 1:
        return AsKept(plain, None, tuple(sorted(newest)))
    one, layout = next(iter(newest.values()))
    found = read(raw, layout, name=name, answers=answers, strict=False)
    return AsKept(found, one if layout.answers else None)


def keep_as_read(plant: Plant, who: Who, machine: str, export: Export, key: str) -> Posted:
    """Keep for a machine how one of its exports was read. A key enters once.

    Raises
    ------
    Misuse
        If nothing was answered about the form of the file, something is open, or the plant lists
        no such instrument.
    Refusal
        If the role may not.
    """
    found = read(export.raw, name=export.name, answers=export.answers, strict=False)
    return keep_layout(plant, who, machine, layout_to_keep(found).to_json(), key)
