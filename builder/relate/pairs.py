"""Pairs of strands that differ by one recorded thing, and repeats that differ by none."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, islice, product

from builder.records.photo import Lab
from builder.relate.differences import joint_u
from builder.relate.directions import measure_ways, name_way
from builder.relate.factors import FACTORS, Factors, differing, says_enough, unrecorded
from builder.relate.findings import Pair, Strand
from builder.relate.levels import Part, Signs, level_of, sign_chains
from builder.relate.wording import say_factor

Places = tuple[int, int]
Heaps = dict[str | float | None, Sequence[int]]  # places by sign, None for those that are silent


def find_pairs(
    strands: Sequence[Strand], factors: Sequence[Factors], near: Mapping[Places, str]
) -> tuple[Pair, ...]:
    """Every pair and repeat, by factor and then in the library's order.

    ``factors`` as strands; ``near`` as :func:`find_near` gives it.
    """
    order = {factor: place for place, factor in enumerate((*FACTORS, ""))}
    found = sorted(near.items(), key=lambda item: (order[item[1]], item[0]))
    ways = _measure_fresh([(strands[i], strands[j]) for (i, j), _ in found])
    return tuple(
        _draw_pair(strands[i], strands[j], factor, unrecorded(factors[i], factors[j]), way)
        for ((i, j), factor), way in zip(found, ways, strict=True)
    )


def find_near(factors: Sequence[Factors]) -> dict[Places, str]:
    """Places of two records with at most one recorded difference → that factor, "" for none.

    Records are never all held against all, nor are kinds of records. All are looked up by the signs
    of what they tell, one part after another, and once more for each factor with that one left out;
    what does not tell a part goes with everything there, since it cannot be parted by it. Only
    those that come out together are compared, each two once.
    """
    told = [place for place, record in enumerate(factors) if says_enough(record)]
    signs = sign_chains(factors)
    levels = _sort_parts([signs[place] for place in told])
    found: dict[Places, str] = {}
    for left_out in ("", *dict.fromkeys(factor for factor, _ in levels)):
        kept = [level for level in levels if level[0] != left_out]
        for i, j in _list_together(told, kept, left_out, factors, signs):
            apart = tuple(islice(differing(factors[i], factors[j]), 2))
            if len(apart) < 2:
                found[min(i, j), max(i, j)] = apart[0] if apart else ""
    return found


def _sort_parts(signs: Sequence[Signs]) -> list[Part]:
    """The parts that tell records apart, those that tell most of them apart first."""
    seen: dict[Part, Counter[str | float]] = defaultdict(Counter)
    for record in signs:
        for part, sign in record.items():
            seen[part][sign] += 1

    def together(part: Part) -> int:
        """How many of all two and two the part leaves together; the silent go with everything."""
        silent = len(signs) - seen[part].total()
        return sum(count**2 for count in seen[part].values()) + silent * (2 * len(signs) - silent)

    return sorted(
        (part for part, several in seen.items() if len(several) > 1),
        key=lambda part: (together(part), part),
    )


def _list_together(
    places: Sequence[int],
    levels: Sequence[Part],
    left_out: str,
    factors: Sequence[Factors],
    signs: Sequence[Signs],
) -> Iterator[Places]:
    """Every two places that no level tells apart; where a factor is left out, of those that do
    record it and are told apart by it."""
    if not left_out:
        return iter(_Sieve(levels, signs).sift(places))
    recorded = [place for place in places if left_out in factors[place].given]
    own = {place: dict(level_of(signs[place], left_out)) for place in recorded}
    return (
        (i, j)
        for i, j in _Sieve(levels, signs).sift(recorded)
        if any(own[j].get(part, sign) != sign for part, sign in own[i].items())
    )


#: So few are held against each other sign by sign; laying them out would cost more.
_FEW = 6


class _Sieve:
    """Finds which places no level tells apart, by laying them out level by level."""

    def __init__(self, levels: Sequence[Part], signs: Sequence[Signs]) -> None:
        self._levels, self._signs = levels, signs
        self._found: list[Places] = []

    def sift(self, places: Sequence[int]) -> list[Places]:
        """Every two of ``places``, each two once."""
        self._among(places, 0)
        return self._found

    def _among(self, places: Sequence[int], depth: int) -> None:
        if len(places) <= _FEW or depth == len(self._levels):
            self._keep(combinations(places, 2), depth)
            return
        heaps = self._lay_out(places, depth)
        silent = heaps.pop(None, ())
        self._among(silent, depth + 1)
        for heap in heaps.values():
            self._among(heap, depth + 1)
            self._between(silent, heap, depth + 1)

    def _between(self, ones: Sequence[int], twos: Sequence[int], depth: int) -> None:
        if not ones or not twos:
            return
        if len(ones) * len(twos) <= _FEW or depth == len(self._levels):
            self._keep(product(ones, twos), depth)
            return
        left, right = self._lay_out(ones, depth), self._lay_out(twos, depth)
        silent, mute = left.pop(None, ()), right.pop(None, ())
        self._between(silent, mute, depth + 1)
        for sign, heap in left.items():
            self._between(heap, right.get(sign, ()), depth + 1)
            self._between(heap, mute, depth + 1)
        for heap in right.values():
            self._between(silent, heap, depth + 1)

    def _keep(self, pairs: Iterator[Places], depth: int) -> None:
        """Those of ``pairs`` that no level from ``depth`` on tells apart."""
        rest = self._levels[depth:]
        for pair in pairs:
            one, two = self._signs[pair[0]], self._signs[pair[1]]
            for level in rest:
                sign = one.get(level)
                if sign is not None and two.get(level, sign) != sign:
                    break
            else:
                self._found.append(pair)

    def _lay_out(self, places: Sequence[int], depth: int) -> Heaps:
        level = self._levels[depth]
        heaps: defaultdict[str | float | None, list[int]] = defaultdict(list)
        for place in places:
            heaps[self._signs[place].get(level)].append(place)
        return {**heaps}


Way = tuple[float, ...]


def _measure_fresh(pairs: Sequence[tuple[Strand, Strand]]) -> list[Way | None]:
    """How the fresh looks of each pair differ; None where they cannot be compared."""
    colours = [_fresh_colours(a, b) for a, b in pairs]
    told = [colour for colour in colours if colour is not None]
    if not told:
        return [None] * len(pairs)
    # All in one go: a library has thousands of pairs.
    ways = iter(measure_ways([a for a, _ in told], [b for _, b in told]).tolist())
    return [None if colour is None else tuple(next(ways)) for colour in colours]


def _fresh_colours(a: Strand, b: Strand) -> tuple[Lab, Lab] | None:
    one, two = a.fresh, b.fresh
    if one is None or two is None or one.colour is None or two.colour is None:
        return None
    if one.observation.file.light is not two.observation.file.light:
        return None
    return one.colour, two.colour


def _draw_pair(a: Strand, b: Strand, factor: str, absent: tuple[str, ...], way: Way | None) -> Pair:
    pair = Pair(
        a=a,
        b=b,
        factor=factor,
        value_a=say_factor(a, factor) if factor else "",
        value_b=say_factor(b, factor) if factor else "",
        unrecorded=absent,
        de00_fresh=None,
        u=None,
    )
    colours = _fresh_colours(a, b)
    if way is None or colours is None or a.fresh is None or b.fresh is None:
        return pair
    u = joint_u(a.fresh, b.fresh)
    return replace(pair, de00_fresh=way[0], u=u, direction=name_way(*colours, u, way))
