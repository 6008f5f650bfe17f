"""Days written in figures, and in which order: told by the table itself where any of its dates can
be read one way only, else asked, never guessed."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from builder.records.moments import read_moment


class Order(StrEnum):
    """The order of day, month and year in a date of figures."""

    DMY = "dmy"
    MDY = "mdy"
    YMD = "ymd"


_FIGURES = re.compile(
    r"(?P<a>[0-9]{1,4})(?P<by>[/.\-\s])\s*(?P<b>[0-9]{1,2})(?P=by)\s*(?P<c>[0-9]{4}|[0-9]{2})"
    r"(?P<time>(?:\s+|T)[0-9]{1,2}[:.][0-9]{2}(?::[0-9]{2})?)?"
)
_NAMED = re.compile(
    r"(?P<day>[0-9]{1,2}(?:st|nd|rd|th)?(?:\s+of)?[\s-]+[a-z]{3,9}\.?,?[\s-]+|"
    r"[a-z]{3,9}\.?\s+[0-9]{1,2}(?:st|nd|rd|th)?,?\s+)['’]?(?P<year>[0-9]{2})",
    re.IGNORECASE,
)
_LONGEST = 40  # signs
_FIRST_YEAR, _LAST_YEAR = 1900, 2199  # as in records.moments


@dataclass(frozen=True)
class Day:
    """A date as a sidecar has it, and what is to be known of how it was read, or ""."""

    written: str
    said: str = ""


def list_ways(text: str, today: dt.date) -> dict[Order, dt.date]:
    """Every order in which a date of figures is a day of the calendar, and that day; nothing for
    any other text. A year of two figures is the latest that does not lie ahead of ``today``."""
    match = _FIGURES.fullmatch(" ".join(text.split())) if len(text) <= _LONGEST else None
    if match is None:
        return {}
    a, b, c = match["a"], match["b"], match["c"]
    wanted = {Order.YMD: (a, b, c)} if len(a) > 2 else {Order.DMY: (c, b, a), Order.MDY: (c, a, b)}
    if len(c) == 2 and len(a) == 2:
        wanted[Order.YMD] = (a, b, c)
    ways = {order: _make_day(*parts, today) for order, parts in wanted.items()}
    return {order: day for order, day in ways.items() if day}


def find_order(texts: Iterable[str], today: dt.date) -> frozenset[Order]:
    """The orders that settle all of a column's dates of figures between them: one where it is
    told, several where dates of figures contradict each other, none where any would do."""
    # One that begins with its year of four figures says nothing of the others.
    ways = [set(found) for t in texts if (found := list_ways(t, today)) and not t[:4].isdecimal()]
    if not ways:
        return frozenset()
    shared = set.intersection(*ways)
    if len(shared) == 1:
        return frozenset(shared)
    if shared:
        return frozenset()
    return frozenset(order for found in ways if len(found) == 1 for order in found)


def is_open(text: str, today: dt.date) -> bool:
    """Whether a text is several days, by the order in which it is read."""
    return len(set(list_ways(text, today).values())) > 1


def read_day(text: str, orders: frozenset[Order], told: Order | None, today: dt.date) -> Day:
    """A cell of a column of dates. ``orders`` are those its column settled on, ``told`` is the one
    its maker said. A date that is left open stays as it was written."""
    if read_moment(text):
        return Day(text)
    named = _NAMED.fullmatch(" ".join(text.split())) if len(text) <= _LONGEST else None
    moment = named and read_moment(f"{named['day']}{_fill_year(named['year'], today)}")
    if moment:
        return Day(moment.day.isoformat())
    ways = list_ways(text, today)
    days = set(ways.values())
    wanted = told or (next(iter(orders)) if len(orders) == 1 else None)
    if not days:
        return Day(text)
    if wanted in ways:
        return Day(_write(ways[wanted], text))
    if len(days) == 1:
        day = _write(next(iter(days)), text)
        other = ", ".join(ways)
        return Day(day, f"this is a day only as {other}, the others are {wanted}" if wanted else "")
    said = "the order of day and month is not told"
    if len(orders) > 1:
        said = (
            f"the column has dates of two orders ({', '.join(sorted(orders))}), and this is a day"
        )
        said += f" by both: {' or '.join(sorted(day.isoformat() for day in days))}"
    return Day(text, said)


def _write(day: dt.date, text: str) -> str:
    match = _FIGURES.fullmatch(" ".join(text.split()))
    time = match["time"] if match else None
    if not time:
        return day.isoformat()
    hour, minute = re.split(r"[:.]", time.strip(" T"))[:2]
    return f"{day.isoformat()}T{int(hour):02d}:{minute}"


def _fill_year(year: str, today: dt.date) -> int:
    """The latest year with these two last figures that does not lie ahead."""
    century = today.year // 100 * 100
    return int(year) + (century if century + int(year) <= today.year else century - 100)


def _make_day(year: str, month: str, day: str, today: dt.date) -> dt.date | None:
    if len(year) not in (2, 4):
        return None
    full = _fill_year(year, today) if len(year) == 2 else int(year)
    try:
        return dt.date(full, int(month), int(day)) if _FIRST_YEAR <= full <= _LAST_YEAR else None
    except ValueError:
        return None
