"""What in a recipe must not meet, by the rows of :mod:`builder.records.hazards`.

What is not told counts against a recipe: a peroxide of no strength is not of household strength.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from builder.records.facts import Fact, Quantity
from builder.records.hazards import HAZARDS, HOUSEHOLD, METALS, SUBSTANCES, Hazard, When
from builder.records.piece import Piece
from builder.relate.synonyms import name_plainly

_COLD_UP_TO = 40.0  # °C; common practice, no source
_WET = re.compile(r"\b(?:water|vinegar|solution|ammonia)\b")
_TAME = re.compile(r"\b(?:household|vinegar)\b")
_NOT_TAME = re.compile(r"\b(?:industrial|glacial|concentrated|essence|strong)\b")


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


def find_hazards(mixture: Mixture) -> tuple[Met, ...]:
    """Every row that the mixture meets, in the order of the rows, each once."""
    kinds = {part: classify(part.name) for part in mixture.parts}
    metal = Part(mixture.metal)
    kinds[metal] = kinds.get(metal, frozenset()) | classify(mixture.metal, METALS)
    found = (_meet(hazard, kinds, mixture) for hazard in HAZARDS)
    return tuple(met for met in found if met is not None)


def mixture_of(piece: Piece) -> Mixture:
    """What comes together as a piece is coloured. What was pickled or degreased before, and what
    seals it after, is rinsed off or dry between, and no part of it."""
    temperature = piece.temperature_c.value
    return Mixture(
        tuple(Part(i.name.written, _per_cent(i.strength)) for i in piece.ingredients),
        piece.metal.written,
        piece.temper.written,
        temperature.number if temperature else None,
    )


def classify(name: str, names: Mapping[str, tuple[str, ...]] = SUBSTANCES) -> frozenset[str]:
    """The classes a name belongs to, synonyms and longer names included: "malt vinegar"."""
    left = f" {name_plainly(name)} "
    kinds: set[str] = set()
    for known in sorted(names, key=lambda known: (-len(known), known)):
        if f" {known} " in left:
            kinds.update(names[known])
            left = left.replace(f" {known} ", " | ")
    return frozenset(kinds)


def _meet(hazard: Hazard, kinds: Mapping[Part, frozenset[str]], mixture: Mixture) -> Met | None:
    ones, others = _of(kinds, hazard.ones), _of(kinds, hazard.others)
    for one, other in product(ones, others):
        if _holds(hazard, one, other, kinds, mixture):
            return Met(hazard, one.name, other.name)
    return None


def _of(kinds: Mapping[Part, frozenset[str]], wanted: Iterable[str]) -> list[Part]:
    return [part for part, its in kinds.items() if its.intersection(wanted)]


def _holds(
    hazard: Hazard,
    one: Part,
    other: Part,
    kinds: Mapping[Part, frozenset[str]],
    mixture: Mixture,
) -> bool:
    match hazard.when:
        case When.STRONG:
            mineral = any("mineral acid" in its for its in kinds.values())
            return mineral or not (_is_tame(one, hazard.ones) and _is_tame(other, hazard.others))
        case When.DRY_OR_HOT:
            wet = any(_WET.search(name_plainly(part.name)) for part in kinds)
            cold = mixture.temperature is not None and mixture.temperature <= _COLD_UP_TO
            return not (wet and cold)
        case When.UNANNEALED:
            return name_plainly(mixture.temper) != "annealed"
        case _:
            return True


def _is_tame(part: Part, kinds: Iterable[str]) -> bool:
    """Whether it is of household strength: as told, or else by its name."""
    limit = min((HOUSEHOLD[kind] for kind in kinds if kind in HOUSEHOLD), default=None)
    if limit is None:  # nothing weaker is sold
        return True
    name = name_plainly(part.name)
    if part.strength is None:
        return bool(_TAME.search(name)) and not _NOT_TAME.search(name)
    return part.strength <= limit


def _per_cent(strength: Fact[Quantity]) -> float | None:
    value = strength.value
    if value is None or value.unit not in ("%", "g/l"):
        return None
    return value.number if value.unit == "%" else value.number / 10


def forbidden(piece: Piece) -> Iterator[Met]:
    """What keeps a piece from being proposed as a test."""
    return (met for met in find_hazards(mixture_of(piece)) if met.hazard.forbids)
