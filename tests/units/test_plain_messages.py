"""No message holds a sign that a person cannot see, whatever was typed."""

import pickle

import pytest

from beadwright.cli.ending import say
from beadwright.cli.printed import Page
from beadwright.errors import (
    BeadwrightError,
    Fault,
    Misuse,
    OutOfRange,
    RecordBroken,
    Refusal,
    UnitError,
    plain,
)

SIGNS = ("\u202e", "\u200b", "\u2066", "\ufeff", "\x1b", "\x07", "\r", "\u2028", "\x85")


@pytest.mark.parametrize("sign", SIGNS, ids=ascii)
def test_every_error_writes_it_out(sign: str) -> None:
    """Turning marks, marks of no width, controls: each by its number, in each error's text."""
    odd = f"gnp{sign}gpj"
    errors: list[BeadwrightError] = [
        Misuse(f"no file {odd}"),
        UnitError("unit_unknown", f"{odd} is no unit.", odd, "Write kg."),
        OutOfRange(odd, odd, valid=odd),
        RecordBroken(3, odd),
        Refusal([Fault("bad_text", f"name {odd}", odd, odd, odd)]),
    ]
    for error in errors:
        assert sign not in str(error)
        assert ascii(sign)[1:-1] in str(error)


@pytest.mark.parametrize("sign", SIGNS, ids=ascii)
def test_a_fault_holds_none_in_any_part(sign: str) -> None:
    """So that a page or a program that shows a part shows it written out."""
    odd = f"a{sign}b"
    fault = Fault("bad_text", odd, odd, odd, odd)

    assert all(sign not in part for part in (fault.what, fault.value, fault.where, fault.remedy))
    assert pickle.loads(pickle.dumps(fault)) == fault  # noqa: S301 - our own bytes


@pytest.mark.parametrize("sign", SIGNS, ids=ascii)
def test_the_shell_prints_none(sign: str, capsys: pytest.CaptureFixture[str]) -> None:
    """On either stream, in a line, an item and a table."""
    say(f"lot {sign}1-L is unknown")
    page = Page()
    page.line(f"lot {sign}1-L")
    page.item(f"lot {sign}1-L")
    page.table(("lot",), [(f"{sign}1-L",)])
    out, err = capsys.readouterr()

    assert sign not in out + err
    assert out.count(ascii(sign)[1:-1]) == 3
    assert ascii(sign)[1:-1] in err


def test_what_can_be_seen_stays() -> None:
    """Letters of any script, signs of the trade, lines and tabs."""
    text = "M\u0410RL \u00b7 \u2264 22.0 kg/m\u00b3\n\t\u65b0 \u2014 \u00e9\u00a0x"

    assert plain(text) == text
