"""Squares of two factors that want one corner: a × c, a × d and b × d are tried, b × c is not.

Rows are never held against all others: rows that are the same but for one factor or two share a
bucket, and within a bucket a square is a path of three tried cells.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from builder.relate.tried_levels import ORDER, UNTOLD, Row


@dataclass(frozen=True)
class Corners:
    """A square by its tried rows. ``beside`` has the wanted row's own level of the factor at place
    ``one``, ``below`` that of the factor at place ``two``, ``across`` neither."""

    one: int
    two: int
    beside: Row
    across: Row
    below: Row


class Lines:
    """The tried rows by what they have in common but for one factor."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.rows = tuple(dict.fromkeys(rows))
        self._tried = frozenset(self.rows)
        self._lines: list[dict[Row, list[Row]]] = []
        for place in range(len(ORDER)):
            line: dict[Row, list[Row]] = defaultdict(list)
            for row in self.rows:
                if row[place] != UNTOLD:
                    line[wipe(row, place)].append(row)
            self._lines.append(line)

    def __contains__(self, row: Row) -> bool:
        return row in self._tried

    def along(self, row: Row, place: int) -> Sequence[Row]:
        """The tried rows that are as ``row`` but for the factor at ``place``, itself included."""
        return self._lines[place].get(wipe(row, place), ())

    def every(self, place: int) -> Iterator[Sequence[Row]]:
        """Every line of one factor."""
        yield from self._lines[place].values()

    def count_squares(self) -> Mapping[Row, int]:
        """Untried rows that complete a square, with how many."""
        found: Counter[Row] = Counter()
        company = [
            {row for rows in line.values() if len(rows) > 1 for row in rows} for line in self._lines
        ]
        vary = [place for place, rows in enumerate(company) if rows]
        for one, two in combinations(vary, 2):
            for bucket in self._buckets(one, two, company[one] | company[two]):
                if len(bucket) > 2:
                    found.update(_count_within(bucket, one, two))
        return found

    def list_squares(self, row: Row) -> Iterator[Corners]:
        """The squares that ``row`` completes, by factor and then in the order of the rows."""
        told = [place for place, level in enumerate(row) if level != UNTOLD]
        for one, two in combinations(told, 2):
            for beside in self.along(row, two):
                for below in self.along(row, one):
                    across = put(beside, one, below[one])
                    if row not in (beside, below) and across in self:
                        yield Corners(one, two, beside, across, below)

    def _buckets(self, one: int, two: int, rows: Iterable[Row]) -> Iterator[Sequence[Row]]:
        buckets: dict[Row, list[Row]] = defaultdict(list)
        for row in rows:
            if row[one] != UNTOLD and row[two] != UNTOLD:
                buckets[wipe(wipe(row, one), two)].append(row)
        yield from buckets.values()


def wipe(row: Row, place: int) -> Row:
    """The row without a level at ``place``."""
    return put(row, place, UNTOLD)


def put(row: Row, place: int, level: int) -> Row:
    """The row with another level at ``place``."""
    return (*row[:place], level, *row[place + 1 :])


def _count_within(bucket: Sequence[Row], one: int, two: int) -> Mapping[Row, int]:
    """Untried cells of a bucket's table, with the paths of three tried cells to each: the entries
    of T·Tᵀ·T, where T is 1 for a tried cell and 0 for an untried one."""
    across = sorted({row[one] for row in bucket})
    down = sorted({row[two] for row in bucket})
    if len(across) * len(down) == len(bucket):
        return {}
    at_one = {level: at for at, level in enumerate(across)}
    at_two = {level: at for at, level in enumerate(down)}
    table = np.zeros((len(across), len(down)))
    for row in bucket:
        table[at_one[row[one]], at_two[row[two]]] = 1
    paths = np.where(table == 0, table @ table.T @ table, 0)
    return {
        put(put(bucket[0], one, across[i]), two, down[j]): int(paths[i, j])
        for i, j in np.argwhere(paths > 0).tolist()
    }
