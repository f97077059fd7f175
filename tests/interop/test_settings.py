"""The plant's settings file and the layouts: what they say is checked, and every fault is named."""

from datetime import date

import pytest

from beadwright.interop.sheets import EmptyRecord, Person, read
from beadwright.interop.sheets.clock import Clock
from beadwright.ledger.draft import SettingDraft
from tests.interop.plant import PLANT, Plant, codes

MIDNIGHT = Clock("YYYY-MM-DD", "America/Chicago").day(date(2026, 9, 1))


def settings(plant: Plant) -> dict[str, SettingDraft]:
    """The setting drafts of a plant by key."""
    intake = plant.read()
    assert not intake.faults, "\n".join(map(str, intake.faults))
    return {d.key: d for d in intake.drafts if isinstance(d, SettingDraft)}


def test_every_setting_is_a_draft_dated_by_the_plants_own_day(plant: Plant) -> None:
    """In force from local midnight of the day stated."""
    drafts = settings(plant)
    product = drafts["setting/product/FB6S/2026-09-01"]

    assert len(drafts) == 17
    assert {draft.happened_at for draft in drafts.values()} == {MIDNIGHT}
    assert (product.topic, product.name, product.since) == ("product", "FB6S", MIDNIGHT)
    assert product.body["foam_mass"] == "1.5 kg"
    assert drafts["setting/plant/LARKHOLLOW/2026-09-01"].body == {
        "name": "Larkhollow Form Works (invented)",
        "zone": "America/Chicago",
    }


def test_people_are_told_apart_from_the_record(plant: Plant) -> None:
    """Their names are in no draft."""
    intake = plant.read()

    assert intake.people[0] == Person("P-01", "KR", "Kesta Rumlow", "operator")
    assert intake.plant == "LARKHOLLOW"
    assert not any("Kesta" in repr(draft) for draft in intake.drafts)


def test_a_setting_may_have_a_day_of_its_own(plant: Plant) -> None:
    """Then it is dated by that, and sorted by it."""
    plant.settings = PLANT.replace('min_h = "8"', 'since = 2026-09-10\nmin_h = "8"')
    drafts = list(settings(plant).values())

    assert drafts[-1].key == "setting/ageing/F1/2026-09-10"
    assert drafts[-1].body == {"min_h": "8", "max_h": "96"}


def test_a_second_file_dates_a_change(plant: Plant) -> None:
    """Each file is one plant's; two versions of one day are refused."""
    folder = plant.write()
    later = PLANT.replace("2026-09-01", "2026-10-01").replace("ties = 6", "ties = 5")
    (folder / "plant-october.toml").write_text(later, "utf-8")
    assert len(read([folder], EmptyRecord()).drafts) == 34

    (folder / "plant-october.toml").write_text(PLANT.replace("ties = 6", "ties = 5"), "utf-8")
    assert codes(read([folder], EmptyRecord())) == ["setting_repeated"]
    other = PLANT.replace("LARKHOLLOW", "ELSEWHERE")
    (folder / "plant-october.toml").write_text(other, "utf-8")
    assert codes(read([folder], EmptyRecord())) == ["plants_mixed"]


@pytest.mark.parametrize(
    ("good", "bad", "key"),
    [
        ('code = "LARKHOLLOW"', "", "plant.code"),
        ('zone = "America/Chicago"', 'zone = "Chicago"', "plant.zone"),
        ("since = 2026-09-01", 'since = "2026-09-01"', "plant.since"),
        ("[people]", "[poeple]", "poeple"),
        ('role = "engineer"', 'role = "boss"', "people.EI.role"),
        ('foam_mass = "1.5 kg"', "foam_mass = 1.5", "product.FB6S.foam_mass"),
        ('foam_mass = "1.5 kg"', 'foam_mass = "1.5"', "product.FB6S.foam_mass"),
        ('foam_mass = "1.5 kg"', 'foam_mass = "1.5 mm"', "product.FB6S.foam_mass"),
        ("ties = 6", 'ties = "6"', "product.FB6S.ties"),
        ("ties = 6", "tise = 6", "product.FB6S.tise"),
        ('press = "0.04"', "press = 0.04", "product.FB6S.moisture"),
        ('family = "packaging"', "", "product.PKC.family"),
        ('grades = ["F1", "T6"]', 'grades = ["F1", "T7"]', "approved.FB6S.grades"),
        ('accepts = ["F1"]', 'accepts = "F1"', "place.S1.accepts"),
        ('feeds = ["H1"]', 'feeds = ["H9"]', "place.S1.feeds"),
        ('feeds = ["H1"]', 'feeds = ["H1"]\ncapacity = "400"', "place.S1.capacity"),
        ('feeds = ["H1"]', 'feeds = ["H1"]\ncup_shows = "volume"', "place.S1.cup_shows"),
        ("[ageing.F1]", '[cup.FB9]\nband = "0.5 kg/m3"\n\n[ageing.F1]', "cup.FB9"),
        ("[ageing.F1]", '[cup.FB6S]\nhot = "23 kg/m3"\n\n[ageing.F1]', "cup.FB6S.band"),
        (
            "[ageing.F1]",
            '[cup.FB6S]\nband = "1 kg/m3"\nwarm = "2 kg/m3"\n\n[ageing.F1]',
            "cup.FB6S.warm",
        ),
        (
            "[ageing.F1]",
            '[cup.FB6S]\nband = "1 kg/m3"\nhot = "2 kg"\n\n[ageing.F1]',
            "cup.FB6S.hot",
        ),
        ("[ageing.F1]", "[ageing.F9]", "ageing.F9"),
        ('zone = "America/Chicago"', 'zone = "America/Chicago"\ncurrency = "$"', "plant.currency"),
        ('max_h = "96"', "max_h = 96.0", "ageing.F1.max_h"),
        ('bound = "min"', 'bound = "least"', "limit.FB6S-DENSITY.bound"),
        ('product = "FB6S"', 'product = "FB9S"', "limit.FB6S-DENSITY.product"),
        ('value = "21.6 kg/m3"', 'value = "21.6"', "limit.FB6S-DENSITY.value"),
    ],
)
def test_a_setting_that_cannot_be_meant_is_named(
    plant: Plant, good: str, bad: str, key: str
) -> None:
    """By file and key; a misspelt key is never lost in silence."""
    assert good in PLANT
    plant.settings = PLANT.replace(good, bad, 1)
    faults = plant.read().faults

    assert [fault.code for fault in faults] == ["setting_invalid"]
    assert faults[0].where == f'plant.toml, "{key}"'
    assert faults[0].remedy


@pytest.mark.parametrize(
    ("good", "bad", "meant"),
    [
        ('foam_mass = "1.5 kg"', 'foam_mass = "1,5 kg"', '"1.5 kg"'),
        ('max_h = "96"', 'max_h = "96,5"', '"96.5"'),
    ],
)
def test_a_decimal_comma_in_a_setting_is_named_as_the_trouble(
    plant: Plant, good: str, bad: str, meant: str
) -> None:
    """With what it would be with a point."""
    plant.settings = PLANT.replace(good, bad, 1)
    (fault,) = plant.read().faults

    assert "has a comma; the decimal sign here is a point" in fault.what
    assert meant in fault.what


@pytest.mark.parametrize(
    ("good", "bad", "key"),
    [
        ('sheet = "cups"', 'sheet = "cup"', "sheet"),
        ('encoding = "utf-8"', 'encoding = "ansi-7"', "encoding"),
        ('delimiter = ","', 'delimiter = "|"', "delimiter"),
        ('decimal = "."', 'decimal = "point"', "decimal"),
        ('decimal = "."', 'decimal = "."\nthousands = "."', "thousands"),
        ('dates = "YYYY-MM-DD hh:mm"', 'dates = "DD.MM. hh:mm"', "dates"),
        ('zone = "America/Chicago"', 'zone = "CST"', "zone"),
        ('row = "id"', "row = 1", "row"),
        ('row = "id"', 'row = "id"\ncolour = "red"', "colour"),
        ('taken = "taken"', "", "columns.taken"),
        ('taken = "taken"', 'taken = "taken"\nshade = "shade"', "columns.shade"),
        ('taken = "taken"', 'taken = ""', "columns.taken"),
        ('run = "run"', 'run = "silo"', "columns"),
        ("[columns]", 'ignore = "x"\n[columns]', "ignore"),
    ],
)
def test_a_layout_that_cannot_be_meant_is_named(
    plant: Plant, good: str, bad: str, key: str
) -> None:
    """By file and key, before a row is read."""
    layout = plant.layout("cups")
    assert good in layout
    plant.layouts["cups"] = layout.replace(good, bad, 1)
    plant.add("cups", "1,2026-09-01 12:00,,S1,hot,221,10,,DS")
    faults = plant.read().faults

    assert [fault.code for fault in faults] == ["layout_invalid"]
    assert faults[0].where == f'cups.layout.toml, "{key}"'
    assert faults[0].remedy


def test_all_faults_of_a_layout_come_at_once(plant: Plant) -> None:
    """Before anything is found by exclusion."""
    layout = plant.layout("cups").replace('decimal = "."', 'decimal = "point"')
    layout = layout.replace('delimiter = ","', 'delimiter = "|"')
    plant.layouts["cups"] = layout.replace("America/Chicago", "CST").replace('row = "id"', "")
    plant.add("cups", "1,2026-09-01 12:00,,S1,hot,221,10,,DS")

    assert len(plant.read().faults) == 3
