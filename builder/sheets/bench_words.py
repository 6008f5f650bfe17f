"""What stands on a bench card, in words: one piece's recipe, for what is at hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from builder.reckon.costs import cost_plate
from builder.reckon.gauges import say_thicknesses
from builder.reckon.mixtures import Line, reckon_mixture, reckon_whole
from builder.reckon.ranges import join_assumed, say_number
from builder.reckon.scaling import Bench, Share, scale_mixture
from builder.records.audiences import ALIASES, PUBLIC
from builder.records.facts import Fact, Known
from builder.records.piece import Entry, Piece, PrepStep, Sealant
from builder.records.settings import Price
from builder.relate.blanks import say_sides
from builder.relate.cautions import FIRST

_FIGURES = 3


class Absence(StrEnum):
    """Why there is no value: three different things, each with its own words."""

    NONE = ""
    MISSING = "not recorded"
    UNKNOWN = "unknown"
    NOT_MEASURED = "not measured"


_ABSENCE = {
    Known.MISSING: Absence.MISSING,
    Known.UNKNOWN: Absence.UNKNOWN,
    Known.NOT_MEASURED: Absence.NOT_MEASURED,
}


@dataclass(frozen=True)
class Told:
    """A value under its label; ``absence`` where there is none; ``strong``: in bold letters."""

    label: str
    words: str
    absence: Absence = Absence.NONE
    strong: bool = False


@dataclass(frozen=True)
class Weighed:
    """One thing of the mixture: ``amount`` in large letters, ``name`` with its strength, and in
    small ones ``asides``."""

    amount: str
    name: str
    asides: tuple[str, ...] = ()
    absence: Absence = Absence.NONE


@dataclass(frozen=True)
class BenchCard:
    """``mixture`` None where the record does not speak of one; ``how``: how amounts were scaled;
    ``figures``: what the whole comes to; ``rests``: what the figures rest on."""

    piece: str
    blank: tuple[Told, ...]
    cautions: tuple[str, ...]
    prep: tuple[str, ...]
    prep_absence: Absence
    mixture: tuple[Weighed, ...] | None
    how: tuple[str, ...]
    colour: tuple[Told, ...]
    after: tuple[Told, ...]
    figures: tuple[Line, ...] = ()
    rests: tuple[str, ...] = ()
    shared: str = ""


def write_card(
    entry: Entry,
    bench: Bench,
    cautions: Sequence[str] = (),
    prices: Sequence[Price] = (),
) -> BenchCard:
    """The card of one attempt. ``cautions``: sentences to be said besides :data:`FIRST`;
    ``prices``: for what a plate costs, none for not saying it."""
    piece = entry.piece
    scaled = scale_mixture(piece, bench)
    worth = reckon_mixture(scaled.piece)
    spoken = bool(piece.ingredients) or "ingredients" in piece.model_fields_set
    weighed = tuple(
        _weigh(share, one.words) for share, one in zip(scaled.shares, worth, strict=True)
    )
    figures = (*_compare(piece, scaled.piece), *_tell_cost(scaled.piece, prices))
    return BenchCard(
        piece.piece,
        tuple(_tell_blank(piece, bench)),
        (*cautions, FIRST),
        tuple(_say_prep(step) for step in piece.prep),
        Absence.NONE if piece.prep else Absence.MISSING,
        weighed if spoken else None,
        (*scaled.how, *(f"no {name} is in this recipe" for name in scaled.left)),
        tuple(_tell_colour(piece, bench)),
        tuple(_tell_after(piece)),
        figures,
        join_assumed(*(one.assumed for one in worth), *(line.assumed for line in figures)),
        _say_shared(entry),
    )


def _tell(label: str, fact: Fact[Any], unit: str = "") -> Told:
    absence = _ABSENCE.get(fact.known, Absence.NONE)
    if absence:
        return Told(label, "", absence)
    bare = fact.written.strip().replace(".", "", 1).isdigit()
    read = fact.value is not None and bare and unit
    return Told(label, f"{fact.written.strip()} {unit}" if read else fact.written.strip())


def _weigh(share: Share, worth: tuple[str, ...]) -> Weighed:
    strength = f", {share.strength}" if share.strength else ""
    asides = (
        *((share.was,) if share.was else ()),
        *worth,
        *share.notes,
        *(("as written",) if share.known is Known.UNREAD and not share.notes else ()),
    )
    absence = _ABSENCE.get(share.known, Absence.NONE)
    return Weighed(share.amount, f"{share.name}{strength}", asides, absence)


def _tell_blank(piece: Piece, bench: Bench) -> Iterator[Told]:
    yield replace(_join("metal", piece.metal, piece.alloy), strong=True)
    yield _tell("temper", piece.temper)
    yield from _tell_size(piece, bench)
    yield _tell("surface", piece.surface)


def _tell_size(piece: Piece, bench: Bench) -> Iterator[Told]:
    """Width, height and thickness in one, so far as they are told."""
    sides = [side.written for side in piece.size_mm[:2] if side.given]
    if bench.plate:
        sides = [f"{side:g}" for side in bench.plate]
    thick = piece.size_mm[2] if len(piece.size_mm) > 2 else piece.thickness
    if len(sides) < 2:
        absent = next((side for side in piece.size_mm[:2] if not side.given), Fact())
        yield _tell("plate", absent)
        yield _tell("thickness", thick, "mm")
    elif thick.value is not None and thick.written.replace(".", "", 1).isdigit():
        yield Told("plate", say_sides([*sides, thick.written]))
    else:
        yield Told("plate", say_sides(sides))
        gauge, told = say_thicknesses(thick), _tell("thickness", thick, "mm")
        yield replace(told, words=f"{told.words}: {gauge}") if gauge else told


def _tell_colour(piece: Piece, bench: Bench) -> Iterator[Told]:
    yield replace(_tell("method", piece.method), strong=True)
    yield replace(_tell("for", piece.exposure), strong=True)
    yield _tell("temperature", piece.temperature_c, "°C")
    yield _tell("humidity", piece.humidity_pct, "%")
    yield _tell("passes", piece.cycles)
    box, place = piece.container, piece.position
    litres = Told("volume", f"{bench.tub:g} l") if bench.tub else _tell("volume", box.litres, "l")
    kept = [_tell("in", box.kind), litres, _tell("lid", box.lid)]
    yield Told("in", said) if (said := _list_told(kept)) else kept[0]
    if litres.absence and not kept[0].absence:
        yield litres
    above = _tell("height above", place.above_mm, "mm")
    raised = replace(above, words=f"{above.words} above" if above.words else "")
    face = _tell("lies", place.face)
    up = replace(face, words=f"face {face.words}" if face.words in ("up", "down") else face.words)
    lies = [up, raised, _tell("touching", place.touching)]
    yield Told("lies", said) if (said := _list_told(lies)) else lies[0]


def _list_told(told: Sequence[Told]) -> str:
    """Those that have words; of a lid that is none, that there is none."""
    return ", ".join(
        f"no {one.label}" if one.words == "none" else one.words for one in told if one.words
    )


def _tell_after(piece: Piece) -> Iterator[Told]:
    yield _tell("stop", piece.stop)
    yield _join("dry", piece.dry.how, piece.dry.for_)
    if piece.zones:
        for zone in piece.zones:
            yield _tell_seal(f"seal, {zone.name}", zone.sealant)
    else:
        yield _tell_seal("seal", piece.sealant)
    if any(fact.known is not Known.MISSING for fact in (piece.cure.how, piece.cure.for_)):
        yield _join("cure", piece.cure.how, piece.cure.for_)


def _tell_seal(label: str, sealant: Sealant) -> Told:
    told = _tell(label, sealant.kind)
    if told.absence or told.words == "none":
        return told if told.absence else Told(label, "none: leave it bare")
    coats = sealant.coats.written
    more = [f"{coats} coats" if coats not in ("", "1") else "1 coat" if coats else ""]
    more += [word.written for word in sealant.how]
    buffed = sealant.buffed_after_min
    more += [f"buff after {buffed.written} min"] if buffed.given else []
    return Told(label, ", ".join([told.words, *filter(None, more)]))


def _join(label: str, *facts: Fact[Any]) -> Told:
    """Several facts under one label; where none is given, why the first is not."""
    told = [_tell(label, fact) for fact in facts]
    words = ", ".join(one.words for one in told if one.words)
    return Told(label, words) if words else told[0]


def _say_prep(step: PrepStep) -> str:
    parts = [step.step.words()]
    if step.with_.known is not Known.MISSING:
        parts[0] += f" with {step.with_.words()}"
    for before, fact, unit in (
        ("", step.strength, ""),
        ("grit ", step.grit, ""),
        ("", step.temperature_c, "°C"),
        ("", step.minutes, "min"),
        ("result: ", step.result, ""),
        ("", step.notes, ""),
    ):
        if fact.known is not Known.MISSING:
            told = _tell("", fact, unit)
            parts.append(f"{before}{told.words or told.absence}")
    said = ", ".join(parts)
    return said[:1].upper() + said[1:]


def _tell_cost(piece: Piece, prices: Sequence[Price]) -> Iterator[Line]:
    cost = cost_plate(piece, prices) if prices else None
    if cost is not None:
        low, high = (say_number(end, _FIGURES) for end in (cost.total.low, cost.total.high))
        without = f"no price for {', '.join(cost.unpriced)}" if cost.unpriced else ""
        yield Line("cost of a plate", low if low == high else f"{low} to {high}", (without,))


def _compare(was: Piece, now: Piece) -> Iterator[Line]:
    """What the whole comes to, and what it came to where that was another figure."""
    before = {line.label: line.words for line in reckon_whole(was)}
    for line in reckon_whole(now):
        old = before.get(line.label, line.words)
        yield line if old == line.words else replace(line, words=f"{line.words} (was {old})")


def _say_shared(entry: Entry) -> str:
    """For whom the recipe is, where its maker has said so."""
    named = entry.piece.share.get("recipe", ())
    if not named or PUBLIC in {ALIASES.get(name, name) for name in named}:
        return ""
    if named == ("private",):
        return "The maker keeps this recipe private. It goes no further."
    return f"The maker shares this recipe with: {', '.join(named)}. It goes no further."
