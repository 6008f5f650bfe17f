"""Numbers as people write them: 5, 0.9, ½, 2½, 1/2, 2 1/2, about 45."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_ABOUT = re.compile(r"(?:about|approximately|approx\.?|around|roughly|circa|ca\.?\s|c\.|~|≈)\s*")
# Nine digits either side keep every number finite and every sum readable.
_NUMBER = re.compile(
    rf"""
      (?P<sign>[-+−]?)
      (?:
        (?:(?P<whole>[0-9]{{1,4}})\s+)?
        (?P<above>[0-9]{{1,4}})\s?[/⁄]\s?(?P<below>[1-9][0-9]{{0,3}})
      | (?P<before>[0-9]{{1,4}})?\s?(?P<vulgar>[{_VULGAR}])
      | (?P<decimal>[0-9]{{1,9}}(?:\.[0-9]{{1,9}})?|\.[0-9]{{1,9}})
      )
      (?![0-9.,/:{_VULGAR}])
    """,
    re.VERBOSE,
)
_WORDS = {
    word: number
    for number, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"), start=1
    )
}


@dataclass(frozen=True)
class Measure:
    """A number and what stands after it: lower case, single spaces, no full stop at the end.

    ``about`` is true where the words say the number is rough.
    """

    number: float
    rest: str
    about: bool = False


def split_measure(text: str) -> Measure | None:
    """The number at the beginning of ``text`` and the rest, or None where it begins with none."""
    tidy = " ".join(text.casefold().split())
    rough = _ABOUT.match(tidy)
    tidy = tidy[rough.end() :] if rough else tidy
    match = _NUMBER.match(tidy)
    if match is None:
        word, _, rest = tidy.partition(" ")
        if word not in _WORDS:
            return None
        return Measure(float(_WORDS[word]), rest.rstrip("."), bool(rough))
    rest = tidy[match.end() :].strip().rstrip(".").rstrip()
    return Measure(_value(match), rest, bool(rough))


def read_number(text: str) -> float | None:
    """The number ``text`` is, or None where it is anything else."""
    measure = split_measure(text)
    return measure.number if measure and not measure.rest and not measure.about else None


def _value(match: re.Match[str]) -> float:
    if match["above"]:
        size = float(match["whole"] or 0) + float(match["above"]) / float(match["below"])
    elif match["vulgar"]:
        size = float(match["before"] or 0) + unicodedata.numeric(match["vulgar"])
    else:
        size = float(match["decimal"])
    return -size if match["sign"] in {"-", "−"} else size
