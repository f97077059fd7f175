"""An entry of the record as JSON.

Read :func:`entry_json`.
"""

from __future__ import annotations

from typing import Any

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    ReadingsDraft,
    Release,
    SettingDraft,
    StepDraft,
)
from beadwright.plant.entry_words import at_of, flat, named
from beadwright.plant.history import EntryView
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.restated import WAYS
from beadwright.plant.said_words import kind_of
from beadwright.plant.signed_evidence import signed_evidence
from beadwright.plant.told import restatement_json
from beadwright.plant.words import iso

__all__ = ["entry_json"]


def entry_json(plant: Plant, view: EntryView) -> dict[str, Any]:
    """Give an entry as a map that JSON can hold."""
    one, draft, source = view.entered, view.entered.draft, view.source
    step = draft.restated if isinstance(draft, Correction) else draft
    return {
        **plant.about,
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
        "named_lots": list(named(draft)),
        "stands": view.stands,
        **_restated(plant, view),
        "followers": [{"entry": each.seq, "did": each.did} for each in view.followers],
        "changes": [
            {"field": each.field, "before": each.before, "after": each.after}
            for each in view.changes
        ],
        **_step_json(step if isinstance(step, StepDraft) else None),
        "readings": _readings_json(draft),
        "details": _details(draft),
        "evidence_signed": _signed(plant, draft),
        "schema": one.schema,
        "body": one.body,
        "prev": one.prev,
        "hash": one.hash,
    }


def _restated(plant: Plant, view: EntryView) -> dict[str, Any]:
    some = [] if view.restated is None else [restatement_json(view.restated, plant.zone)]
    return {"restated": some, "same_correction": list(view.together)}


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
    return [{"name": name, "value": text} for name, text in flat(body)]


def _signed(plant: Plant, draft: Draft) -> list[dict[str, Any]]:
    if not isinstance(draft, Release):
        return []
    found = signed_evidence(plant.no, draft.lot, draft.evidence)
    return [
        {
            "sha256": found.sha256,
            "same_now": found.same_now,
            "how_known": found.words,
            "changed": list(found.changed),
            "written": found.text,
        }
    ]


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
