"""Content set as a PDF: tagged, archivable (PDF/A-3a), the same bytes for the same content.

Read :func:`typeset`. Fonts are those that the typesetter carries; the machine's are never used.
"""

from __future__ import annotations

from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import typst

from beadwright.errors import Misuse

__all__ = ["SETTER", "SIZES", "require_size", "typeset"]

SETTER = f"typst {version('typst')}"
"""What sets the pages: another version may set the same content otherwise."""

SIZES = ("a4", "us-letter")
"""Sizes of paper."""

_TEMPLATES = Path(__file__).parent / "templates"


def require_size(paper: str) -> None:
    """Take only the sizes of paper that plants print on.

    Raises
    ------
    Misuse
        If it is none of them.
    """
    if paper not in SIZES:
        message = f"{paper!r} is no size of paper; there are: {', '.join(SIZES)}"
        raise Misuse(message)


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
