"""The kinds of fact a sidecar holds: how each is written, and how its words become a value.

Every kind takes text (or a ready :class:`Fact`) and gives a ``Fact``. Words that cannot be
converted are kept as written (``Known.UNREAD``) for the reader to flag; only a list or a mapping
where one value belongs is refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from builder.records import words
from builder.records.facts import Fact, Known, Moment, Quantity
from builder.records.moments import explain_date, read_moment
from builder.records.quantities import (
    is_bare_gauge,
    read_amount,
    read_celsius,
    read_count,
    read_duration,
    read_litres,
    read_millimetres,
    read_minutes,
    read_percent,
    read_strength,
    read_thickness,
)
from builder.records.shapes import SCALAR

_ABSENT = {
    "unknown": Known.UNKNOWN,
    "not known": Known.UNKNOWN,
    "?": Known.UNKNOWN,
    "not measured": Known.NOT_MEASURED,
    "not taken": Known.NOT_MEASURED,
    "~": Known.MISSING,  # YAML's own ways of writing nothing
    "null": Known.MISSING,
}
_LONGEST = 120  # characters; no amount or date is longer, and a search in it stays short
_MISSING: Fact[Any] = Fact()
_BARE_NUMBER = re.compile(r"\s*[0-9]+(?:\.[0-9]+)?\s*")
_RANGE = re.compile(r"\s*[0-9][0-9.]*\s*(?:-|–|to)\s*[0-9]")
_COMMA = re.compile(r"[0-9],[0-9]")


def explain_words(text: str) -> str:
    """Why ``text`` could not be converted, where that can be told from its form; else ""."""
    if _COMMA.search(text):
        return "a comma in a number can be read two ways; write a point"
    if _RANGE.match(text):
        return "a range is not one value; write the likeliest, and the range in the notes"
    return "the number is out of bounds" if _BARE_NUMBER.fullmatch(text) else ""


def explain_unit(text: str) -> str:
    """As :func:`explain_words`, for kinds whose number needs a unit beside it."""
    return "its unit is missing" if _BARE_NUMBER.fullmatch(text) else explain_words(text)


@dataclass(frozen=True)
class Expected:
    """What a kind of fact should look like, for the maker: "a temperature such as 45 or 45 °C".

    ``unit`` is the one the value is kept in, where there is one; ``explain`` says what is wrong
    with words that could not be converted, or "".
    """

    phrase: str
    unit: str = ""
    explain: Callable[[str], str] = explain_words


@dataclass(frozen=True)
class Vocabulary:
    """The trade's words for a field. Others are taken as they are; ``flagged`` ones are pointed
    out with the nearest word."""

    words: tuple[str, ...]
    flagged: bool = False


def read_fact(convert: Callable[[str], Any], longest: int | None = None) -> PlainValidator:
    """A validator that turns text into a fact with ``convert``, which gives None for text it
    cannot convert; text over ``longest`` characters is not tried."""

    def validate(written: Any) -> Fact[Any]:
        if isinstance(written, Fact):
            return written
        if isinstance(written, (list, tuple, dict)):
            raise PydanticCustomError("one_value", "one value belongs here")
        text = "" if written is None else str(written).strip()
        return known(text) if len(text) <= _LONGEST else read(text)

    def read(text: str) -> Fact[Any]:
        absent = _ABSENT.get(text.casefold())
        if not text or absent is Known.MISSING:
            return _MISSING
        if absent:
            return Fact(text, None, absent)
        value = None if longest and len(text) > longest else convert(text)
        return Fact(text, value, Known.UNREAD if value is None else Known.GIVEN)

    known = lru_cache(maxsize=2**12)(read)  # the same words stand in many pieces

    return PlainValidator(validate)


def _measured(convert: Callable[[str], Any]) -> PlainValidator:
    return read_fact(convert, _LONGEST)


def _chosen(vocabulary: tuple[str, ...]) -> PlainValidator:
    return read_fact(words.choose_word(vocabulary))


def _schema(description: str) -> WithJsonSchema:
    absences = 'or "unknown", or "not measured"'
    return WithJsonSchema({**SCALAR, "description": f"{description}, {absences}"})


def _explain_gauge(text: str) -> str:
    if is_bare_gauge(text):
        return "that looks like a gauge without its system, and the systems differ by a fifth"
    return explain_words(text)


_WORDS = _schema("words")
_ONE_DATE = "a date such as 2024-10-01, 2024-10-01T19:30 or 1 Oct 2024"

Words = Annotated[Fact[str], read_fact(str), _WORDS]
Celsius = Annotated[
    Fact[Quantity],
    _measured(read_celsius),
    _schema("a temperature in °C, or with its unit"),
    Expected("a temperature such as 45, 45 °C or 113 °F", "°C"),
]
Percent = Annotated[
    Fact[Quantity],
    _measured(read_percent),
    _schema("a share from 0 to 100 %"),
    Expected("a share from 0 to 100, such as 5 or 5 %", "%"),
]
Millimetres = Annotated[
    Fact[Quantity],
    _measured(read_millimetres),
    _schema("a length in mm, or with its unit"),
    Expected("a length such as 0.9, 0.9 mm, 9 cm or 1/4 in", "mm"),
]
Thickness = Annotated[
    Fact[Quantity],
    _measured(read_thickness),
    _schema("a thickness in mm, or a gauge with its system"),
    Expected("a thickness such as 0.9 mm, or a gauge with its system such as 20 SWG or 20 AWG",
             "mm", _explain_gauge),
]  # fmt: skip
Litres = Annotated[
    Fact[Quantity],
    _measured(read_litres),
    _schema("a volume in litres, or with its unit"),
    Expected("a volume such as 3, 3 l or 500 ml", "litres"),
]
Count = Annotated[
    Fact[Quantity],
    _measured(read_count),
    _schema("a whole number"),
    Expected("a whole number such as 2, or 4 passes"),
]
Minutes = Annotated[
    Fact[Quantity],
    _measured(read_minutes),
    _schema("minutes, or a time with its unit"),
    Expected("minutes such as 20, or 20 min or 2 h", "seconds"),
]
Duration = Annotated[
    Fact[Quantity],
    _measured(read_duration),
    _schema("a time with its unit"),
    Expected(
        "a time with its unit, such as 15 s, 20 min, 2 h, 7 d, or 4 passes", "seconds", explain_unit
    ),
]
Amount = Annotated[
    Fact[Quantity],
    _measured(read_amount),
    _schema("an amount with its unit"),
    Expected("an amount with its unit, such as 200 g, 120 ml, 2½ tsp or 3 : 1 by weight",
             "g or ml", explain_unit),
]  # fmt: skip
Strength = Annotated[
    Fact[Quantity],
    _measured(read_strength),
    _schema("a strength with its unit"),
    Expected("a strength with its unit, such as 5 % or 20 g/l", "% or g/l", explain_unit),
]
When = Annotated[
    Fact[Moment],
    _measured(read_moment),
    _schema("a date, with the time where it matters"),
    Expected(_ONE_DATE, explain=explain_date),
]

Metal = Annotated[Fact[str], _chosen(words.METALS), _WORDS, Vocabulary(words.METALS)]
Method = Annotated[Fact[str], _chosen(words.METHODS), _WORDS, Vocabulary(words.METHODS)]
Form = Annotated[Fact[str], _chosen(words.FORMS), _WORDS, Vocabulary(words.FORMS)]
Temper = Annotated[Fact[str], _chosen(words.TEMPERS), _WORDS, Vocabulary(words.TEMPERS)]
Surface = Annotated[Fact[str], _chosen(words.SURFACES), _WORDS, Vocabulary(words.SURFACES)]
Sheen = Annotated[Fact[str], _chosen(words.SHEENS), _WORDS, Vocabulary(words.SHEENS)]
Cause = Annotated[Fact[str], _chosen(words.CAUSES), _WORDS, Vocabulary(words.CAUSES)]
Seal = Annotated[Fact[str], _chosen(words.SEALANTS), _WORDS, Vocabulary(words.SEALANTS)]
Fault = Annotated[Fact[str], _chosen(words.CONDITIONS), _WORDS, Vocabulary(words.CONDITIONS)]
Extent = Annotated[Fact[str], _chosen(words.EXTENTS), _WORDS, Vocabulary(words.EXTENTS)]
Movement = Annotated[Fact[str], _chosen(words.MOVING), _WORDS, Vocabulary(words.MOVING)]
Side = Annotated[Fact[str], _chosen(words.SIDES), _WORDS, Vocabulary(words.SIDES)]
Outcome = Annotated[Fact[str], _chosen(words.OUTCOMES), _WORDS, Vocabulary(words.OUTCOMES, True)]
Severity = Annotated[
    Fact[str], _chosen(words.SEVERITIES), _WORDS, Vocabulary(words.SEVERITIES, True)
]
Showing = Annotated[Fact[str], _chosen(words.STATES), _WORDS, Vocabulary(words.STATES, True)]
Lighting = Annotated[Fact[str], _chosen(words.LIGHTS), _WORDS, Vocabulary(words.LIGHTS, True)]
