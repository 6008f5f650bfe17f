"""What in a recipe must not meet, by the rows of :mod:`builder.records.hazards`.

What is not told counts against a recipe: a peroxide of no strength is not of household strength.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache
from itertools import product

from builder.records.facts import Fact, Quantity
from builder.records.hazards import HAZARDS, HOUSEHOLD, Hazard, When
from builder.records.piece import Ingredient, Piece
from builder.records.plain_names import name_plainly
from builder.relate.substances import (
    classify,
    classify_metal,
    spot,
    strength_beside,
    strength_in,
)

_COLD_UP_TO = 40.0  # °C; common practice, no source
_WET = re.compile(r"\b(?:water|vinegar|solution|ammonia)\b")
_TAME = re.compile(r"\b(?:household|vinegar)\b")
_NOT_TAME = re.compile(r"\b(?:industrial|glacial|concentrated|essence|strong|fuming|0?\.?880)\b")
_ANNEALED = re.compile(r"(?<!not )(?<!never )\bannealed\b")


@dataclass(frozen=True)
class Part:
    """One thing of a mixture: its name as written, and its strength, %, where that is told."""

    name: str
    strength: float | None = None


@dataclass(frozen=True)
class Mixture:
    """What comes together, and how: ``metal`` and ``temper`` of the piece, "" where not told;
    ``temperature`` of the work, °C."""

    parts: tuple[Part, ...]
    metal: str = ""
    temper: str = ""
    temperature: float | None = None


@dataclass(frozen=True)
class Met:
    """A row that a mixture meets, and the two things that do, as written."""

    hazard: Hazard
    one: str
    other: str


class Holds(Enum):
    """Whether what a row asks for beyond its two things is there."""

    YES = "yes"
    UNTOLD = "a strength is not told"
    NO = "no"


def find_hazards(mixture: Mixture) -> tuple[Met, ...]:
    """Every row that the mixture meets, in the order of the rows, each once."""
    kinds = {part: classify(part.name) for part in mixture.parts}
    metal = Part(mixture.metal)
    kinds[metal] = kinds.get(metal, frozenset()) | classify_metal(mixture.metal)
    found = (_meet(hazard, kinds, mixture) for hazard in HAZARDS)
    return tuple(met for met in found if met is not None)


def mixture_of(piece: Piece) -> Mixture:
    """What comes together as a piece is coloured. What was pickled or degreased before, and what
    seals it after, is rinsed off or dry between, and no part of it."""
    temperature = piece.temperature_c.value
    return Mixture(
        parts_of(piece),
        metal_of(piece),
        piece.temper.written,
        temperature.number if temperature else None,
    )


def parts_of(piece: Piece) -> tuple[Part, ...]:
    """The ingredients, and behind them what the words beside their names tell of: a cell
    "vinegar 5% 1:1 peroxide 3%" is vinegar by name, and peroxide in its amount."""
    own = tuple(part_of(item.name, item.strength) for item in piece.ingredients)
    kinds = {classify(part.name) for part in own}
    beside = (
        part
        for item in piece.ingredients
        for part in _list_beside(item)
        if not any(classify(part.name) <= its for its in kinds)
    )
    return tuple(dict.fromkeys((*own, *beside)))


def part_of(name: Fact[str], strength: Fact[Quantity]) -> Part:
    """A thing as its maker told it; a strength may stand in its name."""
    told = _per_cent(strength)
    return Part(name.written, strength_in(name.written) if told is None else told)


def metal_of(piece: Piece) -> str:
    """The metal in words, with its alloy: what is plated or silver-bearing may stand there."""
    return " ".join(fact.written for fact in (piece.metal, piece.alloy) if fact.given)


def forbidden(piece: Piece) -> Iterator[Met]:
    """What keeps a piece from being proposed as a test."""
    return (met for met in find_hazards(mixture_of(piece)) if met.hazard.forbids)


def judge(hazard: Hazard, one: Part, other: Part, mixture: Mixture) -> Holds:
    """Whether ``hazard`` holds of two parts of its classes that meet in ``mixture``."""
    match hazard.when:
        case When.STRONG:
            if any("mineral acid" in classify(part.name) for part in mixture.parts):
                return Holds.YES
            tame = (is_tame(one, hazard.ones), is_tame(other, hazard.others))
            if False in tame:
                return Holds.YES
            return Holds.UNTOLD if None in tame else Holds.NO
        case When.STRONG_OR_HOT:
            if mixture.temperature is not None and mixture.temperature > _COLD_UP_TO:
                return Holds.YES
            return judge(replace(hazard, when=When.STRONG), one, other, mixture)
        case When.DRY_OR_HOT:
            wet = any(_WET.search(name_plainly(part.name)) for part in mixture.parts)
            cold = mixture.temperature is not None and mixture.temperature <= _COLD_UP_TO
            return Holds.NO if wet and cold else Holds.YES
        case When.UNANNEALED:
            annealed = _ANNEALED.search(name_plainly(mixture.temper))
            return Holds.NO if annealed else Holds.YES
        case _:
            return Holds.YES


def _list_beside(item: Ingredient) -> Iterator[Part]:
    for fact in (item.amount, item.strength, item.as_written, item.brand_note):
        for named in {named.words: named for named in spot(fact.written)}.values():
            if fact is item.brand_note and named.kinds == {"organic"}:
                continue  # a paper bag is what it came in
            yield Part(named.words, strength_beside(named.words, fact.written))


def _meet(hazard: Hazard, kinds: Mapping[Part, frozenset[str]], mixture: Mixture) -> Met | None:
    ones, others = _of(kinds, hazard.ones), _of(kinds, hazard.others)
    for one, other in product(ones, others):
        if judge(hazard, one, other, mixture) is not Holds.NO:
            return Met(hazard, one.name, other.name)
    return None


def _of(kinds: Mapping[Part, frozenset[str]], wanted: tuple[str, ...]) -> list[Part]:
    """The first of each strength: all the others are judged as it is."""
    found: dict[bool | None, Part] = {}
    for part, its in kinds.items():
        if its.intersection(wanted):
            found.setdefault(is_tame(part, wanted), part)
    return list(found.values())


@lru_cache(maxsize=10_000)  # asked of the same few over and over
def is_tame(part: Part, kinds: tuple[str, ...]) -> bool | None:
    """Whether it is of household strength: as told, or else by its name; None where neither
    tells."""
    limit = min((HOUSEHOLD[kind] for kind in kinds if kind in HOUSEHOLD), default=None)
    if limit is None:  # nothing weaker is sold
        return True
    name = name_plainly(part.name)
    if part.strength is not None:
        return part.strength <= limit
    if _NOT_TAME.search(name):
        return False
    return True if _TAME.search(name) else None


def _per_cent(strength: Fact[Quantity]) -> float | None:
    value = strength.value
    if value is None or value.unit not in ("%", "g/l"):
        return None
    return value.number if value.unit == "%" else value.number / 10
