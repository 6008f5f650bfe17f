"""How the reader's problems are worded."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from typing import Any

_LONGEST = 60  # characters of a stranger's words that a message shows


def quote(text: str) -> str:
    """A maker's words in quotation marks, on one line, shortened; signs that do not print are
    shown as their codes, so that a message is what it looks like."""
    shown = show_name(" ".join(text[: 4 * _LONGEST].split()))
    return f"“{shown if len(shown) <= _LONGEST else shown[: _LONGEST - 1] + '…'}”"


def show_name(name: str) -> str:
    """A file's name with signs that do not print shown as their codes."""
    return "".join(sign if _prints(sign) else _code(sign) for sign in name)


def describe_value(value: Any) -> str:
    """What a value is, in words: its text in quotation marks, "a list", "a mapping"."""
    if isinstance(value, dict):
        return "a mapping" if value else "an empty mapping"
    if isinstance(value, (list, tuple)):
        return "a list" if value else "an empty list"
    return quote(str(value)) if str(value) else "empty"


def find_nearest(word: str, known: Iterable[str], least: float = 0.6) -> str:
    """The known word most like ``word``, or "" where none is near: ``least`` of the signs of both
    (0 to 1) have to be the same, in their order. One that is the same but for capitals, leading
    zeros and what stands between letters and figures goes before all others."""
    known = sorted(known)
    plain = fold_number(word[:_LONGEST])
    same = next((other for other in known if fold_number(other) == plain), "") if plain else ""
    if same:
        return same
    folded = {candidate.casefold(): candidate for candidate in known}
    near = difflib.get_close_matches(word.casefold()[:200], folded, n=1, cutoff=least)
    return folded[near[0]] if near else ""


def fold_number(number: str) -> str:
    """A number as it is the same in other spellings: “kw1”, “KW 1” and “KW-01” are one."""
    plain = re.sub(r"[\s_]+", "-", number.strip().casefold())
    plain = re.sub(r"(?<=[^\W\d_])-+(?=[0-9])", "", plain)
    return re.sub(r"(?<![0-9.])0+(?=[0-9])", "", plain)


def suggest(word: str, known: Iterable[str], otherwise: str) -> str:
    """“did you mean …?” for the nearest known word, or ``otherwise``."""
    near = find_nearest(word, known)
    return f"did you mean {quote(near)}?" if near else otherwise


def name_place(location: Iterable[str | int]) -> str:
    """A place in a sidecar in words: ``("ingredients", 1, "amount")`` is "amount of ingredients,
    item 2"."""
    steps: list[str] = []
    for step in location:
        if isinstance(step, int) and steps:
            steps[-1] += f", item {step + 1}"
        else:
            steps.append(str(step))
    return " of ".join(reversed(steps))


def _prints(sign: str) -> bool:
    return sign == " " or unicodedata.category(sign)[0] not in "CZ"


def _code(sign: str) -> str:
    return f"\\x{ord(sign):02x}" if ord(sign) < 256 else f"\\u{ord(sign):04x}"
