"""Words in the settings: each is one of a list, and no limit falls away because of a typo."""

import pytest

from beadwright.errors import Refusal
from beadwright.plant.limits import own_limit
from tests.interop.plant import PLANT, Plant
from tests.plant.yard import Yard

STANDARD = """
[standard.FB6S]
standard = "ASTM C578"
edition = "10"
type = "II"
characteristics = ["density"]
"""
PLAN = """
[plan.F]
product = "FB6S"
characteristic = "fusion"
evidence = "lot_test"
every = "run"

[age_gate.wrap]
min_h = "24"
"""
LIMIT = {
    "product": "FB6",
    "characteristic": "density",
    "bound": "min",
    "value": "22 kg/m3",
    "statistic": "each",
}


@pytest.mark.parametrize(
    ("good", "bad", "key", "says"),
    [
        ('"lot_test"', '"lot test"', "limit.FB6S-DENSITY.evidence", "lot_test, periodic_test"),
        ('"lot_test"', '"nothing"', "limit.FB6S-DENSITY.evidence", "lot_test, periodic_test"),
        ('"density"', '"densité"', "limit.FB6S-DENSITY.characteristic", "block_mass_24h"),
        ("[tolerance.mould]", "[tolerance.mold]", "tolerance.mold", "expand"),
        (
            'characteristic = "fusion"',
            'characteristic = "fussion"',
            "plan.F.characteristic",
            "fusion",
        ),
        ("[age_gate.wrap]", "[age_gate.oven]", "age_gate.oven", "hot_wire"),
        ('"each"', '"all"', "limit.FB6S-DENSITY.statistic", "each, mean"),
        ('"21.6 kg/m3"', '"21.6 kg"', "limit.FB6S-DENSITY.value", "kg/m3"),
        ('shape = "straight"', 'shape = "strait"', "product.FB6S.shape", "straight, corner_90"),
        ('"packaging"', '"package"', "product.PKC.family", "form, packaging"),
        ('kind = "silo"', 'kind = "tank"', "place.S1.kind", "silo, hopper"),
        ('of = "bead"', 'of = "beads"', "grade.F1.of", "bead, tie"),
        (
            'flame_retardant = "yes"',
            'flame_retardant = "ja"',
            "grade.F1.flame_retardant",
            "yes, no",
        ),
        ('"ASTM C578"', '"ASTM D999"', "standard.FB6S.standard", "there are: ASTM C578"),
        ('edition = "10"', 'edition = "19"', "standard.FB6S.edition", "there are: 10"),
        ('type = "II"', 'type = "XX"', "standard.FB6S.type", "there are: "),
        ('["density"]', '["densité"]', "standard.FB6S.characteristics", "there are: density"),
    ],
)
def test_a_word_that_means_nothing_is_a_fault_of_the_settings(
    plant: Plant, good: str, bad: str, key: str, says: str
) -> None:
    """It names the key and the words that there are; no sentence has two stops."""
    settings = PLANT + STANDARD + PLAN
    assert good in settings
    plant.settings = settings.replace(good, bad, 1)
    (fault,) = plant.read().faults

    assert (fault.code, fault.where) == ("setting_invalid", f'plant.toml, "{key}"')
    assert says in str(fault)
    assert ".." not in str(fault)


def test_packaging_has_any_shape(plant: Plant) -> None:
    """A cushion is no block."""
    plant.settings = PLANT.replace('family = "packaging"', 'family = "packaging"\nshape = "tray"')

    assert not plant.read().faults


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("topic", "body", "key"),
    [
        ("limit", LIMIT | {"evidence": "lot test"}, "evidence"),
        ("limit", LIMIT | {"bound": "least"}, "bound"),
        ("limit", LIMIT | {"statistic": "all"}, "statistic"),
        ("product", {"family": "foam"}, "family"),
        ("product", {"family": "form", "shape": "strait"}, "shape"),
        ("grade", {"of": "beads"}, "of"),
        ("place", {"kind": "tank"}, "kind"),
    ],
)
def test_the_door_refuses_such_a_word_too(topic: str, body: dict[str, object], key: str) -> None:
    """A setting that is posted is read by the same list as one in a file."""
    yard = Yard.open()
    with pytest.raises(Refusal, match=f"{key} cannot be read: it must be one of") as refused:
        yard.set(topic, "X", body)

    assert refused.value.codes == ("bad_setting",)


def test_a_limit_in_the_record_with_such_a_word_is_asked_of_every_lot() -> None:
    """One that was taken in before the word was looked at does not read as `by other tests`."""
    limit = own_limit("X", LIMIT | {"evidence": "lot test"})

    assert limit.evidence == "lot_test"
    assert "'lot test' is none of lot_test, periodic_test, type_test" in limit.unusable
