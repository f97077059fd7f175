"""What a person reads when something is wrong."""

import pickle
import subprocess
import sys

import numpy as np
import pytest

from beadwright.errors import (
    BeadwrightError,
    Fault,
    Misuse,
    OutOfRange,
    RecordBroken,
    Refusal,
    StoreUnreachable,
    UnitError,
    position,
    require_at_least,
    require_between,
)

FAULT = Fault(
    code="more_than_held",
    what="bag B-0412 holds 37.20 kg; this step draws 40.00 kg (2.80 kg too much)",
    value="40.00 kg",
    where=position("mould log.csv", 17, "mass [kg]"),
    remedy="Weigh the bag and post a count, or draw 37.20 kg.",
)


def test_a_fault_is_one_message() -> None:
    """Code, what was wrong, where and what to do, with the value said once."""
    assert str(FAULT) == (
        "more_than_held: bag B-0412 holds 37.20 kg; this step draws 40.00 kg (2.80 kg too much). "
        'mould log.csv, row 17, "mass [kg]". Weigh the bag and post a count, or draw 37.20 kg.'
    )


def test_a_value_that_was_not_said_is_given() -> None:
    """A message never leaves the value out."""
    fault = Fault("not_a_number", "This is no number.", "12 kg", "", "Write digits only.")

    assert str(fault) == "not_a_number: This is no number. Given: 12 kg. Write digits only."


def test_a_refusal_carries_every_fault() -> None:
    """All faults at once, in the order found, one line each."""
    refusal = Refusal([FAULT, Fault("unit_missing", "No unit is given for a mass.")])

    assert refusal.codes == ("more_than_held", "unit_missing")
    assert len(str(refusal).splitlines()) == 2


def test_a_refusal_without_a_fault_is_our_mistake() -> None:
    """Nobody is refused without a reason."""
    with pytest.raises(ValueError, match="at least one fault"):
        Refusal([])


def test_a_bad_number_in_an_array_is_named() -> None:
    """The first bad value, its argument, its index and the range that holds."""
    with pytest.raises(OutOfRange) as caught:
        require_at_least(0, strict=True, radius_m=np.array([[1.5e-3, 1e-3], [0.0, -1.0]]))

    assert str(caught.value) == "radius_m[1, 0] is 0.0: must be a finite number above 0."
    assert (caught.value.argument, caught.value.value) == ("radius_m", 0.0)
    assert caught.value.index == (1, 0)


@pytest.mark.parametrize(
    "bad", [float("nan"), float("inf"), -1, np.float64("nan"), [2, -1], [2, np.inf]]
)
def test_what_is_not_finite_or_too_small_is_refused(bad: float | list[float]) -> None:
    """NaN and infinity are no measurements, in a scalar or an array."""
    with pytest.raises(OutOfRange, match="must be a finite number of at least 0"):
        require_at_least(0, mass_kg=bad)


@pytest.mark.parametrize("bad", [-0.001, 1.001, float("nan"), [0.5, 2.0]])
def test_a_share_lies_between_its_ends(bad: float | list[float]) -> None:
    """Outside the two ends is refused; the ends themselves are not, unless it is strict."""
    require_between(0, 1, share=[0.0, 1.0])
    with pytest.raises(OutOfRange, match="from 0 to 1"):
        require_between(0, 1, share=bad)
    with pytest.raises(OutOfRange, match="above 0 and below 1"):
        require_between(0, 1, strict=True, share=1.0)


@pytest.mark.parametrize(
    "error",
    [
        OutOfRange("radius_m", 0.0, index=(1,), valid="above 0"),
        UnitError("unit_unknown", '"furlong" is no unit of mass.', "furlong", "Write kg."),
        Refusal([FAULT]),
        RecordBroken(17, "its hash does not fit its content"),
        StoreUnreachable("no store at plant.db: make one first"),
        Misuse("--back and --forward exclude each other"),
    ],
    ids=lambda error: type(error).__name__,
)
def test_an_error_crosses_a_process_boundary(error: BeadwrightError) -> None:
    """A worker's error reaches a person with its words and its parts."""
    again = pickle.loads(pickle.dumps(error))  # noqa: S301  (our own bytes)

    assert type(again) is type(error)
    assert (str(again), vars(again)) == (str(error), vars(error))


def test_the_errors_load_nothing_heavy() -> None:
    """Every start of the command line imports them: numpy and pint stay out."""
    code = (
        "import sys, beadwright.errors, beadwright.units;"
        "print([name for name in ('numpy', 'pint') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
