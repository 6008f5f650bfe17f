"""How the piece lies in one photograph as against another, from the two in squares."""

from __future__ import annotations

from functools import lru_cache

from pydantic import TypeAdapter

from builder.measure.arrays import Floats
from builder.measure.turning import Way, find_way, read_pattern
from builder.records.photo import Grid
from builder.relate.memory import Memory

_WAY: TypeAdapter[Way | None] = TypeAdapter(Way | None)


def compare_lie(one: Grid, two: Grid, memory: Memory) -> Way | None:
    """How it lies in ``two`` as against ``one``; None where they have too little in common to
    tell. Raises ValueError where the text of a grid is broken or gone."""

    def work() -> Way | None:
        return find_way(*(_pattern(memory.fetch_grid(grid)) for grid in (one, two)))

    return memory.recall(("way", one, two), _WAY, work)


@lru_cache(maxsize=64)  # a photograph is held against several others in turn
def _pattern(grid: Grid) -> Floats:
    pattern = read_pattern(grid)
    pattern.setflags(write=False)
    return pattern
