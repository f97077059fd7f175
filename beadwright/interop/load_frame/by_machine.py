"""An export read as the layouts kept for the plant's machines say, where they agree.

Read :func:`read_as_kept`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.interop.load_frame.found import Found
from beadwright.interop.load_frame.layout import Layout
from beadwright.interop.load_frame.reading import read
from beadwright.plant.frame_layouts import KeptLayout

__all__ = ["AsKept", "read_as_kept"]


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
