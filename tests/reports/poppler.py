"""Poppler as the independent reader of papers (Debian package poppler-utils)."""

import shutil
import subprocess
from pathlib import Path

import pytest

__all__ = ["INDEPENDENT", "pages", "ran", "text_of"]

INDEPENDENT = [
    pytest.mark.django_db,
    pytest.mark.poppler,
    pytest.mark.skipif(
        shutil.which("pdftotext") is None,
        reason="the independent reader is not installed: Debian package poppler-utils",
    ),
]
"""Marks of a module that reads papers with it."""


def ran(*command: str) -> str:
    """What one of its programs writes."""
    done = subprocess.run(command, capture_output=True, check=True)
    return done.stdout.decode()


def text_of(pdf: bytes, folder: Path) -> str:
    """What it reads in a file, in the order of the content, any blanks as one."""
    (folder / "paper.pdf").write_bytes(pdf)
    return " ".join(ran("pdftotext", "-raw", "-nopgbrk", str(folder / "paper.pdf"), "-").split())


def pages(pdf: bytes, folder: Path) -> list[str]:
    """The same, page by page."""
    (folder / "paper.pdf").write_bytes(pdf)
    text = ran("pdftotext", "-raw", str(folder / "paper.pdf"), "-")
    return [" ".join(page.split()) for page in text.split("\f")[:-1]]
