"""What was done to a strand, as factors that can be held against another's.

Date, batch, form and maker are no factors. What a sidecar does not tell never counts as a
difference; it is listed as not recorded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.records.facts import Fact, Known, Quantity
from builder.records.piece import Piece, PrepStep, Zone
from builder.records.plain_names import name_plainly
from builder.records.settings import Tolerances
from builder.relate.findings import Strand
from builder.relate.synonyms import BARE, name_sealant, name_substance
from builder.relate.timeline import exposure_seconds, sealant_of

_AS_THEY_ARE = Tolerances()
#: Stands where others tell a number in words ("overnight"), so that the two differ.
_IN_NUMBERS = ""

#: Every factor, in the order it is told, with the words its absence is told by.
FACTORS: Mapping[str, str] = {
    "metal": "metal",
    "temper": "temper",
    "surface": "surface",
    "thickness": "thickness",
    "prep": "preparation",
    "method": "method",
    "recipe": "recipe",
    "container": "container",
    "position": "position",
    "temp": "temperature",
    "humidity": "humidity",
    "time": "time",
    "stop": "how it was stopped",
    "dry": "drying",
    "sealant": "sealant",
    "light": "light where it is kept",
}


@dataclass(frozen=True)
class Number:
    """A number that equals another within ``within``, absolute, or a part of the greater one."""

    value: float
    within: float
    relative: bool = False

    def same_as(self, other: Number) -> bool:
        scale = max(abs(self.value), abs(other.value)) if self.relative else 1.0
        # A hair more than the tolerance, so that 18 and 20 °C are within 2.
        return abs(self.value - other.value) <= self.within * scale * (1 + 1e-9)


#: A factor has parts ("recipe" has names, amounts, strengths) and differs where one of them does.
Parts = Mapping[str, str | Number]


@dataclass(frozen=True)
class Factors:
    """``given``: the parts told of each factor, in the order of :data:`FACTORS`; a factor that is
    not told is absent."""

    given: Mapping[str, Parts]


def list_factors(strand: Strand, within: Tolerances = _AS_THEY_ARE) -> Factors:
    """The canonical factors of a strand; ``within``: which numbers are the same."""
    piece = strand.entry.piece
    zone = next((z for z in piece.zones if z.name == strand.zone), None)
    found = {factor: dict(parts) for factor, parts in _read_all(piece, zone, within)}
    return Factors({factor: found[factor] for factor in FACTORS if found.get(factor)})


def differing(a: Factors, b: Factors) -> Iterator[str]:
    """The factors recorded on both and not the same, in order."""
    for factor, parts in a.given.items():
        others = b.given.get(factor)
        if others is not None and differ(parts, others):
            yield factor


def unrecorded(a: Factors, b: Factors) -> tuple[str, ...]:
    """What is not recorded on one of the two or on both, in words."""
    absent = [words for f, words in FACTORS.items() if f not in a.given or f not in b.given]
    return (*absent, *_unrecorded_amounts(a, b))


def says_enough(factors: Factors) -> bool:
    """Whether a record tells enough to be held against another: what metal, what method, and one
    of recipe, temperature and time. One that tells less is the same as everything."""
    given = factors.given
    return (
        "metal" in given
        and "method" in given
        and any(factor in given for factor in ("recipe", "temp", "time"))
    )


def differ(a: Parts, b: Parts) -> bool:
    """Whether a part that both tell is not the same."""
    for part, one in a.items():
        two = b.get(part)
        if two is None or one == two:
            continue
        if not (isinstance(one, Number) and isinstance(two, Number) and one.same_as(two)):
            return True
    return False


def _unrecorded_amounts(a: Factors, b: Factors) -> tuple[str, ...]:
    """Amounts or strengths told on one side only. No ingredient is named: it may be private."""
    one, two = a.given.get("recipe", {}), b.given.get("recipe", {})
    if not one or not two or one["names"] != two["names"]:
        return ()
    return ("some amounts or strengths",) if one.keys() != two.keys() else ()


def _read_all(
    piece: Piece, zone: Zone | None, within: Tolerances
) -> Iterator[tuple[str, dict[str, str | Number]]]:
    amounts = within.amount_pct / 100
    if piece.metal.given:
        yield "metal", _words(name=piece.metal, alloy=piece.alloy)
    yield "temper", _words(temper=piece.temper)
    yield "surface", _words(surface=piece.surface)
    yield "thickness", _number("thickness", _thickness(piece), within.thickness_mm)
    yield "prep", _read_prep(piece.prep, within)
    yield "method", _words(method=piece.method)
    yield "recipe", _read_recipe(piece, amounts)
    yield (
        "container",
        {
            **_words(kind=piece.container.kind, lid=piece.container.lid),
            **_number("litres", piece.container.litres, amounts, relative=True),
        },
    )
    yield (
        "position",
        {
            **_words(face=piece.position.face, touching=piece.position.touching),
            **_number("above", piece.position.above_mm, amounts, relative=True),
        },
    )
    yield "temp", _number("temp", piece.temperature_c, within.temperature_c)
    yield "humidity", _number("humidity", piece.humidity_pct, within.humidity_pct)
    yield "time", _read_time(piece, within.time_pct / 100)
    yield "stop", _words(stop=piece.stop)
    yield (
        "dry",
        {
            **_words(how=piece.dry.how),
            **_number("for", piece.dry.for_, within.time_pct / 100, relative=True),
        },
    )
    yield "sealant", _read_sealant(piece, zone)
    yield "light", _words(light=piece.storage.light)


def _words(**facts: Fact[str]) -> dict[str, str | Number]:
    return {
        part: name_plainly(fact.value or fact.written) for part, fact in facts.items() if fact.given
    }


def _number(
    part: str, fact: Fact[Quantity], within: float, relative: bool = False
) -> dict[str, str | Number]:
    value = fact.value
    if value is None:
        return _unread(part, fact)
    # The unit belongs to the part: grams are never held against millilitres.
    return {part: _IN_NUMBERS, f"{part} {value.unit}": Number(value.number, within, relative)}


def _unread(part: str, fact: Fact[Quantity]) -> dict[str, str | Number]:
    """What is told in words no number could be made of: the same as the same words alone."""
    return {part: name_plainly(fact.written)} if fact.known is Known.UNREAD else {}


def _thickness(piece: Piece) -> Fact[Quantity]:
    if piece.thickness.written or len(piece.size_mm) < 3:
        return piece.thickness
    return piece.size_mm[2]


def _read_prep(steps: tuple[PrepStep, ...], within: Tolerances) -> dict[str, str | Number]:
    amounts, times = within.amount_pct / 100, within.time_pct / 100
    parts: dict[str, str | Number] = {}
    if steps:
        parts["steps"] = "; ".join(_name_step(step) for step in steps)
    for place, step in enumerate(steps):
        parts |= _number(f"{place} strength", step.strength, amounts, relative=True)
        parts |= _number(f"{place} minutes", step.minutes, times, relative=True)
        parts |= _number(f"{place} temp", step.temperature_c, within.temperature_c)
    return parts


def _name_step(step: PrepStep) -> str:
    told = [
        name_plainly(step.step.written),
        name_substance(step.with_.written),
        name_plainly(step.grit.written),
        name_plainly(step.result.written),
    ]
    return " ".join(word for word in told if word)


def _read_recipe(piece: Piece, within: float) -> dict[str, str | Number]:
    if not piece.ingredients:
        # "ingredients: none" is a recipe; saying nothing of them is not.
        return {"names": "none"} if "ingredients" in piece.model_fields_set else {}
    parts: dict[str, str | Number] = {}
    names = []
    for ingredient in piece.ingredients:
        if not ingredient.name.given:
            continue
        name = name_substance(ingredient.name.written)
        names.append(name)
        strength = ingredient.strength
        parts |= _number(f"{name} strength", strength, within, relative=True)
        # A bath made up to so much a litre is the same bath in a larger tub.
        if strength.value is None or strength.value.unit != "g/l":
            parts |= _number(f"{name} amount", ingredient.amount, within, relative=True)
    return {"names": ", ".join(sorted(names)), **parts} if names else {}


def _read_time(piece: Piece, within: float) -> dict[str, str | Number]:
    parts = {**_unread("exposure", piece.exposure), **_unread("count", piece.cycles)}
    seconds = exposure_seconds(piece)
    exposure, cycles = piece.exposure.value, piece.cycles.value
    if seconds is not None or exposure is not None:
        parts["exposure"] = _IN_NUMBERS
    if seconds is not None:
        parts["seconds"] = Number(seconds, within, relative=True)
    # "4 passes" of exposure and four cycles are one and the same.
    counted = exposure if exposure is not None and exposure.unit == "count" else cycles
    if counted is not None:
        parts |= {"count": _IN_NUMBERS, "cycles": Number(counted.number, 0.0)}
    return parts


def _read_sealant(piece: Piece, zone: Zone | None) -> dict[str, str | Number]:
    sealant = sealant_of(piece, zone)
    if not sealant.kind.given:
        return {}
    kind = name_sealant(sealant.kind.value or sealant.kind.written)
    if kind == BARE:
        return {"kind": kind}
    parts: dict[str, str | Number] = {"kind": kind, **_number("coats", sealant.coats, 0.0)}
    how = sorted(name_plainly(word.written) for word in sealant.how if word.given)
    return {**parts, "how": ", ".join(how)} if how else parts
