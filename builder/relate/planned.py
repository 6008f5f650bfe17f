"""A piece that is not made yet: as a tried one, but for one factor."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from builder.records.facts import Fact
from builder.records.piece import Batch, Piece, Sealant, Spell, Storage
from builder.relate.factors import Factors, list_factors
from builder.relate.findings import Strand
from builder.relate.new_points import Point, say_seconds
from builder.relate.synonyms import BARE
from builder.relate.timeline import exposure_seconds, sealant_of, seconds_of

_A_DAY = 86_400

#: The fields of a sidecar that tell each factor.
FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "metal": ("metal", "alloy"),
        "temper": ("temper",),
        "surface": ("surface",),
        "thickness": ("thickness", "size_mm"),
        "prep": ("prep",),
        "method": ("method",),
        "recipe": ("ingredients",),
        "container": ("container",),
        "position": ("position",),
        "temp": ("temperature_c",),
        "humidity": ("humidity_pct",),
        "time": ("exposure", "cycles"),
        "stop": ("stop",),
        "dry": ("dry",),
        "sealant": ("sealant", "cure"),
        "light": ("storage",),
    }
)


@dataclass(frozen=True)
class Planned:
    """As ``base``, but ``factor`` as in ``donor``, or at a new ``point``, or, where there is
    neither, left bare; ``factor`` is "" for a repeat."""

    base: Strand
    factor: str = ""
    donor: Strand | None = None
    point: Point | None = None


def piece_of(plan: Planned) -> Piece:
    """The piece as it would be noted: of the base all but what is changed, and none of its days."""
    base = plan.base.entry.piece
    seal = _sealant(plan.base)
    own = {"started": Fact(), "finished": Fact(), "batch": Batch(), "zones": ()}
    return base.model_copy(update={**own, "sealant": _undated(seal), **_changed(plan)})


def record_of(plan: Planned, tell: Callable[[Strand], Factors] = list_factors) -> Factors:
    """Its factors, from those that ``tell`` gives of the pieces it is like."""
    given = dict(tell(plan.base).given)
    if plan.point:
        given[plan.factor] = plan.point.parts
    elif plan.donor:
        given[plan.factor] = tell(plan.donor).given[plan.factor]
    elif plan.factor:
        given[plan.factor] = {"kind": BARE}
    return Factors(given)


def wait_of(piece: Piece) -> float:
    """Days from its start until it can be looked at: in the work, drying, curing."""
    seconds = [exposure_seconds(piece), seconds_of(piece.dry.for_), seconds_of(piece.cure.for_)]
    return sum(part for part in seconds if part) / _A_DAY


def _changed(plan: Planned) -> dict[str, Any]:
    base = plan.base.entry.piece
    if plan.point:
        return _at(plan.point, base)
    if plan.factor == "sealant":
        bare = Sealant.model_validate({"kind": BARE})
        seal = _undated(_sealant(plan.donor)) if plan.donor else bare
        cure = plan.donor.entry.piece.cure if plan.donor and seal.kind.value != BARE else Spell()
        return {"sealant": seal, "cure": cure}
    if plan.donor is None:
        return {}
    donor = plan.donor.entry.piece
    if plan.factor == "light":
        return {"storage": _lit(base.storage, donor.storage)}
    if plan.factor == "thickness":
        if donor.thickness.written:
            return {"thickness": donor.thickness, "size_mm": base.size_mm[:2]}
        return {"thickness": Fact(), "size_mm": (*base.size_mm[:2], donor.size_mm[2])}
    taken = {field: getattr(donor, field) for field in FIELDS[plan.factor]}
    if plan.factor == "time" and not donor.exposure.written:
        seconds = exposure_seconds(donor)
        if seconds:
            written = {"piece": donor.piece, "exposure": say_seconds(seconds)}
            taken["exposure"] = Piece.model_validate(written).exposure
    return taken


def _at(point: Point, base: Piece) -> dict[str, Any]:
    told = {point.field: point.written}
    counted = base.exposure.value
    if point.field == "cycles" and counted is not None and counted.unit == "count":
        told["exposure"] = f"{point.written} {base.exposure.written.partition(' ')[2]}"
    read = Piece.model_validate({"piece": base.piece, **told})
    return {field: getattr(read, field) for field in told}


def _sealant(strand: Strand) -> Sealant:
    piece = strand.entry.piece
    zone = next((zone for zone in piece.zones if zone.name == strand.zone), None)
    return sealant_of(piece, zone)


def _undated(sealant: Sealant) -> Sealant:
    return sealant.model_copy(update={"date": Fact()})


def _lit(base: Storage, donor: Storage) -> Storage:
    return base.model_copy(update={"light": donor.light})
