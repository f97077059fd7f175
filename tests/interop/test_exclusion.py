"""How a column is written, by exclusion: never a wrong way, and open exactly where two fit.

The oracle is its own reading of numbers and dates: regular expressions and the standard library,
none of ours.
"""

import datetime as dt
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.interop.sheets.exclusion import (
    DATES,
    NUMBERS,
    read_date,
    read_number,
    sift,
    texts_in_encodings,
)


def number_written(value: Decimal, way: tuple[str, str], *, grouped: bool) -> str:
    """A number as a person writes it in a way."""
    text = f"{value:,f}" if grouped and way[1] else f"{value:f}"
    return text.translate({ord(","): way[1], ord("."): way[0]})


def number_meant(text: str, way: tuple[str, str]) -> Decimal | None:
    """The oracle: split at the signs, look at the parts."""
    whole, *parts = text.lstrip("-").split(way[0])
    if len(parts) > 1 or not all(part.isdecimal() for part in parts):
        return None
    groups = whole.split(way[1]) if way[1] else [whole]
    if not all(group.isdecimal() for group in groups):
        return None
    if len(groups) > 1 and (len(groups[0]) > 3 or any(len(group) != 3 for group in groups[1:])):
        return None
    value = Decimal("".join(groups) + ("." + parts[0] if parts else ""))
    return -value if text.startswith("-") else value


NUMBER = st.tuples(
    st.decimals(-99_999, 9_999_999, places=3, allow_nan=False), st.integers(0, 3), st.booleans()
)


@given(st.sampled_from(NUMBERS), st.lists(NUMBER, max_size=12))
def test_a_number_column_is_never_read_in_a_wrong_way(
    way: tuple[str, str], numbers: list[tuple[Decimal, int, bool]]
) -> None:
    """One way left reads what was written; more are left exactly where the oracle finds more."""
    values = [round(value, places) for value, places, _ in numbers]
    texts = [
        number_written(value, way, grouped=grouped)
        for value, (_, _, grouped) in zip(values, numbers, strict=True)
    ]
    found = sift(texts, NUMBERS, read_number)
    columns = [[number_meant(text, each) for text in texts] for each in NUMBERS]
    readings = {tuple(column) for column in columns if None not in column}

    assert tuple(values) in readings
    assert len(found.ways) == len(readings)
    assert {tuple(number_meant(text, one) for text in texts) for one in found.ways} == readings
    assert (found.differ is not None) == (len(readings) > 1)
    if len(found.ways) == 1:
        assert [read_number(found.ways[0], text) for text in texts] == values


_PARTS = {
    "YYYY": ("year", "04d"), "MM": ("month", "02d"), "DD": ("day", "02d"),
    "hh": ("hour", "02d"), "mm": ("minute", "02d"), "ss": ("second", "02d"),
}  # fmt: skip
_TOKEN = re.compile("YYYY|MM|DD|hh|mm|ss")


def date_written(at: dt.datetime, style: str, *, short: bool) -> str:
    """A date as a person writes it; without leading zeros where signs part it."""

    def part(match: re.Match[str]) -> str:
        name, spec = _PARTS[match[0]]
        return format(getattr(at, name), "d" if short and "YYYYMM" not in style else spec)

    return _TOKEN.sub(part, style)


def date_meant(text: str, style: str) -> dt.datetime | None:
    """The oracle: the runs of digits, in the order of the style's tokens, the rest as it stands."""
    if "YYYYMMDD" in style:
        day, rest = text[:8], text[8:]
        if not re.fullmatch("[0-9]{8}", day):
            return None
        text, style = f"{day[:4]}-{day[4:6]}-{day[6:]}{rest}", style.replace("MMDD", "-MM-DD")
    digits, tokens = re.findall("[0-9]+", text), _TOKEN.findall(style)
    if re.split("[0-9]+", text) != _TOKEN.split(style):
        return None
    pairs = list(zip(digits, tokens, strict=True))
    if any(len(run) != 4 if part == "YYYY" else len(run) > 2 for run, part in pairs):
        return None
    parts = {_PARTS[part][0]: int(run) for run, part in pairs}
    try:
        return dt.datetime(**parts)  # type: ignore[arg-type]  # noqa: DTZ001 - a wall clock
    except ValueError:
        return None


TIMES = st.datetimes(dt.datetime(2020, 1, 1), dt.datetime(2030, 1, 1))  # noqa: DTZ001
SAME = st.dates(dt.date(2020, 1, 1), dt.date(2030, 1, 1)).map(
    lambda day: dt.datetime(day.year, day.month, day.month)  # noqa: DTZ001 - a wall clock
)


@given(
    st.sampled_from(DATES),
    st.lists(st.one_of(TIMES, SAME, TIMES.map(lambda at: at.replace(day=5))), max_size=5),
    st.booleans(),
)
def test_a_date_column_is_never_read_in_a_wrong_way(
    style: str, times: list[dt.datetime], short: bool
) -> None:
    """As with numbers."""
    texts = [date_written(at, style, short=short) for at in times]
    found = sift(texts, DATES, read_date)
    truth = tuple(date_meant(text, style) for text in texts)
    columns = [tuple(date_meant(text, each) for text in texts) for each in DATES]
    readings = {column for column in columns if None not in column}

    assert [None if one is None else one.date() for one in truth] == [at.date() for at in times]
    assert truth in readings
    assert {tuple(date_meant(text, one) for text in texts) for one in found.ways} == readings
    assert len(found.ways) == len(readings)
    if len(found.ways) == 1:
        read = [read_date(found.ways[0], text) for text in texts]
        assert [one[0] for one in read if isinstance(one, tuple)] == list(truth)


def test_a_slip_of_the_pen_excludes_nothing() -> None:
    """It is a fault of its cell in any way; a column that mixes two ways fits none."""
    slip = sift(["1,5", "88o", "1.148,5"], NUMBERS, read_number)
    assert slip.ways == ((",", "."),)
    assert slip.decided == 2

    mixed = sift(["1,5", "2.5"], NUMBERS, read_number)
    assert (mixed.ways, mixed.unfit) == ((), 1)


def test_pin_what_is_open_shows_the_text_that_differs() -> None:
    """The first one that tells them apart; what is alike in all ways asks nothing."""
    found = sift(["12", "1.500", "2.250"], NUMBERS, read_number)
    assert found.ways == ((".", ""), (",", "."))
    assert found.differ == 1
    assert sift(["12", "7"], NUMBERS, read_number).ways == ((".", ""),)
    assert sift(["05/05/2026"], DATES, read_date).ways == ("DD/MM/YYYY",)
    assert sift(["05/06/2026"], DATES, read_date).ways == ("DD/MM/YYYY", "MM/DD/YYYY")
    assert sift(["05/06/2026", "05/13/2026"], DATES, read_date).ways == ("MM/DD/YYYY",)


@given(st.text(st.characters(codec="cp1252", exclude_categories=["Cc"]), max_size=40))
def test_an_encoding_is_never_taken_wrongly(text: str) -> None:
    """The true one is among those left, or one that reads the same."""
    for encoding in ("cp1252", "utf-8", "utf-16"):
        found = texts_in_encodings(text.encode(encoding))
        whole_utf8 = encoding == "cp1252" and _is_utf8(text.encode(encoding))
        assert whole_utf8 or text.removeprefix("\ufeff") in [one for _, one in found]
        assert len({one for _, one in found}) == len(found)


def _is_utf8(raw: bytes) -> bool:
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


@pytest.mark.parametrize("style", DATES)
def test_every_style_is_one_that_layouts_take(style: str) -> None:
    """What is offered can be stated."""
    from beadwright.interop.sheets.clock import Clock  # noqa: PLC0415 - only here

    assert Clock(style, "UTC").style == style
