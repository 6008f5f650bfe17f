"""What a row would say in a sidecar, checked as one is, with the doubts in the table's places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from builder.errors import Problem
from builder.importing.doubts import Doubt
from builder.read.leaves import NAMED, Leaves, Path, make_tree
from builder.read.lines import Location
from builder.read.vetting import vet_tree


def vet_leaves(row: int, leaves: Leaves, columns: Mapping[Path, str]) -> tuple[Doubt, ...]:
    """A doubt for every value that the sidecar's reader would point out, with the heading it came
    from."""
    tree = make_tree(leaves)
    places = list(_place(leaves))
    lines: dict[Location, int] = {}
    for number, (location, _) in enumerate(places, start=1):
        lines[location] = number
        lines.setdefault(location[:1], number)
    vetted = vet_tree(tree, {**lines, (): 0}, "")
    return tuple(
        Doubt(row, columns.get(places[p.line - 1][1], "") if p.line else "", p.found, _todo(p))
        for p in vetted.problems
    )


def _place(leaves: Leaves) -> Iterator[tuple[Location, Path]]:
    """Each leaf's place in the tree."""
    names: list[str] = []
    for path in leaves:
        if path[0] == NAMED and len(path) > 2:
            if path[1] not in names:
                names.append(path[1])
            yield (NAMED, names.index(path[1]), path[2]), path
        else:
            yield path, path


def _todo(problem: Problem) -> str:
    choices = problem.expected.removeprefix("expected one of: ")
    if choices != problem.expected:
        guess = "" if problem.remedy.startswith("choose") else f"{problem.remedy} Or "
        return f"{guess}choose one of: {choices}"
    return problem.remedy.replace(
        "put it right, or leave it: it is shown", "nothing, or mend it; shown"
    )
