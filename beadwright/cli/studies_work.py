"""A gauge study brought to the door, with its sheet."""

from __future__ import annotations

from pathlib import Path

from beadwright.cli.decisions import Decided, key_of
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.interop.studies.kept import Sheet, kept_study
from beadwright.interop.studies.worked import Asked
from beadwright.plant.door import now_ms
from beadwright.plant.gauge_studies.recorded import KIND
from beadwright.plant.gauge_studies.recording import About

__all__ = ["record"]


def record(session: Session, sheet: Path, asked: Asked, about: About, by: str) -> Decided:
    """Record a study for an instrument of the plant, and keep its sheet.

    Raises
    ------
    Misuse
        If it is not said of what it was, when, or who stands for it, or it is no such study.
    Refusal
        If a part of it cannot be read or meant.
    """
    for option, text in (("--of", about.of), ("--done", about.done), ("--by", by)):
        if not text:
            message = f"--record goes with --of, --done and --by: {option} is not said"
            raise Misuse(message)
    plant = session.plant()
    who = person_of(plant.code, by)
    put = Sheet(sheet.name, sheet.read_bytes() if sheet.is_file() else b"")
    sent = (key_of(KIND, now_ms()), who)
    _, draft = kept_study(plant, put, asked, about, sent)
    return Decided(about.instrument, (who,), session.post(plant, draft).seq)
