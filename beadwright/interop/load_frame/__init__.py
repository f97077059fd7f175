"""A load frame's exports as they come: each column shown for what it was taken for, or asked about.

Lives here: a file opened (``opened``), cut into tables (``cutting``), its signs of numbers
(``figures``), the words of its headings (``words``), what columns are taken for (``taking``),
what the metadata state (``stated``) and whether they agree (``checked``), answers kept
(``layout``) and kept for a machine (``by_machine``), curves in SI (``specimens``), and a result's
curve that is kept (``kept``).
Read first: :func:`beadwright.interop.load_frame.reading.read`.
May import: lab and below, and the reading of workbooks in ``interop.sheets``.
"""

from beadwright.interop.load_frame.found import Block, Column, Found, Question, Signature, Size
from beadwright.interop.load_frame.layout import Layout, keepable, layout_of, layout_to_keep
from beadwright.interop.load_frame.reading import read
from beadwright.interop.load_frame.specimens import Loaded, specimens

__all__ = [
    "Block",
    "Column",
    "Found",
    "Layout",
    "Loaded",
    "Question",
    "Signature",
    "Size",
    "keepable",
    "layout_of",
    "layout_to_keep",
    "read",
    "specimens",
]
