"""Times as sheets write them; changes of clocks are never guessed.

Outside: the dates on which clocks change in Chicago and Berlin are those of the IANA time zone
database, which the standard library reads; the offsets here are written out by hand from it.
"""

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.interop.sheets.cells import BadCell
from beadwright.interop.sheets.clock import Clock

CHICAGO = Clock("YYYY-MM-DD hh:mm", "America/Chicago")
STYLES = ["YYYY-MM-DD hh:mm:ss", "DD.MM.YYYY hh:mm:ss", "MM/DD/YYYY hh.mm.ss", "YYYYMMDDhhmmss"]
ZONES = ["America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"]
FIRST, LAST = (int(datetime(year, 1, 1, tzinfo=UTC).timestamp()) for year in (1972, 2037))


def ms(year: int, month: int, day: int, hour: int = 0, minute: int = 0) -> int:
    """Milliseconds of a UTC time."""
    return int(datetime(year, month, day, hour, minute, tzinfo=UTC).timestamp()) * 1000


@given(st.integers(FIRST, LAST), st.sampled_from(STYLES), st.sampled_from(ZONES))
def test_a_time_written_reads_back(second: int, style: str, zone: str) -> None:
    """For every second, style and zone, doubled hours included."""
    clock = Clock(style, zone)

    assert clock.ms(clock.text(second * 1000)) == second * 1000


@given(st.integers(FIRST, LAST), st.sampled_from(ZONES))
def test_the_hourly_offset_agrees_with_the_zone(second: int, zone: str) -> None:
    """The offset remembered for an hour is the one the zone gives for each time in it."""
    clock = Clock("YYYY-MM-DD hh:mm:ss", zone)
    local = datetime.fromtimestamp(second, UTC).astimezone(clock.zone)
    for minute in (0, 59, local.minute):
        wall = local.replace(tzinfo=None, minute=minute, fold=0)
        at = [wall.replace(tzinfo=clock.zone, fold=fold).timestamp() for fold in (0, 1)]
        if at[0] == at[1]:
            assert clock.local(wall) == at[0] * 1000
        else:
            with pytest.raises(BadCell):
                clock.local(wall)


def test_summer_and_winter_have_their_own_offset() -> None:
    """Chicago: five hours behind in September, six in December."""
    assert CHICAGO.ms("2026-09-01 10:00") == ms(2026, 9, 1, 15)
    assert CHICAGO.ms("2026-12-01 10:00") == ms(2026, 12, 1, 16)


def test_the_doubled_hour_must_say_which() -> None:
    """On 1 November 2026 the hour from one o'clock happened twice in Chicago."""
    with pytest.raises(BadCell) as refused:
        CHICAGO.ms("2026-11-01 01:30")

    assert refused.value.code == "time_doubled_hour"
    assert "2026-11-01 01:30 -05:00" in refused.value.remedy
    assert "2026-11-01 01:30 -06:00" in refused.value.remedy
    assert CHICAGO.ms("2026-11-01 01:30 -05:00") == ms(2026, 11, 1, 6, 30)
    assert CHICAGO.ms("2026-11-01 01:30 -06:00") == ms(2026, 11, 1, 7, 30)


def test_the_missing_hour_is_refused() -> None:
    """On 29 March 2026 it went from two to three in Berlin."""
    berlin = Clock("DD.MM.YYYY hh:mm", "Europe/Berlin")
    with pytest.raises(BadCell) as refused:
        berlin.ms("29.03.2026 02:30")

    assert refused.value.code == "time_missing_hour"
    assert berlin.ms("29.03.2026 03:00") == ms(2026, 3, 29, 1)


@pytest.mark.parametrize("offset", ["-07:00", "+05:00", "-99:00"])
def test_an_offset_the_zone_did_not_have_is_refused(offset: str) -> None:
    """It would put the time an hour off."""
    with pytest.raises(BadCell) as refused:
        CHICAGO.ms(f"2026-11-01 01:30 {offset}")

    assert refused.value.code == "time_offset"


@pytest.mark.parametrize(
    "text",
    [
        "03.09.2026 10:00",
        "2026-09-03",
        "2026-09-03 10:00 h",
        "2026-02-30 10:00",
        "2026-09-03 24:00",
        "2026-09-03T10:00",
        "26-09-03 10:00",
        "",
    ],
)
def test_another_style_is_not_guessed(text: str) -> None:
    """Nor is a date that does not exist."""
    with pytest.raises(BadCell) as refused:
        CHICAGO.ms(text)

    assert refused.value.code == "time_invalid"


def test_a_leading_zero_may_be_left_out_where_punctuation_parts() -> None:
    """People write 2.4.2024; digits that touch must be complete."""
    day = Clock("DD.MM.YYYY", "UTC")
    assert day.ms("2.4.2024") == day.ms("02.04.2024") == ms(2024, 4, 2)

    with pytest.raises(BadCell):
        Clock("YYYYMMDD", "UTC").ms("202442")


def test_a_day_begins_when_it_begins() -> None:
    """In Beirut clocks went forward at midnight of 29 March 2026: that day began at one."""
    clock = Clock("YYYY-MM-DD", "Asia/Beirut")

    assert clock.day(date(2026, 3, 29)) == ms(2026, 3, 28, 22)
    assert clock.text(clock.day(date(2026, 3, 29))) == "2026-03-29"


@pytest.mark.parametrize(
    "style", ["YYYY-MM", "DD.MM.YY", "YYYY-MM-DD hh", "DD.MM.YYYY DD", "YYYY-MM-DD mm:ss", "date"]
)
def test_a_style_that_leaves_the_date_open_is_refused(style: str) -> None:
    """Or one that names a token twice."""
    with pytest.raises(BadCell) as refused:
        Clock(style, "UTC")

    assert refused.value.code == "date_style_invalid"


@pytest.mark.parametrize("zone", ["Chicago", "CST6CDT7", "", "../etc/passwd"])
def test_a_zone_nobody_knows_is_refused(zone: str) -> None:
    """A zone is an IANA name."""
    with pytest.raises(BadCell) as refused:
        Clock("YYYY-MM-DD", zone)

    assert refused.value.code == "zone_unknown"
