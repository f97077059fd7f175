"""What `samples` says, and a sample that is recorded at the shell."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from beadwright.cli.decisions import key_of
from beadwright.cli.ending import say
from beadwright.cli.persons import person_of
from beadwright.cli.printed import Page, write_json
from beadwright.cli.session import ACCOUNT, Session
from beadwright.errors import Refusal
from beadwright.interop import keyed
from beadwright.plant.access import Role, Who
from beadwright.plant.conditioning import samples as samples_of
from beadwright.plant.door import now_ms
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.sample_words import as_json, standing
from beadwright.plant.words import number

__all__ = ["sample", "samples"]


def samples(plant: Plant, *, json: bool) -> None:
    """Print what is put by."""
    at_ms = moment(plant)
    found = samples_of(plant.no, at_ms)
    if json:
        head = {"plant": plant.code, "zone": plant.zone.key, "head": ":".join(map(str, plant.head)),
                "at": datetime.fromtimestamp(at_ms / 1000, plant.zone).isoformat()}  # fmt: skip
        write_json({**head, "samples": [as_json(one, plant.zone, at_ms) for one in found]})
        return
    page = Page()
    if not found:
        page.line("No sample is put by.")
    for one in found:
        place = f", at {one.place}" if one.place else ""
        page.line(f"{one.code}: {number(one.pieces, 'piece')} of {one.lot}{place}")
        page.line(f"  {standing(one, plant.zone, at_ms)}")


def sample(session: Session, texts: Mapping[str, str], by: str) -> None:
    """Record a sample, and say how it stands.

    Raises
    ------
    Refusal
        If it cannot be meant, or is not taken.
    """
    plant = session.plant()
    form = keyed.read(
        plant.code, "samples", texts, units={}, key=key_of("sample", now_ms()),
        by=person_of(plant.code, by),
    )  # fmt: skip
    faults = [fault for some in form.faults.values() for fault in some]
    if faults:
        raise Refusal(faults)
    done = keyed.post(plant.code, form, Who(ACCOUNT, Role.ENGINEER), planned=False)
    if not done.posted:
        raise Refusal(list(done.refused))
    at_ms = moment(plant)
    found = (one for one in samples_of(plant.no, at_ms) if one.code == texts["sample"])
    for one in found:
        entries = ", ".join(map(str, done.entries))
        say(f"{one.code}, entry {entries}: {standing(one, plant.zone, at_ms)}.")
