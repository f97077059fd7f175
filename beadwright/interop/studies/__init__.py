"""Sheets of gauge studies, of studies of a jig and of comparisons between laboratories.

Lives here: a sheet opened and its headings matched (``opened``), and what each sort of study reads
from it (``measured``, ``judged``, ``compared``). Nothing of these sheets is posted.
Read first: :func:`beadwright.interop.studies.measured.measured`.
May import: what ``interop`` may.
"""

from beadwright.interop.studies.compared import Compared, compared
from beadwright.interop.studies.judged import Judged, judged
from beadwright.interop.studies.measured import Destroyed, Measured, destroyed, measured
from beadwright.interop.studies.opened import Opened, opened

__all__ = [
    "Compared",
    "Destroyed",
    "Judged",
    "Measured",
    "Opened",
    "compared",
    "destroyed",
    "judged",
    "measured",
    "opened",
]
