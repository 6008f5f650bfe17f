"""The limits in the air that go with what a piece's record says was used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from builder.records.hazards import Status
from builder.records.limits import GIVEN_OFF, IN_THE_AIR, LIMITS, Kind, Limit
from builder.records.piece import Entry
from builder.relate.things import Place, Thing, list_things

#: Those a maker goes by, in this order; what takes fire is told in the table alone.
_TOLD = (Kind.SHIFT, Kind.SHORT, Kind.CEILING, Kind.PEAK, Kind.DANGER)


@dataclass(frozen=True)
class InTheAir:
    """What ``name``, as written, puts into the air, and the limits of that; ``field`` of the
    sidecar tells of it."""

    name: str
    substance: str
    limits: tuple[Limit, ...]
    field: str


def limits_of(entry: Entry, withheld: frozenset[str] = frozenset()) -> tuple[InTheAir, ...]:
    """The limits beside each thing used, each substance once; superseded ones are left out. Where
    the ingredients are ``withheld``, none."""
    if "ingredients" in withheld:
        return ()
    used = [
        thing
        for thing in list_things(entry.piece)
        if thing.place in (Place.MIXTURE, Place.PREPARATION, Place.STOP)
        and thing.field not in withheld
    ]
    found: dict[str, InTheAir] = {}
    for name, substance, field in (*_over_each(used), *_given_off(used)):
        found.setdefault(substance, InTheAir(name, substance, list_limits(substance), field))
    return tuple(found.values())


def list_limits(substance: str) -> tuple[Limit, ...]:
    """The figures that stand for a substance, those to work by first. One from memory, whose paper
    nobody saw, is no figure to work by: it stands in the table alone."""
    own = [limit for limit in LIMITS if limit.substance == substance]
    standing = [limit for limit in own if _stands(limit)]
    return tuple(sorted(standing, key=lambda limit: _TOLD.index(limit.kind)))


def _stands(limit: Limit) -> bool:
    return not limit.superseded and limit.status is not Status.MEMORY and limit.kind in _TOLD


def say_limit(limit: Limit) -> str:
    """One figure in words: "25 ppm on average over a shift of up to 10 h (NIOSH, 1994)"."""
    if limit.kind is Kind.EXPLOSIVE:
        return f"{limit.kind} {limit.value:g} {limit.unit}"
    source = [limit.authority, limit.year or "year not told"]
    if limit.status is not Status.SEEN:
        source.append(str(limit.status))
    if limit.value is None:
        return f"{limit.said} ({', '.join(source)})"
    unit = limit.unit.replace("m3", "m³")
    figure = f"{limit.value:g} {unit}"
    if limit.mg_per_m3 is not None and limit.unit == "ppm":
        figure += f" or {limit.mg_per_m3:g} mg/m³"
    return f"{figure} {f'{limit.kind} {limit.averaging}'.strip()} ({', '.join(source)})"


def _over_each(used: Sequence[Thing]) -> Iterator[tuple[str, str, str]]:
    for thing in used:
        for kind in sorted(thing.kinds):
            for substance in IN_THE_AIR.get(kind, ()):
                yield thing.part.name, substance, thing.field


def _given_off(used: Sequence[Thing]) -> Iterator[tuple[str, str, str]]:
    for (first, second), substance in GIVEN_OFF.items():
        for one, other in product(used, used):
            if one.pot == other.pot and first in one.kinds and second in other.kinds:
                yield f"{one.part.name} with {other.part.name}", substance, one.field
