"""Values of the settings, whichever YAML reader they come from: each to its type, or a sentence
saying what was expected."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from typing import Any

from builder.read.wording import quote
from builder.records.settings import Price
from builder.records.spans import Span, read_span
from builder.records.units import MASSES, VOLUMES

SETTINGS_FILE = "mkdocs.yml"
_SHORT_MONTH = dt.date(2023, 2, 1)
_MOST_SPANS = 100
_FIRST_YEAR, _LAST_YEAR = 1900, 2199  # as of the dates in sidecars
_WHOLE = re.compile(r"[0-9]{1,12}")
_DECIMAL = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")

_PRICE = re.compile(r"(?P<number>[0-9]{1,9}(?:\.[0-9]{1,9})?)\s*(?:per\b|/|an?\b)\s*(?P<unit>.+)")
_AREAS = {"cm2": 1.0, "cm²": 1.0, "dm2": 100.0, "dm²": 100.0, "m2": 10_000.0, "m²": 10_000.0}
_COUNTED = {"coat": "coat", "plate": "plate", "piece": "plate"}


class OptionError(ValueError):
    """A value that cannot be used; its text is what was expected. Never leaves this package."""


def read_text(value: Any) -> str:
    """One line of text."""
    if isinstance(value, (list, tuple, dict)):
        raise OptionError("words on one line")
    return "" if value is None else str(value).strip()


def read_word(value: Any, words: Sequence[str]) -> str:
    """One of ``words``, in any capitals."""
    word = _flatten(value).casefold()
    if word not in words:
        raise OptionError(f"one of: {', '.join(words)}")
    return word


def read_whole(value: Any, least: int, most: int) -> int:
    """A whole number from ``least`` to ``most``. ``120_000_000`` and ``120000000`` are the same."""
    text = re.sub(r"(?<=[0-9])_(?=[0-9])", "", _flatten(value))
    if not _WHOLE.fullmatch(text) or not least <= int(text) <= most:
        raise OptionError(f"a whole number from {least} to {most}, which {quote(text)} is not")
    return int(text)


def read_decimal(value: Any, least: float, most: float) -> float:
    """A number from ``least`` to ``most``."""
    text = _flatten(value)
    if not _DECIMAL.fullmatch(text) or not least <= float(text) <= most:
        raise OptionError(f"a number from {least:g} to {most:g}, which {quote(text)} is not")
    return float(text)


def read_wholes(
    value: Any, least: int, most: int, count: int | None = None, longest: int = 100
) -> tuple[int, ...]:
    """A list of whole numbers, of ``count`` where that is given, else of ``longest`` at most."""
    if not isinstance(value, (list, tuple)) or (count and len(value) != count) or not value:
        raise OptionError(f"a list of {count or 'one or more'} whole numbers")
    if len(value) > longest:
        raise OptionError(f"a list of at most {longest} whole numbers")
    return tuple(read_whole(part, least, most) for part in value)


def read_day(value: Any) -> dt.date | None:
    """A day as year-month-day, from 1900 to 2199; None where nothing is written."""
    if isinstance(value, dt.datetime):
        value = value.date()
    text = "" if value is None else _flatten(value)
    if not text:
        return None
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        raise OptionError("a date such as 2025-11-01") from None
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise OptionError(f"a date from {_FIRST_YEAR} to {_LAST_YEAR}")
    return day


def read_spans(value: Any, least: int = 1) -> tuple[Span, ...]:
    """A list of ``least`` or more times by the calendar, each longer than the one before."""
    if _is_list(value) and len(value) > _MOST_SPANS:
        raise OptionError(f"at most {_MOST_SPANS} times")
    spans = [read_span(_flatten(part)) for part in value] if _is_list(value) else [None]
    told = tuple(span for span in spans if span)
    days = [span.after(_SHORT_MONTH) for span in told]
    if len(told) < max(least, len(spans)) or days != sorted(set(days)):
        raise OptionError("a rising list of times such as [1 d, 1 week, 1 month, 1 year]")
    return told


def read_prices(value: Any) -> tuple[Price, ...]:
    """Names with prices: {copper sheet: 0.12 per cm2, ammonia: 3 per l, gloves: 0.2 per plate}."""
    if not isinstance(value, dict):
        raise OptionError("names with prices, such as ammonia: 3 per l")
    return tuple(_read_price(str(name), _flatten(written)) for name, written in value.items())


def _read_price(name: str, written: str) -> Price:
    match = _PRICE.fullmatch(written.casefold())
    unit = match["unit"].strip() if match else ""
    number = float(match["number"]) if match else 0.0
    if unit in _AREAS:
        return Price(name, number / _AREAS[unit], "cm2")
    if unit in _COUNTED:
        return Price(name, number, _COUNTED[unit])
    size = MASSES.get(unit) or VOLUMES.get(unit)
    if size is None or size.assumed:
        raise OptionError(
            f"a price such as 3 per l, of cm2, m2, g, kg, ml, l, coat or plate, which "
            f"{quote(written)} of {quote(name)} is not"
        )
    return Price(name, number / size.size, size.unit)


def read_inside(value: Any) -> str:
    """A path inside the library's folder, with ``/``."""
    text = _flatten(value).replace("\\", "/")
    parts = [part for part in text.split("/") if part not in {"", "."}]
    outside = text.startswith(("/", "[")) or ".." in parts or ":" in text or "\x00" in text
    if outside or not parts:
        raise OptionError("a path inside the library's folder, such as samples")
    return "/".join(parts)


def _is_list(value: Any) -> bool:
    return isinstance(value, (list, tuple))


def _flatten(value: Any) -> str:
    """The text of a value; a list or mapping gives a text that is never a good value."""
    return "[" if isinstance(value, (list, tuple, dict)) else str(value).strip()
