"""Content set as a PDF: tagged, archivable (PDF/A-3a), the same bytes for the same content.

Read :func:`typeset`. Fonts are those that the typesetter carries; the machine's are never used.
"""

from __future__ import annotations

from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import typst

__all__ = ["SETTER", "typeset"]

SETTER = f"typst {version('typst')}"
"""What sets the pages: another version may set the same content otherwise."""

_TEMPLATES = Path(__file__).parent / "templates"


def typeset(template: str, content: str, at: datetime) -> bytes:
    """Set JSON content by a template of ours; ``at`` is when the paper says it was made.

    The content goes in whole, as data: no text of it can become markup.
    """
    return typst.compile(
        _TEMPLATES / f"{template}.typ",
        root=_TEMPLATES,
        ignore_system_fonts=True,
        sys_inputs={"content": content},
        format="pdf",
        pdf_standards=["a-3a", "ua-1"],
        timestamp=at,
    )
