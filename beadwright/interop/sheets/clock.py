"""Times as a sheet writes them, into UTC milliseconds.

The style and the zone are stated in the sheet's layout and never guessed. Where clocks go back,
an hour happens twice: the text must end in an offset that says which. Where they go forward, an
hour is missing, and a time in it is refused.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from beadwright.interop.sheets.cells import BadCell

__all__ = ["Clock"]

_TOKENS = {"YYYY": "year", "MM": "month", "DD": "day", "hh": "hour", "mm": "minute", "ss": "second"}
_TOKEN = re.compile("|".join(_TOKENS))
_OFFSET = r"(?:[ ]?(?P<offset>Z|[+\-\u2212][0-9]{2}:?[0-9]{2}))?"
_EPOCH_DAY = date(1970, 1, 1).toordinal()
_HOUR_S = 3600


class Clock:
    """Reads and writes times in one style and one zone; the offset is looked up once an hour."""

    def __init__(self, style: str, zone: str) -> None:
        """Take the style (tokens YYYY MM DD hh mm ss) and the IANA zone.

        Raises
        ------
        BadCell
            If the style leaves a date open, repeats a token, or the zone is unknown.
        """
        self.style = style
        self.zone = _zone(zone)
        self._pattern = re.compile(_pattern(style) + _OFFSET)
        self._timed = "hh" in style
        self._offsets: dict[tuple[int, int, int, int], int | None] = {}

    def ms(self, text: str) -> int:
        """Return UTC milliseconds of a time as the sheet writes it.

        Raises
        ------
        BadCell
            If the text does not fit the style, is no date, or names an hour that happened twice
            or never.
        """
        wall, offset = self.wall(text)
        if offset != "0":
            return self._stated(wall, offset, text)
        return self.local(wall) if self._timed else self.day(wall.date())

    def wall(self, text: str) -> tuple[datetime, str]:
        """Return the time on the wall clock and the offset stated, "0" where none is.

        Raises
        ------
        BadCell
            If the text does not fit the style, or is no date.
        """
        match = self._pattern.fullmatch(text)
        if match is None:
            raise BadCell(
                code="time_invalid",
                what=f'"{text}" is not written as "{self.style}".',
                remedy="Write it in that style, or state the sheet's own style in its layout.",
            )
        found = match.groupdict("0")
        offset = found.pop("offset")
        parts = {name: int(value) for name, value in found.items()}
        try:
            return datetime(**parts), offset  # type: ignore[arg-type]  # noqa: DTZ001 - zone follows
        except ValueError:
            message = f'"{text}" is no date and time that exists.'
            raise BadCell(
                code="time_invalid", what=message, remedy="Correct the date or the time."
            ) from None

    def cell(self, wall: datetime) -> int:
        """Return UTC milliseconds of a workbook's date cell."""
        whole_day = wall.time() == datetime.min.time() and not self._timed
        return self.day(wall.date()) if whole_day else self.local(wall)

    def local(self, wall: datetime) -> int:
        """Return UTC milliseconds of a time on the wall clock."""
        key = (wall.year, wall.month, wall.day, wall.hour)
        if key not in self._offsets:
            self._offsets[key] = self._hour_offset(wall)
        offset = self._offsets[key]
        if offset is None:
            offset = self._careful_offset(wall)
        return (_seconds(wall) - offset) * 1000

    def day(self, on: date) -> int:
        """Return UTC milliseconds of the first moment of a local day."""
        wall = datetime(on.year, on.month, on.day)  # noqa: DTZ001 - the zone follows
        while _missing(wall, self.zone):
            wall += timedelta(minutes=1)
        return (_seconds(wall) - _offset(wall, self.zone)) * 1000

    def text(self, ms: int) -> str:
        """Write a time in the sheet's style, with its offset where the hour happened twice."""
        local = datetime.fromtimestamp(ms // 1000, UTC).astimezone(self.zone)
        shown = self._show(local)
        wall = local.replace(tzinfo=None, fold=0)
        return f"{shown} {_offset_text(local)}" if _doubled(wall, self.zone) else shown

    def _show(self, at: datetime) -> str:
        return _TOKEN.sub(
            lambda token: f"{getattr(at, _TOKENS[token[0]]):0{len(token[0])}d}", self.style
        )

    def _hour_offset(self, wall: datetime) -> int | None:
        """Offset of the whole hour, or None where a change of clocks touches it."""
        ends = [
            _offset(wall.replace(minute=minute, second=minute, fold=fold), self.zone)
            for minute in (0, 59)
            for fold in (0, 1)
        ]
        return ends[0] if len(set(ends)) == 1 else None

    def _careful_offset(self, wall: datetime) -> int:
        if _missing(wall, self.zone):
            raise BadCell(
                code="time_missing_hour",
                what=f"{self._show(wall)} never happened in {self.zone.key}: clocks went forward.",
                remedy="Correct the time.",
            )
        if _doubled(wall, self.zone):
            first, second = (wall.replace(tzinfo=self.zone, fold=fold) for fold in (0, 1))
            shown = self._show(wall)
            raise BadCell(
                code="time_doubled_hour",
                what=f"{shown} happened twice in {self.zone.key}: clocks went back.",
                remedy=f'Write "{shown} {_offset_text(first)}" for the first or '
                f'"{shown} {_offset_text(second)}" for the second.',
            )
        return _offset(wall, self.zone)

    def _stated(self, wall: datetime, offset: str, text: str) -> int:
        """Take the offset that the text states, if the zone had it then."""
        minutes = 0
        if offset != "Z":
            sign = 1 if offset[0] == "+" else -1
            minutes = sign * (int(offset[1:3]) * 60 + int(offset[-2:]))
        try:
            at = wall.replace(tzinfo=timezone(timedelta(minutes=minutes)))
            local = at.astimezone(self.zone)
        except (ValueError, OverflowError):
            local = None
        if local is None or local.replace(tzinfo=None) != wall:
            raise BadCell(
                code="time_offset",
                what=f'"{text}" states an offset that {self.zone.key} did not have then.',
                remedy="Correct the offset, or state the sheet's own zone in its layout.",
            )
        return _seconds(wall) * 1000 - minutes * 60_000


def _zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadCell(
            code="zone_unknown",
            what=f'"{name}" is no time zone.',
            remedy="Write an IANA name such as America/Chicago or Europe/Berlin.",
        ) from None


def _pattern(style: str) -> str:
    """Pattern of a date style; a token parted by punctuation may drop its leading zero."""
    found = _TOKEN.findall(style)
    needed = {"YYYY", "MM", "DD"} | ({"hh", "mm"} if {"hh", "mm", "ss"} & set(found) else set())
    if len(found) != len(set(found)) or not needed <= set(found):
        raise BadCell(
            code="date_style_invalid",
            what=f'"{style}" is no date style.',
            remedy="Write each of YYYY, MM and DD once, and hh and mm (ss) if times are given.",
        )
    parts: list[str] = []
    end = 0
    for match in _TOKEN.finditer(style):
        parts.append(re.escape(style[end : match.start()]))
        parted = not _touches_digits(style, match.start(), match.end())
        digits = "{4}" if match[0] == "YYYY" else "{1,2}" if parted else "{2}"
        parts.append(f"(?P<{_TOKENS[match[0]]}>[0-9]{digits})")
        end = match.end()
    return "".join([*parts, re.escape(style[end:])])


def _touches_digits(style: str, start: int, end: int) -> bool:
    """Whether another token stands directly before or behind."""
    return bool(_TOKEN.match(style, end)) or any(
        match.end() == start for match in _TOKEN.finditer(style)
    )


def _seconds(wall: datetime) -> int:
    days = wall.toordinal() - _EPOCH_DAY
    return days * 86_400 + wall.hour * _HOUR_S + wall.minute * 60 + wall.second


def _offset(wall: datetime, zone: ZoneInfo) -> int:
    offset = zone.utcoffset(wall)
    return int(offset.total_seconds()) if offset is not None else 0


def _doubled(wall: datetime, zone: ZoneInfo) -> bool:
    return _offset(wall.replace(fold=0), zone) > _offset(wall.replace(fold=1), zone)


def _missing(wall: datetime, zone: ZoneInfo) -> bool:
    return _offset(wall.replace(fold=0), zone) < _offset(wall.replace(fold=1), zone)


def _offset_text(at: datetime) -> str:
    text = at.strftime("%z")
    return f"{text[:3]}:{text[3:5]}"
