"""Numbers written with a decimal comma, and those with commas between their thousands."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum

_COMMA = re.compile(r"[0-9],[0-9]")
#: A comma that can only be a decimal one, and one that can only part thousands.
_SURE_COMMA = re.compile(r"(?<![0-9,.])(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,}))(?![0-9,.])")
_SURE_POINT = re.compile(
    r"(?<![0-9,.])(?:[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:,[0-9]{3}){2,}"
    r"|[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,})|0\.[0-9]+)(?![0-9,.])"
)
_NUMBER = re.compile(r"(?<![0-9,.])[0-9][0-9.,]*[0-9](?![0-9])")
_THOUSANDS_BY_POINT = re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})+(?:,[0-9]+)?")
_THOUSANDS_BY_COMMA = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?")


class Decimals(StrEnum):
    """The sign before a number's decimals."""

    COMMA = "comma"
    POINT = "point"


def find_decimals(texts: Iterable[str]) -> Decimals | None:
    """The sign that stands before decimals in a table; None where none or both do."""
    commas = points = False
    for text in texts:
        commas = commas or bool(_SURE_COMMA.search(text))
        points = points or bool(_SURE_POINT.search(text))
    if commas == points:
        return None
    return Decimals.COMMA if commas else Decimals.POINT


def read_decimals(text: str, decimals: Decimals | None) -> str | None:
    """The text with its numbers as 1234.5; None where a comma in it could be either."""
    if not _COMMA.search(text):
        return text
    unclear = False

    def put(match: re.Match[str]) -> str:
        nonlocal unclear
        number = match[0]
        if "," not in number:
            return number
        if _SURE_POINT.fullmatch(number):
            return number.replace(",", "")
        if _SURE_COMMA.fullmatch(number) or (
            "." in number and _THOUSANDS_BY_POINT.fullmatch(number)
        ):
            return number.replace(".", "").replace(",", ".")
        if decimals is Decimals.COMMA and number.count(",") == 1:
            return number.replace(",", ".")
        if decimals is Decimals.POINT and _THOUSANDS_BY_COMMA.fullmatch(number):
            return number.replace(",", "")
        unclear = True
        return number

    read = _NUMBER.sub(put, text)
    return None if unclear else read
