"""What `entry` says: one entry of the record, whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from beadwright.cli.printed import Page, iso, local, write_json
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Reading,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
)
from beadwright.plant.figures import mass
from beadwright.plant.history import EntryView
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.restated import WAYS, fact
from beadwright.plant.said_words import ENTRY_WORDS, amount, kind_of, sentence
from beadwright.plant.words import in_runs, place_of
from beadwright.units import System

__all__ = ["at_of", "entry_json", "show", "told_after"]


def at_of(view: EntryView) -> int:
    """Give when what an entry says happened; of a planned step, when it was recorded."""
    at_ms = view.entered.draft.happened_at
    return view.entered.recorded_at if at_ms is None else at_ms


def told_after(view: EntryView) -> list[str]:
    """Give what later entries did to this one, in words."""
    return [f"{one.did} by entry {one.seq}" for one in view.followers]


def show(plant: Plant, view: EntryView, *, units: System, json: bool) -> None:
    """Print one entry."""
    if json:
        write_json(entry_json(plant, view))
        return
    page, one, named = Page(), view.entered, Named.of(plant)
    what = dict.fromkeys((ENTRY_WORDS[one.kind], kind_of(view)))
    page.line(f"Entry {one.seq} of {plant.code}: {', '.join(what)}")
    for told in told_after(view):
        page.line(f"{told.upper()}.")
    page.facts(_head(plant, view, named), indent=0)
    _content(page, plant, view, units)
    page.line()
    page.facts([("hash", one.hash), ("follows", one.prev)], indent=0)


def _head(plant: Plant, view: EntryView, named: Named) -> list[tuple[str, str]]:
    one, source = view.entered, view.source
    row = f", sheet {source.sheet}, row {source.row}" if source.sheet else ""
    came = f"import {source.imported}{row}" if source.imported else "keyed here"
    rows = [
        ("happened", local(at_of(view), plant.zone)),
        ("recorded", local(one.recorded_at, plant.zone)),
        ("done by", named(one.draft.by) or "nobody is named"),
        ("keyed by", f"account {one.account}"),
        ("came from", came),
        ("client key", one.draft.key),
    ]
    if view.about is not None:
        rows.append(("about", f"entry {view.about}"))
    return rows


def _content(page: Page, plant: Plant, view: EntryView, units: System) -> None:
    draft = view.entered.draft
    match draft:
        case StepDraft():
            _step(page, plant, draft, units)
        case Correction():
            page.heading(f"What it changed in {draft.step}: {draft.reason}")
            rows = [(one.field, one.before, one.after) for one in view.changes]
            page.table(("field", "before", "after"), rows)
            page.heading("The step as it says it now")
            _step(page, plant, draft.restated, units)
        case ReadingsDraft():
            page.heading("Read")
            page.table(_COLUMNS, [_reading(*each) for each in enumerate(draft.readings)])
        case SettingDraft() | Decision():
            page.heading(sentence(view, "", units))
            page.facts(_flat(draft.body))
        case _:
            page.heading(sentence(view, "", units))
            named_ = _named(draft)
            if named_:
                page.line(f"Lots: {in_runs(named_)}", indent=2)


def _step(page: Page, plant: Plant, draft: StepDraft, units: System) -> None:
    rows = [("product", draft.product), ("place", place_of(draft.place)), ("run", draft.run)]
    page.facts([row for row in rows if row[1]], indent=0)
    lines = [
        (WAYS[line.sign], line.lot, amount(line, units), str(line.evidence), line.keyed,
         place_of(line.place))
        for line in draft.lines
    ]  # fmt: skip
    lines += [("lost", loss.name, mass(loss.mg, units, 3), "", loss.keyed, "")
              for loss in draft.losses]  # fmt: skip
    if draft.remainder_mg:
        lines.append(("unaccounted", "", mass(draft.remainder_mg, units, 3), "", "", ""))
    if lines:
        page.line()
        page.table(("way", "!lot", "how much>", "known by", "as keyed", "now at"), lines)
    for new in draft.new_lots:
        said = (new.what or str(new.kind), new.product, "+".join(new.grades))
        unit = f", a piece {mass(new.unit_mg, units, 4)}" if new.unit_mg else ""
        page.line(f"New lot {new.code}: {', '.join(filter(None, said))}{unit}", indent=2)
    _facts(page, plant, draft.facts)


def _facts(page: Page, plant: Plant, facts: Mapping[str, str]) -> None:
    if facts:
        page.line()
        page.line("Keyed beside:", indent=2)
        rows = [(name.replace("_", " "), fact(text, plant.zone)) for name, text in facts.items()]
        page.facts(rows, indent=4)


_COLUMNS = ("!no>", "characteristic", "!value>", "unit", "!lot", "step", "specimen", "instrument",
            "method", "conditions")  # fmt: skip


def _reading(line: int, one: Reading) -> tuple[str, ...]:
    value = f"{one.value} ± {one.uncertainty}" if one.uncertainty else one.value
    name = one.characteristic.replace("_", " ")
    beside = ", ".join(f"{key.replace('_', ' ')} {text}" for key, text in one.facts.items())
    subject = (one.lot, one.step, one.specimen, one.instrument, one.method, beside)
    return (str(line), name, value, one.unit, *subject)


def _named(draft: Draft) -> tuple[str, ...]:
    if isinstance(draft, Hold | Lift):
        return draft.lots
    return (draft.lot,) if isinstance(draft, Release) else ()


def _flat(value: object, name: str = "") -> Iterator[tuple[str, str]]:
    """Give what a body says, a name and a text for each of its parts."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _flat(inner, f"{name}.{key}".lstrip("."))
    elif isinstance(value, list | tuple):
        if all(isinstance(inner, str | int) for inner in value):
            yield name, ", ".join(map(str, value))
            return
        for at, inner in enumerate(value):
            yield from _flat(inner, f"{name}[{at}]")
    else:
        yield name, "" if value is None else str(value)


def entry_json(plant: Plant, view: EntryView) -> dict[str, Any]:
    """Give an entry as a map that JSON can hold."""
    one, draft, source = view.entered, view.entered.draft, view.source
    step = draft.restated if isinstance(draft, Correction) else draft
    return {
        "plant": plant.code,
        "zone": plant.zone.key,
        "head": f"{plant.head[0]}:{plant.head[1]}",
        "entry": one.seq,
        "kind": one.kind,
        "what": kind_of(view),
        "key": draft.key,
        "happened_at": iso(at_of(view), plant.zone),
        "recorded_at": iso(one.recorded_at, plant.zone),
        "account": one.account,
        "by": draft.by,
        "name": Named.of(plant).name(draft.by),
        "import": source.imported,
        "sheet": source.sheet,
        "row": source.row,
        "about": _about(draft),
        "about_entry": view.about,
        "reason": getattr(draft, "reason", ""),
        "named_lots": list(_named(draft)),
        "stands": view.stands,
        "followers": [{"entry": each.seq, "did": each.did} for each in view.followers],
        "changes": [
            {"field": each.field, "before": each.before, "after": each.after}
            for each in view.changes
        ],
        **_step_json(step if isinstance(step, StepDraft) else None),
        "readings": _readings_json(draft),
        "details": _details(draft),
        "schema": one.schema,
        "body": one.body,
        "prev": one.prev,
        "hash": one.hash,
    }


def _about(draft: Draft) -> str:
    names = ("step", "readings", "hold", "cause", "lot", "about", "name")
    if isinstance(draft, ReadingsDraft | StepDraft):
        return ""
    return next((str(getattr(draft, name)) for name in names if hasattr(draft, name)), "")


def _details(draft: Draft) -> list[dict[str, str]]:
    body: object = draft.body if isinstance(draft, SettingDraft | Decision) else {}
    if isinstance(draft, Release):
        body = {"evidence": draft.evidence, "note": draft.note}
    if isinstance(draft, Concession):
        body = {"covers": list(draft.covers)}
    return [{"name": name, "value": text} for name, text in _flat(body)]


def _step_json(step: StepDraft | None) -> dict[str, Any]:
    lines = () if step is None else step.lines
    return {
        "step_kind": "" if step is None else step.kind,
        "product": "" if step is None else step.product,
        "place": "" if step is None else step.place,
        "run": "" if step is None else step.run,
        "lines": [
            {
                "way": WAYS[line.sign], "lot": line.lot, "mass_mg": line.mg,
                "pieces": line.pieces, "how": str(line.evidence), "keyed": line.keyed,
                "to": line.place,
            }
            for line in lines
        ],
        "losses": [
            {"name": loss.name, "mass_mg": loss.mg, "keyed": loss.keyed}
            for loss in (() if step is None else step.losses)
        ],
        "unaccounted_mg": 0 if step is None else step.remainder_mg,
        "new_lots": [
            {
                "lot": new.code, "kind": str(new.kind), "what": new.what, "product": new.product,
                "grades": list(new.grades), "piece_mg": new.unit_mg,
                "labels": [{"issuer": each.issuer, "text": each.text} for each in new.labels],
            }
            for new in (() if step is None else step.new_lots)
        ],
        "facts": {} if step is None else dict(step.facts),
    }  # fmt: skip


def _readings_json(draft: Draft) -> list[dict[str, Any]]:
    if not isinstance(draft, ReadingsDraft):
        return []
    return [
        {
            "number": at, "characteristic": one.characteristic, "value": one.value,
            "unit": one.unit, "lot": one.lot, "step": one.step, "specimen": one.specimen,
            "replicate": one.replicate, "uncertainty": one.uncertainty,
            "instrument": one.instrument, "method": one.method, "facts": dict(one.facts),
            "parents": list(one.parents),
        }
        for at, one in enumerate(draft.readings)
    ]  # fmt: skip
