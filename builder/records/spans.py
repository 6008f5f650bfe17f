"""Times by the calendar: a month from the 16th is the 16th, however many days that are."""

from __future__ import annotations

import calendar
import datetime as dt
from dataclasses import dataclass

from builder.records.numbers import split_measure
from builder.records.units import TIMES

_STEPS = {
    TIMES["day"]: (0, 1),
    TIMES["week"]: (0, 7),
    TIMES["month"]: (1, 0),
    TIMES["year"]: (12, 0),
}
_MOST_MONTHS = 1200
_MOST_DAYS = 36_525


@dataclass(frozen=True)
class Span:
    """Whole calendar ``months``, then whole ``days``."""

    months: int = 0
    days: int = 0

    @property
    def words(self) -> str:
        """``1 week``, ``12 months``, ``2 years``: in the largest unit that needs no remainder,
        but a year as months, as the trade has it."""
        if self.months:
            years, rest = divmod(self.months, 12)
            return _count(years, "year") if years > 1 and not rest else _count(self.months, "month")
        weeks, rest = divmod(self.days, 7)
        return _count(self.days, "day") if rest else _count(weeks, "week")

    def after(self, day: dt.date) -> dt.date:
        """The day this long after ``day``; a month that is too short ends on its last day.

        Raises ``OverflowError`` beyond the year 9999.
        """
        years, month = divmod(day.month - 1 + self.months, 12)
        year, month = day.year + years, month + 1
        if year > dt.MAXYEAR:
            raise OverflowError("the calendar ends with the year 9999")
        last = calendar.monthrange(year, month)[1]
        return dt.date(year, month, min(day.day, last)) + dt.timedelta(days=self.days)


def read_span(text: str) -> Span | None:
    """Read "1 d", "2 weeks", "3 months", "1 year"; None for anything else, for parts of a day or a
    month, and beyond a hundred years."""
    measure = split_measure(text)
    unit = TIMES.get(measure.rest) if measure else None
    if measure is None or unit not in _STEPS or measure.about or not measure.number.is_integer():
        return None
    months, days = (int(measure.number) * size for size in _STEPS[unit])
    if not months + days > 0 or months > _MOST_MONTHS or days > _MOST_DAYS:
        return None
    return Span(months, days)


def _count(number: int, unit: str) -> str:
    return f"{number} {unit}{'' if number == 1 else 's'}"
