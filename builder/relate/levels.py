"""Values of factors by name, so that records can be looked up instead of held against each other.

Words are compared as they stand. Numbers have tolerances, and "the same within a tolerance" does
not carry on from one to the next: 18 is 19.5 and 19.5 is 21, but 18 is not 21. So numbers go by
one of two names, neither of which pretends that it does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence

from builder.relate.factors import Factors, Number

#: One part of a factor, ("recipe", "names").
Part = tuple[str, str]
#: What a record tells of each part, words or the lowest number of a class; untold parts are absent.
Signs = Mapping[Part, str | float]
#: Part and sign of all parts of one factor.
Level = tuple[tuple[str, str | float], ...]


def sign_chains(factors: Sequence[Factors]) -> list[Signs]:
    """Names that two records share wherever a part of them is the same, and now and then where it
    is not: a number has that of the next lower one of the library if it is the same as that one.
    """
    return _sign(factors, lambda number, lowest, last: number.same_as(last))


def sign_classes(factors: Sequence[Factors]) -> list[Signs]:
    """Names that two records share only where a part of them is the same, and now and then not even
    then: classes are laid off from the lowest number up, and each holds what is the same as its
    lowest."""
    return _sign(factors, lambda number, lowest, last: number.same_as(lowest))


def level_of(signs: Signs, factor: str) -> Level:
    """All that is told of one factor, by which two records can be put in one class or two."""
    return tuple(sorted((part, sign) for (of, part), sign in signs.items() if of == factor))


def sort_levels(factor: str, levels: Sequence[Level]) -> list[Level]:
    """In the order they are shown: bare first, then by words, then by size, part by part; what does
    not tell a part comes after what does."""
    kinds: dict[str, bool] = {}  # part → whether it is a number
    for level in levels:
        kinds |= {part: not isinstance(sign, str) for part, sign in level}
    parts = sorted(kinds, key=lambda part: (kinds[part], part))

    def rank(level: Level) -> tuple[object, ...]:
        told = dict(level)
        steps = [(part not in told, told.get(part, 0.0 if kinds[part] else "")) for part in parts]
        return factor == "sealant" and told.get("kind") != "none", *steps

    return sorted(levels, key=rank)


def _sign(
    factors: Sequence[Factors], belongs: Callable[[Number, Number, Number], bool]
) -> list[Signs]:
    names = {
        part: _name_numbers(numbers, belongs) for part, numbers in _list_numbers(factors).items()
    }
    return [
        {
            (factor, part): sign if isinstance(sign, str) else names[factor, part][sign.value]
            for factor, parts in record.given.items()
            for part, sign in parts.items()
        }
        for record in factors
    ]


def _list_numbers(factors: Sequence[Factors]) -> Mapping[Part, dict[float, Number]]:
    found: dict[Part, dict[float, Number]] = defaultdict(dict)
    for record in factors:
        for factor, part, number in _numbers_of(record):
            found[factor, part][number.value] = number
    return found


def _numbers_of(record: Factors) -> Iterator[tuple[str, str, Number]]:
    for factor, parts in record.given.items():
        for part, sign in parts.items():
            if isinstance(sign, Number):
                yield factor, part, sign


def _name_numbers(
    numbers: Mapping[float, Number], belongs: Callable[[Number, Number, Number], bool]
) -> Mapping[float, float]:
    """Each value by the lowest one of those it belongs with."""
    named: dict[float, float] = {}
    lowest = last = None
    for value in sorted(numbers):
        number = numbers[value]
        if lowest is None or last is None or not belongs(number, lowest, last):
            lowest = number
        named[value], last = lowest.value, number
    return named
