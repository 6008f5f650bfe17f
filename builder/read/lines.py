"""Which line each place of a sidecar stands on."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping

#: Keys and list places from the top: ``("ingredients", 1, "amount")``.
Location = tuple[str | int, ...]
Lines = Mapping[Location, int]


def find_line(lines: Lines, location: Location) -> int:
    """Line of ``location``, or of the nearest place around it that has one; 0 for none."""
    for end in range(len(location), -1, -1):
        if location[:end] in lines:
            return lines[location[:end]]
    return 0


def drop_items(lines: Lines, places: Iterable[Location]) -> Lines:
    """The lines after list items at ``places`` are taken out: what follows them moves up."""
    gaps: dict[Location, list[int]] = {}
    for place in sorted(set(places), key=str):
        if place and isinstance(place[-1], int):
            gaps.setdefault(place[:-1], []).append(place[-1])
    for taken in gaps.values():
        taken.sort()
    moved: dict[Location, int] = {}
    for location, line in lines.items():
        moved_to: list[str | int] = []
        for depth, step in enumerate(location):
            taken = gaps.get(location[:depth], []) if isinstance(step, int) else []
            if isinstance(step, int):
                before = bisect_left(taken, step)
                if before < len(taken) and taken[before] == step:
                    break
                step -= before
            moved_to.append(step)
        else:
            moved[tuple(moved_to)] = line
    return moved
