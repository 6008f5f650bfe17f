"""A doubt about a table: where, what was found, and what is done or to be done."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Doubt:
    """``row`` counts from 1, 0 for the whole column or table; ``column`` is its heading, "" for the
    row. ``left_out``: the row makes no piece."""

    row: int
    column: str
    found: str
    todo: str
    left_out: bool = False
