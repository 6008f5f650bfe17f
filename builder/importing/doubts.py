"""A doubt about a table: where, what was found, and what is done or to be done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Doubt:
    """``row`` counts from 1, 0 for the whole column or table; ``column`` is its heading, "" for the
    row. ``left_out``: the row makes no piece. ``conflict``: table and sidecar were both changed."""

    row: int
    column: str
    found: str
    todo: str
    left_out: bool = False
    conflict: bool = False


@dataclass(frozen=True)
class SameDoubt:
    """One doubt that several rows give, in order."""

    rows: tuple[int, ...]
    column: str
    found: str
    todo: str
    left_out: bool

    def say_rows(self) -> str:
        """Rows in a few words: 7, 9, 55–59."""
        runs: list[list[int]] = []
        for row in self.rows:
            if runs and row == runs[-1][-1] + 1:
                runs[-1].append(row)
            else:
                runs.append([row])
        return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)


def gather_doubts(doubts: Iterable[Doubt]) -> tuple[SameDoubt, ...]:
    """Each doubt once with all its rows, in the order of the first; conflicts before all others."""
    same: dict[tuple[str, str, str, bool], list[int]] = {}
    for doubt in sorted(set(doubts), key=lambda doubt: (not doubt.conflict, doubt)):
        key = (doubt.column, doubt.found, doubt.todo, doubt.left_out)
        same.setdefault(key, []).append(doubt.row)
    return tuple(SameDoubt(tuple(rows), *key) for key, rows in same.items())
