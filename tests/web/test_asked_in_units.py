"""Questions about what was keyed, in the units of who reads them."""

from beadwright.interop.keyed import Asked
from beadwright.web.stations.answers import asked_in


def test_a_question_about_a_weight_is_in_the_units_of_its_reader() -> None:
    """A density that was worked out; what was keyed is quoted as it was."""
    why = "density 2243 kg/m³, where 22.45 kg/m³ is usual for its siblings."
    keyed = (
        Asked("mass", "implausible_specimen", "313 kg", why),
        Asked("charge", "slipped_value", "150 kg", "which would be about 15 kg here"),
    )
    # 22.45 kg/m³ times 0.0624280 lb/ft³, as NIST SP 811 has the pound and the foot.
    worked_out, quoted = asked_in(keyed, "us")

    assert worked_out.why == "density 140.03 lb/ft³, where 1.4015 lb/ft³ is usual for its siblings."
    assert quoted == keyed[1]
    assert asked_in(keyed, "si") == keyed
