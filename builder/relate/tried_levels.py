"""Each record as a row of small numbers, one a factor, so that records can be looked up.

A factor's values are numbered, those that are the same by :mod:`builder.relate.factors` alike.
What a record does not tell is taken to be as in the others of its kind, where those all agree; the
sealant never is: a piece of which none is recorded is not therefore bare.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.relate.factors import FACTORS, Factors, Number, Parts, differ

#: The factors in the order of a row.
ORDER = tuple(FACTORS)
PLACE = {factor: place for place, factor in enumerate(ORDER)}
UNTOLD = -1

#: One record: a level of each factor, ``UNTOLD`` where that is not known.
Row = tuple[int, ...]

#: What records of one kind have in common, the narrowest kind first.
_KINDS = (("metal", "method", "recipe"), ("method", "recipe"), ("method",))
_NEVER_FILLED = frozenset({"metal", "method", "recipe", "sealant"})


@dataclass(frozen=True)
class Levels:
    """``rows`` as the records; ``parts`` of each level, by factor and then by level."""

    rows: tuple[Row, ...]
    parts: dict[str, list[Parts]]

    def number(self, factor: str, parts: Parts) -> int:
        """The level that these parts are the same as; a new one where there is none."""
        known = self.parts[factor]
        found = next((level for level, one in enumerate(known) if not differ(one, parts)), None)
        if found is None:
            known.append(parts)
            return len(known) - 1
        return found


def draw_levels(records: Sequence[Factors]) -> Levels:
    """The rows of these records, in their order."""
    rows = [[UNTOLD] * len(ORDER) for _ in records]
    parts: dict[str, list[Parts]] = {}
    for place, factor in enumerate(ORDER):
        told = [record.given.get(factor) for record in records]
        level_of, parts[factor] = _number(one for one in told if one is not None)
        for row, one in zip(rows, told, strict=True):
            if one is not None:
                row[place] = level_of[_key(one)]
    _fill(rows)
    return Levels(tuple(map(tuple, rows)), parts)


def _number(told: Iterable[Parts]) -> tuple[dict[frozenset[object], int], list[Parts]]:
    """Levels of these parts, by their key, and the parts each level began with. Those that tell
    most come first, numbers from below: one within the tolerance of the level before joins it."""
    unique = {_key(parts): parts for parts in told}
    level_of: dict[frozenset[object], int] = {}
    levels: list[Parts] = []
    by_words: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for key, parts in sorted(unique.items(), key=lambda item: _order(item[1])):
        # The words of a level that tells more may be more than these; then all are tried.
        near = by_words[_words(parts)]
        fits = next((n for n in reversed(near) if not differ(levels[n], parts)), None)
        if fits is None and not near:
            fits = next((n for n, known in enumerate(levels) if not differ(known, parts)), None)
        if fits is None:
            fits = len(levels)
            levels.append(parts)
        if fits not in near[-1:]:
            near.append(fits)
        level_of[key] = fits
    return level_of, levels


def _key(parts: Parts) -> frozenset[object]:
    return frozenset(parts.items())


def _words(parts: Parts) -> tuple[str, ...]:
    return tuple(f"{name}={part}" for name, part in sorted(parts.items()) if isinstance(part, str))


def _order(parts: Parts) -> tuple[int, tuple[str, ...], tuple[str, ...], tuple[float, ...]]:
    numbers = sorted((name, n.value) for name, n in parts.items() if isinstance(n, Number))
    return (
        -len(parts),
        _words(parts),
        tuple(name for name, _ in numbers),
        tuple(value for _, value in numbers),
    )


def _fill(rows: list[list[int]]) -> None:
    """Put the one level that records of a kind tell in the place of what some of them do not."""
    for kind in _KINDS:
        places = [PLACE[factor] for factor in kind]
        of_kind: dict[tuple[int, ...], list[list[int]]] = defaultdict(list)
        for row in rows:
            if all(row[place] != UNTOLD for place in places):
                of_kind[tuple(row[place] for place in places)].append(row)
        for alike in of_kind.values():
            for place, factor in enumerate(ORDER):
                told = {row[place] for row in alike} - {UNTOLD}
                if factor not in _NEVER_FILLED and len(told) == 1:
                    for row in alike:
                        row[place] = next(iter(told))
