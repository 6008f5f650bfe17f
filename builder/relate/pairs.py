"""Pairs of strands that differ by one recorded thing, and repeats that differ by none."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations, islice, product

from builder.records.photo import Lab
from builder.relate.differences import joint_u
from builder.relate.directions import measure_ways, name_way
from builder.relate.factors import FACTORS, Factors, differing, says_enough, unrecorded
from builder.relate.findings import Pair, Strand
from builder.relate.wording import say_factor

Places = tuple[int, int]


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

    Strands are never all held against all: two records with one difference share a bucket, the one
    of everything both record but that factor. Buckets are drawn for each two sets of recorded
    factors, since what one does not tell cannot part it from the other.
    """
    by_mask: dict[frozenset[str], list[int]] = defaultdict(list)
    for place, record in enumerate(factors):
        if says_enough(record):
            by_mask[frozenset(record.given)].append(place)
    found: dict[Places, str] = {}
    masks = sorted(by_mask, key=sorted)
    for one, two in [*combinations(masks, 2), *((mask, mask) for mask in masks)]:
        for i, j in _candidates(by_mask[one], by_mask[two], one & two, factors):
            apart = tuple(islice(differing(factors[i], factors[j]), 2))
            if len(apart) < 2:
                found[min(i, j), max(i, j)] = apart[0] if apart else ""
    return found


#: The part of a factor in words that is there whenever the factor is. Numbers have tolerances and
#: cannot be looked up, so they are compared inside the bucket.
_LEADING = {
    "metal": "name", "temper": "temper", "surface": "surface", "prep": "steps",
    "method": "method", "recipe": "names", "stop": "stop", "sealant": "kind", "light": "light",
}  # fmt: skip


def _candidates(
    ones: Sequence[int], twos: Sequence[int], common: frozenset[str], factors: Sequence[Factors]
) -> Iterator[Places]:
    """Every two places, one of each, whose words agree in all common factors or in all but one;
    each two once."""
    leading = [factor for factor in _LEADING if factor in common]
    for left_out in (None, *leading):
        kept = [factor for factor in leading if factor != left_out]
        buckets = _bucket(ones, kept, left_out, factors)
        others = buckets if ones is twos else _bucket(twos, kept, left_out, factors)
        for key, by_word in buckets.items():
            for (word, places), (other, more) in product(
                by_word.items(), others.get(key, {}).items()
            ):
                if left_out is None and ones is twos:
                    yield from combinations(places, 2)
                elif left_out is None or (word < other if ones is twos else word != other):
                    yield from product(places, more)


def _bucket(
    places: Sequence[int], kept: Sequence[str], left_out: str | None, factors: Sequence[Factors]
) -> Mapping[tuple[str, ...], Mapping[str, list[int]]]:
    """Places by their words for the ``kept`` factors, then by the word for the one left out."""
    buckets: dict[tuple[str, ...], dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for place in places:
        record = factors[place]
        key = tuple(_word(record, factor) for factor in kept)
        buckets[key]["" if left_out is None else _word(record, left_out)].append(place)
    return buckets


def _word(record: Factors, factor: str) -> str:
    return str(record.given[factor][_LEADING[factor]])


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
