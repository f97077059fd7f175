"""What `verify`, `rebuild` and `doctor` say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from beadwright.cli.ending import say
from beadwright.cli.examining import Examined, ExaminedPlant
from beadwright.cli.printed import Page, write_json
from beadwright.cli.verifying import Verified, VerifiedPlant
from beadwright.plant.chain_verified import WHOLE
from beadwright.plant.words import number

__all__ = ["examined", "examined_json", "rebuilt", "verified", "verified_json"]

_LONGEST = 200


def verified(found: Verified, *, json: bool) -> None:
    """Print what was found in the records."""
    if json:
        write_json(verified_json(found))
        return
    page = Page()
    _file(page, found.damage)
    if not found.plants and not found.damage:
        page.line("The store holds no plant, so there is nothing to verify.")
    for one in found.plants:
        _verified(page, one, found)
    if found.missing:
        say(
            "The store lacks what keeps its record from being changed:"
            f" {', '.join(found.missing)}. Find out who took it away;"
            " `beadwright doctor --mend` lays it again."
        )


def _file(page: Page, damage: Sequence[str]) -> None:
    if not damage:
        return
    page.line("THE DATABASE FILE IS DAMAGED; SQLite's own check says:")
    for each in damage:
        page.item(each)
    say(
        "Something wrote into the file past the database, or its disk failed: no answer from it can"
        " be relied on. Keep it as it is for whoever looks into it; put back a copy, and hold that"
        " against the last head you kept (`beadwright verify --head SEQ:HASH`)."
    )


def _verified(page: Page, one: VerifiedPlant, found: Verified) -> None:
    seq, own = one.head
    if not one.breaks:
        page.line(f"{one.code}: the record verifies, entries 1 to {seq}.")
        if found.held_against is not None:
            at = found.held_against[0]
            page.line(f"Entry {at} has the hash that was printed earlier.", indent=2)
            if len(found.held_against[1]) < WHOLE:
                page.line(
                    f"Of that, {len(found.held_against[1])} figures of {WHOLE} were given:"
                    " keep the whole head, it proves more.",
                    indent=2,
                )
    else:
        count = len(one.breaks)
        places = "one place" if count == 1 else f"{count} places"
        page.line(f"{one.code}: THE RECORD DOES NOT VERIFY, at {places}:")
        for each in one.breaks[:_LONGEST]:
            page.item(f"entry {each.seq}: {each.what}")
        if count > _LONGEST:
            page.line(f"… and {count - _LONGEST} more; --json lists all.", indent=2)
    if one.differing:
        page.line(f"{one.code}: ITS PROJECTIONS DO NOT SAY WHAT THE RECORD SAYS:")
        page.line(f"{', '.join(one.differing)}: somebody wrote to them past the door.", indent=2)
        say(
            "Answers given since may be wrong. Keep a copy of the store as it is, for whoever"
            " looks into it; `beadwright rebuild` makes the projections again from the record."
        )
    elif one.compared:
        page.line("Lots, readings and decisions are what the record says, made anew.", indent=2)
    _damaged(page, one)
    page.line(f"Head: {seq}:{own}")
    if one.holds and not found.damage:
        say(
            "Keep the head where nobody who can write to the store can change it;"
            " `beadwright verify --head SEQ:HASH` holds it against the record later."
        )


def _damaged(page: Page, one: VerifiedPlant) -> None:
    if not one.damaged:
        return
    page.line(f"{one.code}: {number(len(one.damaged), 'ATTACHMENT')} MISSING OR ALTERED:")
    for each in one.damaged[:_LONGEST]:
        page.item(f"{each.about}: {each.name}, {each.what}: {each.path}")
    say("Put back a copy with the same content: the record holds its hash, and keeps it by that.")


def verified_json(found: Verified) -> dict[str, Any]:
    """Give what was found as a map that JSON can hold."""
    held = found.held_against
    return {
        "verifies": found.holds,
        "file_damage": list(found.damage),
        "held_against": None if held is None else f"{held[0]}:{held[1]}",
        "missing_triggers": list(found.missing),
        "plants": [
            {
                "plant": one.code,
                "head": f"{one.head[0]}:{one.head[1]}",
                "entries": one.head[0],
                "breaks": [{"entry": each.seq, "what": each.what} for each in one.breaks],
                "projections_compared": one.compared,
                "projections_differing": list(one.differing),
                "attachments_damaged": [asdict(each) for each in one.damaged],
            }
            for one in found.plants
        ],
    }


def rebuilt(code: str, entries: int) -> None:
    """Print that the projections of a plant were made again."""
    Page().line(f"{code}: projections made again from {entries} entries.")


def examined(found: Examined, *, json: bool) -> None:
    """Print the state of a store."""
    if json:
        write_json(examined_json(found))
        return
    page, state = Page(), found.state
    rows = [("store", state.where), ("engine", state.engine)]
    if state.size is not None:
        rows.append(("size", f"{state.size / 1e6:.1f} MB"))
    if found.damage:
        rows.append(("file", "DAMAGED"))
    rows += [("tables", _tables(found)), ("safeguards", _safeguards(found))]
    page.facts(rows, indent=0)
    _file(page, found.damage)
    for one in found.plants:
        _plant(page, one)
    if not found.plants and not state.new and not found.damage:
        page.line("It holds no plant yet: import a plant's files.")
    if state.warning:
        say(f"Warning: {state.warning}")


def _tables(found: Examined) -> str:
    state = found.state
    if state.new:
        return "none: import a plant's files, or run doctor --mend"
    if state.pending:
        return f"of an older version ({', '.join(state.pending)}): keep a copy, run doctor --mend"
    return "as this version wants them"


def _safeguards(found: Examined) -> str:
    state = found.state
    if state.new:
        return "none yet"
    if state.missing:
        missing = ", ".join(state.missing)
        return f"MISSING: {missing}. Run verify, find out why, then run doctor --mend"
    return "the database refuses to change, remove or misplace an entry"


def _plant(page: Page, one: ExaminedPlant) -> None:
    seq, own = one.head
    behind = "" if one.projected == seq else f" (projections stand at {one.projected}: run rebuild)"
    page.heading(f"Plant {one.code}")
    page.facts(
        [
            ("entries", f"{seq}{behind}"),
            ("lots", f"{one.lots}"),
            ("nonconformities", f"{one.nonconformities}, {one.open} of them open"),
        ]
    )
    page.line(f"Head: {seq}:{own}")


def examined_json(found: Examined) -> dict[str, Any]:
    """Give the state of a store as a map that JSON can hold."""
    state = found.state
    return {
        "store": state.where,
        "engine": state.engine,
        "bytes": state.size,
        "sound": found.is_sound,
        "file_damage": list(found.damage),
        "new": state.new,
        "pending_migrations": list(state.pending),
        "missing_triggers": list(state.missing),
        "warning": state.warning,
        "plants": [
            {
                "plant": one.code,
                "head": f"{one.head[0]}:{one.head[1]}",
                "projected_to": one.projected,
                "lots": one.lots,
                "nonconformities": one.nonconformities,
                "open_nonconformities": one.open,
            }
            for one in found.plants
        ],
    }
