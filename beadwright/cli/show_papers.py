"""What is said of papers: issued, written anew, checked."""

from __future__ import annotations

import hashlib
from dataclasses import asdict
from json import loads
from pathlib import Path

from beadwright.cli.printed import Page, write_json
from beadwright.plant.words import number
from beadwright.reports.checking import WORDS, Checked
from beadwright.reports.issuing import Paper
from beadwright.reports.visit.asked import VisitFile

__all__ = ["checked", "issued", "visited"]


def issued(done: Paper, to: Path, *, json: bool) -> None:
    """Say which certificate was written where."""
    if json:
        write_json(
            {
                "number": done.number,
                "entry": done.seq,
                "file": str(to),
                "bytes": len(done.pdf),
                "sha256": done.sha256,
            }
        )
        return
    page = Page()
    page.line(f"Entry {done.seq}: certificate {done.number}, {len(done.pdf)} bytes: {to}")
    page.line(f"SHA-256 {done.sha256}")


def visited(done: VisitFile, to: Path, *, json: bool) -> None:
    """Say what a visit file holds."""
    said = loads(done.content.text)
    if json:
        own = hashlib.sha256(done.pdf).hexdigest()
        write_json({"file": str(to), "bytes": len(done.pdf), "sha256": own, "content": said})
        return
    page = Page()
    page.line(f"Visit file since {said['since']}, {len(done.pdf)} bytes: {to}")
    for part in said["parts"]:
        rows = sum(len(one["rows"]) for one in part["tables"])
        page.item(f"{part['title']}: {number(rows, 'row')}")


def checked(found: Checked, file: Path, *, json: bool) -> None:
    """Say what a check has found."""
    if json:
        write_json({"file": str(file), "good": found.good, **asdict(found)})
        return
    page = Page()
    page.line(f"{file}: {WORDS[found.verdict]}.")
    for reason in found.reasons:
        page.item(reason)
    rows = [("SHA-256", found.sha256)]
    if found.number:
        rows.insert(0, ("certificate", f"{found.number} of lot {found.lot}, entry {found.seq}"))
    if found.head:
        rows.append(("head", f"{found.head}: the record verifies up to it and beyond"))
    if found.set_again is not None:
        again = "the same bytes" if found.set_again else "other bytes"
        rows.append(("set again", f"from the record: {again}"))
    page.facts(rows)
