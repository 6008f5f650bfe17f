"""Series: strands equal in every recorded factor but one, in the order of that one's value.

"Equal" is that of pairs, and does not carry on from one strand to the next: 18 °C is 19.5 and 19.5
is 21 within a tolerance of 2, but 18 is not 21; and a strand that does not tell its humidity is
equal to one in a dry room and to one in a damp one. Three things keep this honest:

- In a series each strand is equal to *every* other but for the one factor, not just to a neighbour.
- Each strand is in one series of a factor at most. Those that tell most are placed first, and the
  rest with the first they are equal to throughout; so one that is silent may stand in either of two
  series it would fit, and the series says what is not recorded.
- Values of the factor are classes laid off for the whole library from the lowest number up (see
  :mod:`builder.relate.levels`). Two numbers of neighbouring classes may lie within a tolerance; a
  series is only drawn where at least two of its strands really differ.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from builder.relate.factors import FACTORS, Factors
from builder.relate.findings import Look, Series, Strand, Value
from builder.relate.levels import Level, level_of, sign_classes, sort_levels
from builder.relate.strands import name_strand
from builder.relate.wording import say_absence, say_factor

Places = tuple[int, int]
NAMED_AT_MOST = 3  # strands; of more their number is told


@dataclass(frozen=True)
class Row:
    """One series by places: each level of ``factor`` with the places that have it, in order."""

    factor: str
    levels: tuple[tuple[Level, tuple[int, ...]], ...]

    @property
    def places(self) -> tuple[int, ...]:
        return tuple(place for _, places in self.levels for place in places)


def find_rows(factors: Sequence[Factors], near: Mapping[Places, str]) -> list[Row]:
    """Every series, by factor and then by its first place; ``near`` as ``find_near`` gives it."""
    signs = sign_classes(factors)
    by_factor: dict[str, list[Places]] = defaultdict(list)
    for pair, factor in near.items():
        by_factor[factor].append(pair)
    rows: list[Row] = []
    for factor in FACTORS:
        differing = by_factor.get(factor, [])
        if not differing:
            continue
        reached = {place for pair in differing for place in pair}
        alike = [pair for pair in by_factor.get("", []) if not reached.isdisjoint(pair)]
        alike = [(i, j) for i, j in alike if _tell(factors, factor, i, j)]
        found = []
        for group in group_alike([*differing, *alike], factors):
            levels: dict[Level, list[int]] = defaultdict(list)
            for place in group:
                levels[level_of(signs[place], factor)].append(place)
            if len(levels) > 1 and _differ(levels.values(), near, factor):
                ordered = sort_levels(factor, list(levels))
                found.append(Row(factor, tuple((level, tuple(levels[level])) for level in ordered)))
        rows.extend(sorted(found, key=lambda row: min(row.places)))
    return rows


def group_alike(pairs: Iterable[Places], factors: Sequence[Factors]) -> list[list[int]]:
    """Groups in which every two are among ``pairs``, each place in one group, sorted; groups of one
    are left out. Those that record most are placed first, each with the first group it fits."""
    neighbours: dict[int, set[int]] = defaultdict(set)
    for i, j in pairs:
        neighbours[i].add(j)
        neighbours[j].add(i)
    groups: list[list[int]] = []
    group_of: dict[int, int] = {}
    for place in sorted(neighbours, key=lambda place: (-len(factors[place].given), place)):
        known = Counter(group_of[other] for other in neighbours[place] if other in group_of)
        fit = [group for group, count in known.items() if count == len(groups[group])]
        if fit:
            group = min(fit)
            groups[group].append(place)
        else:
            group = len(groups)
            groups.append([place])
        group_of[place] = group
    return [sorted(group) for group in groups if len(group) > 1]


def find_look(strand: Strand, factor: str) -> Look | None:
    """The look by which strands of a series are held against each other: the fresh one, and the
    first after the cure where it is the sealant that differs, since nobody can see it before."""
    return strand.baseline if factor == "sealant" else strand.fresh


def draw_series(
    rows: Sequence[Row], strands: Sequence[Strand], factors: Sequence[Factors]
) -> tuple[Series, ...]:
    """The rows as findings, in the maker's own words."""
    return tuple(
        Series(
            row.factor,
            tuple(
                Value(
                    say_factor(strands[places[0]], row.factor),
                    tuple(strands[place] for place in places),
                )
                for _, places in row.levels
            ),
            say_unrecorded(sorted(row.places), strands, factors),
        )
        for row in rows
    )


def say_unrecorded(
    places: Sequence[int], strands: Sequence[Strand], factors: Sequence[Factors]
) -> tuple[str, ...]:
    """What some or all of these do not tell: "humidity not recorded on either", "temper unknown on
    SH-003". Not recorded, unknown and not measured are told apart."""
    said = []
    for factor, words in FACTORS.items():
        silent: dict[str, list[int]] = defaultdict(list)
        for place in places:
            if factor not in factors[place].given:
                silent[say_absence(strands[place], factor)].append(place)
        for absence, on in silent.items():
            named = _say_which(on, places, strands)
            said.append(f"{words} {absence} on {named}")
    recipes = [factors[place].given.get("recipe", {}).keys() for place in places]
    told = [parts for parts in recipes if parts]
    if any(parts != told[0] for parts in told) and _one_recipe(places, factors):
        said.append("some amounts or strengths not recorded on some")
    return tuple(said)


def _say_which(on: Sequence[int], places: Sequence[int], strands: Sequence[Strand]) -> str:
    if len(on) == len(places):
        return "either" if len(places) == 2 else "any"
    if len(on) <= NAMED_AT_MOST:
        return ", ".join(name_strand(strands[place]) for place in on)
    return f"{len(on)} of {len(places)}"


def _one_recipe(places: Sequence[int], factors: Sequence[Factors]) -> bool:
    recipes = [factors[place].given.get("recipe") for place in places]
    names = {recipe["names"] for recipe in recipes if recipe}
    return len(names) == 1


def _tell(factors: Sequence[Factors], factor: str, i: int, j: int) -> bool:
    return factor in factors[i].given and factor in factors[j].given


def _differ(levels: Iterable[Sequence[int]], near: Mapping[Places, str], factor: str) -> bool:
    return any(
        near[min(i, j), max(i, j)] == factor
        for ones, twos in combinations(levels, 2)
        for i, j in product(ones, twos)
    )
