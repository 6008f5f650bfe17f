"""What a picture's file name says: ``SH-012_2025-01-14_recheck_front_xpol.jpg``."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from builder.read.wording import fold_number
from builder.records.photo import Light, State
from builder.records.words import SIDES

T = TypeVar("T")

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ENDING = re.compile(r"\.[A-Za-z0-9]{1,5}$")
_NUMBERED = re.compile(r"(?P<stem>.*[A-Za-z][._-]?)[0-9]+")
_LONGEST = 100  # signs of a name in which a number is looked for
_STATES = {state.value: state for state in State}
_LIGHTS = {
    "xpol": Light.CROSS_POLARISED,
    "x pol": Light.CROSS_POLARISED,
    "crosspol": Light.CROSS_POLARISED,
    "cross polarised": Light.CROSS_POLARISED,
    "cross polarized": Light.CROSS_POLARISED,
    "raking": Light.RAKING,
    "rake": Light.RAKING,
    "plain": Light.PLAIN,
}


@dataclass(frozen=True)
class PhotoName:
    """``number`` is the piece's, "" where the name carries none. ``not_a_day`` holds a date that
    the calendar does not have. What the name does not say is None."""

    number: str = ""
    day: dt.date | None = None
    state: State | None = None
    side: str | None = None
    light: Light | None = None
    not_a_day: str = ""


@dataclass(frozen=True)
class Numbering:
    """How a library numbers its pieces: numbers by their small letters, and what stands before
    the figures at their ends (``sh-``); ``alike`` are numbers by what is the same in every
    spelling, where that is one piece's alone."""

    numbers: Mapping[str, str]
    stems: frozenset[str]
    alike: Mapping[str, str] = field(default_factory=dict)

    def spell(self, number: str) -> str:
        """A number as the library writes it, “KW-01” for “kw1”; "" where it is none of its own."""
        plain = number.strip()
        return self.numbers.get(plain.casefold()) or self.alike.get(fold_number(plain), "")

    def begin(self, text: str) -> str:
        """The number that ``text`` is or begins with, as “KW-05” of “KW 05 dip”, or "". One
        without figures is a word like any other, and has to be the whole."""
        ends = [match.start() for match in re.finditer(r"[\s_,;(]|$", text[:_LONGEST])]
        whole = self.spell(text)
        begun = (self.spell(text[:end]) for end in reversed(ends))
        return whole or next((own for own in begun if re.search(r"[0-9]", own)), "")


def learn_numbering(numbers: Iterable[str]) -> Numbering:
    """The numbering of a library with these numbers."""
    known = sorted(set(numbers))
    stems = (match["stem"] for match in map(_NUMBERED.fullmatch, known) if match)
    alike: dict[str, list[str]] = {}
    for number in known:
        alike.setdefault(fold_number(number), []).append(number)
    return Numbering(
        {number.casefold(): number for number in known},
        frozenset(stem.casefold() for stem in stems),
        {plain: same[0] for plain, same in alike.items() if len(same) == 1},
    )


def read_photo_name(name: str, numbering: Numbering) -> PhotoName:
    """Read a file's name.

    A first part is a number where it is one of the library's, or written like one of them
    (``SH-099`` beside ``SH-012``); so ``IMG_1234.HEIC`` carries nothing. Parts are set apart by
    ``_`` or a space, in any order after the number; ``before-seal`` and ``before_seal`` are the
    same. Parts that say nothing known are passed over.
    """
    stem = unicodedata.normalize("NFC", _ENDING.sub("", name))
    number, rest = _split_number(stem, numbering)
    words = [part for part in re.split(r"[_\s]+", rest) if part]
    dates = [word for word in words if _DATE.fullmatch(word)]
    days = [day for day in map(_read_day, dates) if day]
    plain = " ".join(word.casefold().replace("-", " ") for word in words if word not in dates)
    return PhotoName(
        number=number,
        day=days[0] if days else None,
        state=_find(plain, _STATES),
        side=_find(plain, {side: side for side in SIDES}),
        light=_find(plain, _LIGHTS),
        not_a_day="" if days or not dates else dates[0],
    )


def _split_number(stem: str, numbering: Numbering) -> tuple[str, str]:
    """The number at the beginning of ``stem`` as the library writes it, and the rest."""
    ends = [match.start() for match in re.finditer(r"[_ ]|$", stem)]
    for end in reversed(ends):  # the longest first: a number may have _ in it
        number = numbering.numbers.get(stem[:end].casefold())
        if number:
            return number, stem[end:]
    first = re.split(r"[_\s]", stem, maxsplit=1)[0]
    like = _NUMBERED.fullmatch(first)
    if like and like["stem"].casefold() in numbering.stems:
        return first, stem[len(first) :]
    return "", stem


def _find(plain: str, known: dict[str, T]) -> T | None:
    """The value whose words stand in ``plain``; the longest words first."""
    for words in sorted(known, key=len, reverse=True):
        if re.search(rf"(?:^| ){re.escape(words)}(?: |$)", plain):
            return known[words]
    return None


def _read_day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None
