"""One cell of a table, written so that nothing else can be read into it."""

from __future__ import annotations

import math
import re

Cell = str | int | float | None

#: A spreadsheet takes a cell that begins so for a formula, and would run it; some take the wide
#: signs of East Asian writing for the same.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


def write_cell(cell: Cell) -> str:
    """The cell as text for a CSV file: nothing for None, numbers plainly, text guarded and with one
    kind of line end, since a return alone would end the row."""
    if cell is None:
        return ""
    return guard_formula(plain_lines(cell)) if isinstance(cell, str) else f"{cell}"


def guard_formula(text: str) -> str:
    """``text`` with an apostrophe before it where a spreadsheet would run it as a formula.

    Real numbers, "-3.5", stay as they are. Source: OWASP, CSV Injection.
    """
    if text.startswith(_FORMULA_STARTS) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


def round_to(number: float | None, places: int) -> float | None:
    """Rounded; never "-0.0", which differs from 0.0 in its bytes alone. None for what is no finite
    number: a table has no word for it."""
    if number is None or not math.isfinite(number):
        return None
    return round(number, places) + 0.0


def plain_lines(text: str) -> str:
    """The text with one kind of line end."""
    return text.replace("\r\n", "\n").replace("\r", "\n")
