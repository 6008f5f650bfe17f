"""How days, numbers and lists are said on a page. Plain text throughout: templates escape it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from typing import Any

from builder.records.facts import Fact, Known, Moment, Quantity
from builder.records.photo import DateFrom, Evidence, Lab, StateFrom
from builder.relate.findings import Look

# Not from the system: the same words on every machine.
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_THIN = "\u202f"
_SHOWN_UNITS = frozenset({"°C", "%", "mm", "g", "ml", "g/l", "l"})

EVIDENCE_WORDS = {
    Evidence.TARGET: "colour card",
    Evidence.GREY: "grey card",
    Evidence.SHEET: "white sheet only",
    Evidence.NONE: "no reference",
}
DATE_WORDS = {
    DateFrom.CAMERA: "from the camera",
    DateFrom.WRITTEN: "as written",
    DateFrom.FILE: "from the file’s own time: weak",
    DateFrom.NOTHING: "no date",
}
STATE_WORDS = {
    StateFrom.SIDECAR: "from the sidecar",
    StateFrom.FILE_NAME: "from the file name",
    StateFrom.DATES: "worked out from the dates",
}
ABSENCE_WORDS = {
    Known.MISSING: "not recorded",
    Known.UNKNOWN: "unknown",
    Known.NOT_MEASURED: "not measured",
    Known.WITHHELD: "kept private",
}


def say_day(day: dt.date | None) -> str:
    """``16 Oct 2024``, or that there is no date."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}" if day else "no date"


def say_days(days: int | None) -> str:
    """``1 day``, ``365 days``; nothing for None."""
    if days is None:
        return ""
    return f"{days} day{'' if days == 1 else 's'}"


def say_number(value: float | None, places: int = 1) -> str:
    """A figure to so many places, with a true minus sign; nothing for None."""
    if value is None:
        return ""
    said = f"{value:.{places}f}"
    if not float(said):
        said = said.lstrip("-")
    return said.replace("-", "\u2212")


def say_lab(lab: Lab) -> str:
    """``L* 49 a* −21 b* 3``: whole units, which is what a photograph carries."""
    return " ".join(
        f"{name}*\u00a0{say_number(value, 0)}" for name, value in zip("Lab", lab, strict=True)
    )


def say_share(share: float | None) -> str:
    """A share of an area, 0 to 1, in whole per cent."""
    return "" if share is None else f"{say_number(share * 100, 0)}{_THIN}%"


def say_covered(look: Look | None) -> str:
    """How much of the metal was covered in that look: ``58 %``, else ``not told``."""
    share = look.coverage.share if look and look.coverage else None
    return "not told" if share is None else say_share(share)


def say_list(words: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    *most, last = list(words) or [""]
    return f"{', '.join(most)} and {last}" if most else last


def say_title(text: str) -> str:
    """The text with a capital to begin."""
    return text[:1].upper() + text[1:]


def say_fact(fact: Fact[Any]) -> str:
    """The maker's words with the unit where they were a bare number, else which absence it is."""
    value = fact.value
    if isinstance(value, Moment):
        return f"{say_day(value.day)}, {value.time:%H:%M}" if value.time else say_day(value.day)
    bare = re.fullmatch(r"[-+]?\d+(\.\d+)?", fact.written.strip())
    if isinstance(value, Quantity) and bare and value.unit in _SHOWN_UNITS:
        return f"{fact.written.strip()}\u00a0{value.unit}"
    return fact.written if fact.known in (Known.GIVEN, Known.UNREAD) else ABSENCE_WORDS[fact.known]


def say_expected(expected: str) -> str:
    """What a problem's finder expected, as it follows what was found: ``expected a day``."""
    if not expected or expected.lower().startswith("expected"):
        return expected
    return f"expected {expected}"


def say_conversion(fact: Fact[Any]) -> str:
    """What the words were read as, where a rule had to be used: ``15 g (1 tsp salt as 6 g)``."""
    value = fact.value
    if not isinstance(value, Quantity) or not value.assumed:
        return ""
    number = f"{value.number:.3g}".replace("-", "\u2212")
    return f"{number}\u00a0{value.unit} ({value.assumed})"
