"""One shift typed twice: in pounds and inches with a point, and in kilograms with a comma.

The folder ``two_hands`` holds every kind of sheet in both: other units, decimal and thousands
sign, delimiter, date style, time zone, encoding and language of the headers. Kilograms are typed
to the milligram that the pound is by definition (1 lb = 0.45359237 kg).
"""

import re
import shutil
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from beadwright.errors import UnitError
from beadwright.interop.sheets import EmptyRecord, read
from beadwright.ledger.draft import (
    Correction,
    Draft,
    Reading,
    ReadingsDraft,
    SettingDraft,
    StepDraft,
)
from beadwright.units import Kind, to_mg, to_si
from tests.interop.plant import PLANT

SHEETS = Path(__file__).parent / "two_hands"


def typed(folder: Path, hand: str) -> Path:
    """The shift's sheets as one hand typed them, with the plant's settings."""
    shutil.copytree(SHEETS / hand, folder)
    (folder / "plant.toml").write_text(PLANT, "utf-8")
    return folder


def in_si(text: str) -> str:
    """A keyed text with its unit in SI, to the milligram and the hundredth of a millimetre."""
    number, _, unit = text.rpartition(" ")
    kinds: tuple[Kind, ...] = ("mass", "length", "volume", "duration")
    for kind in kinds if re.fullmatch(r"[0-9.]+", number) else ():
        try:
            if kind == "mass":
                return f"{to_mg(Decimal(number), unit)} mg"
            return f"{to_si(Decimal(number), unit, kind).quantize(Decimal('1e-5'))} {kind}"
        except UnitError:
            continue
    return text


def plain(facts: Mapping[str, str]) -> dict[str, str]:
    """Facts with every keyed text in SI."""
    return {name: in_si(text) for name, text in facts.items()}


def unkeyed(draft: Draft) -> Draft:
    """A draft without what depends on the hand that keyed it."""
    if isinstance(draft, StepDraft):
        lines = tuple(replace(line, keyed="") for line in draft.lines)
        losses = tuple(replace(loss, keyed="") for loss in draft.losses)
        return replace(draft, lines=lines, losses=losses, facts=plain(draft.facts))
    if isinstance(draft, ReadingsDraft):
        return replace(draft, readings=tuple(map(bare, draft.readings)))
    if isinstance(draft, Correction):
        restated = unkeyed(draft.restated)
        assert isinstance(restated, StepDraft)
        return replace(draft, restated=restated)
    return draft


def bare(reading: Reading) -> Reading:
    """A reading in SI."""
    value = in_si(f"{reading.value} {reading.unit}")
    return replace(reading, value=value, unit="", facts=plain(reading.facts))


def test_two_hands_give_one_record(tmp_path: Path) -> None:
    """All drafts are equal, apart from the text as keyed."""
    american = read([typed(tmp_path / "american", "american")], EmptyRecord())
    german = read([typed(tmp_path / "german", "german")], EmptyRecord())

    assert [str(fault) for fault in (*american.faults, *german.faults)] == []
    assert [unkeyed(draft) for draft in german.drafts] == [
        unkeyed(draft) for draft in american.drafts
    ]
    rows = [draft for draft in american.drafts if not isinstance(draft, SettingDraft)]
    assert len(rows) == 14, "every sheet gave its drafts"
    assert any(isinstance(draft, Correction) for draft in rows)


@pytest.mark.parametrize("hand", ["american", "german"])
def test_what_was_keyed_stays_beside(tmp_path: Path, hand: str) -> None:
    """In the hand's own unit, with the decimal point that texts of ours have."""
    intake = read([typed(tmp_path / "sheets", hand)], EmptyRecord())
    bag = next(draft for draft in intake.drafts if draft.key == "bead_receipts/2")

    assert isinstance(bag, StepDraft)
    assert bag.lines[0].keyed == {"american": "1882.5 lb", "german": "853.887637 kg"}[hand]


def test_one_hands_sheet_under_the_others_layout_is_refused(tmp_path: Path) -> None:
    """Nothing is guessed: each number and date that contradicts the layout is a bad row."""
    folder = typed(tmp_path / "sheets", "german")
    for layout in folder.glob("*.layout.toml"):
        text = layout.read_text("utf-8").replace('decimal = ","', 'decimal = "."')
        layout.write_text(text.replace('thousands = "."', 'thousands = ","'), "utf-8")
    faults = read([folder], EmptyRecord()).faults
    values = {fault.value for fault in faults if fault.code == "not_a_number"}

    assert {"400,295267", "853,887637", "272,155", "379,999276"} - values == {"272,155"}
