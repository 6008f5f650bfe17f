"""Words to days and times."""

from __future__ import annotations

import datetime as dt
import re

from builder.records.facts import Moment

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FULL = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_TIME = (
    r"(?:(?:T|\s+|,\s*|\s+at\s+)(?P<hour>[0-9]{1,2})[:.](?P<minute>[0-9]{2})(?::[0-9]{2}(?:\.[0-9]+)?)?"
    r"(?:Z|[+-][0-9]{2}:?[0-9]{2})?)?"
)
_ISO = re.compile(r"(?P<year>[0-9]{4})-(?P<month>[0-9]{2})-(?P<day>[0-9]{2})" + _TIME, re.I)
_DAY_FIRST = re.compile(
    r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?(?:\s+of)?[\s-]+(?P<name>[a-z]{3,9})\.?,?[\s-]+(?P<year>[0-9]{4})"
    + _TIME,
    re.I,
)
_MONTH_FIRST = re.compile(
    r"(?P<name>[a-z]{3,9})\.?\s+(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?,?\s+(?P<year>[0-9]{4})" + _TIME,
    re.I,
)
_SLASHED = re.compile(r"(?P<a>[0-9]{1,2})[/.-](?P<b>[0-9]{1,2})[/.-](?P<year>[0-9]{2}|[0-9]{4})")
_FIRST_YEAR, _LAST_YEAR = 1900, 2199  # beyond these a year is a slip of the finger


def read_moment(text: str) -> Moment | None:
    """Read "2024-10-01", "2024-10-01T19:30", "1 Oct 2024" → the day, with the time where written.

    Day and month in figures alone ("01/10/2024") give None: they could be either way round. Time
    is local; a distance from UTC is left aside.
    Source of the first forms: ISO 8601.
    """
    tidy = " ".join(text.split())
    for pattern in (_ISO, _DAY_FIRST, _MONTH_FIRST):
        match = pattern.fullmatch(tidy)
        if match:
            return _make_moment(match)
    return None


def explain_date(text: str) -> str:
    """Why ``text`` is no date, where that can be told; else ""."""
    match = _SLASHED.fullmatch(text.strip())
    if match:
        a, b, year = int(match["a"]), int(match["b"]), int(match["year"])
        full = year + 2000 if year < 100 else year
        if not (_is_day(full, b, a) or _is_day(full, a, b)):
            return "there is no such day"
        return "which number is the day and which the month cannot be told"
    iso = _ISO.fullmatch(" ".join(text.split()))
    if iso:
        return "there is no such day or time"
    if re.fullmatch(r"[0-9]{4}(?:-[0-9]{2})?", text.strip()):
        return "the day is missing"
    return ""


def _is_day(year: int, month: int, day: int) -> bool:
    try:
        return bool(dt.date(year, month, day))
    except ValueError:
        return False


def _make_moment(match: re.Match[str]) -> Moment | None:
    groups = match.groupdict()
    month = int(groups["month"]) if groups.get("month") else _find_month(groups["name"])
    year = int(groups["year"])
    if not _FIRST_YEAR <= year <= _LAST_YEAR:
        return None
    try:
        day = dt.date(year, month, int(groups["day"]))
        hour = groups["hour"]
        return Moment(day, dt.time(int(hour), int(groups["minute"])) if hour else None)
    except ValueError:
        return None


def _find_month(name: str) -> int:
    """1 to 12, or 0 where the name is no month's."""
    low = name.casefold()
    if low in _FULL:
        return _FULL.index(low) + 1
    short = "sep" if low == "sept" else low
    return _MONTHS.index(short) + 1 if short in _MONTHS else 0
