"""Labels for numbers that are not given yet: ``SH-031..SH-060``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from builder.errors import PrintError, Problem, Weight
from builder.read.sidecar import is_safe_number
from builder.records.library import Library
from builder.sheets.labels import Label, choose_labels, make_label

_RANGE = re.compile(r"(?P<stem>.*?)(?P<first>[0-9]{1,9})\.\.(?P<again>.*?)(?P<last>[0-9]{1,9})")
MOST_LABELS = 2000


def choose_with_ranges(library: Library, wanted: Sequence[str] = ()) -> tuple[Label, ...]:
    """As :func:`choose_labels`, where ``SH-031..SH-060`` or ``SH-031..060`` names a range of
    numbers whose pieces need not be there yet: those are left room to write on.

    Raises ``PrintError`` likewise, and for a range that is none or too long."""
    known = {}
    for entry in library.entries:  # of several attempts the last
        known[entry.piece.piece.casefold()] = entry.piece
    plain = [one for one in wanted if ".." not in one or one.casefold() in known]
    named = iter(choose_labels(library, plain)) if plain or not wanted else iter(())
    if not wanted:
        return tuple(named)
    chosen: list[Label] = []
    for one in wanted:
        if one in plain:
            chosen.append(next(named))
            continue
        for number in _spread(one):
            piece = known.get(number.casefold())
            chosen.append(make_label(piece) if piece else Label(number))
    if len(chosen) > MOST_LABELS:
        raise PrintError(_say_many(", ".join(wanted), len(chosen)))
    return tuple(chosen)


def _spread(text: str) -> list[str]:
    """The numbers of a range, as wide as its first where that begins with a nought."""
    found = _RANGE.fullmatch(text)
    if found is None or found["again"].casefold() not in ("", found["stem"].casefold()):
        raise PrintError(_say_range(text, "this is no range of numbers"))
    first, last = int(found["first"]), int(found["last"])
    if last < first:
        raise PrintError(_say_range(text, "this range runs backwards"))
    if last - first >= MOST_LABELS:
        raise PrintError(_say_many(text, last - first + 1))
    wide = len(found["first"]) if found["first"].startswith("0") else 0
    numbers = [f"{found['stem']}{number:0{wide}d}" for number in range(first, last + 1)]
    if not all(map(is_safe_number, numbers)):
        raise PrintError(_say_range(text, "no piece can have such a number"))
    return numbers


def _say_range(text: str, found: str) -> Problem:
    return Problem(
        text,
        0,
        found,
        "two numbers that begin alike, the lower one first, of letters A to Z, digits, - _ .",
        "write it as SH-031..SH-060",
        Weight.STOPS,
    )


def _say_many(text: str, count: int) -> Problem:
    return Problem(
        text,
        0,
        f"these are {count} labels",
        f"at most {MOST_LABELS} at a time",
        "print them in several goes",
        Weight.STOPS,
    )
