"""A plant's own sheets into drafts.

Lives here: how a sheet is written (``layout``, ``clock``), its rows read (``table``), what each
kind of sheet means (``kinds``), the plant's settings (``setup``), corrections, and the front.
Read first: :func:`beadwright.interop.sheets.intake.read`.
May import: plant and all below; nothing here posts.
"""

from beadwright.interop.sheets.doubts import Question
from beadwright.interop.sheets.files import FileSummary
from beadwright.interop.sheets.intake import Intake, read
from beadwright.interop.sheets.known import EmptyRecord, Known, KnownLot, KnownSetting, Person

__all__ = [
    "EmptyRecord",
    "FileSummary",
    "Intake",
    "Known",
    "KnownLot",
    "KnownSetting",
    "Person",
    "Question",
    "read",
]
