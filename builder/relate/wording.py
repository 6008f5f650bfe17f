"""The factors of a piece in the maker's own words."""

from __future__ import annotations

from typing import Any

from builder.records.facts import Fact, Known
from builder.records.piece import Ingredient, Piece, PrepStep, Zone
from builder.relate.findings import Strand
from builder.relate.synonyms import BARE, name_sealant
from builder.relate.timeline import sealant_of

NOT_RECORDED = "not recorded"


def say_factor(strand: Strand, factor: str) -> str:
    """The value of one of :data:`builder.relate.factors.FACTORS`, in words."""
    piece = strand.entry.piece
    zone = next((z for z in piece.zones if z.name == strand.zone), None)
    match factor:
        case "metal":
            words = _join(piece.metal, piece.alloy)
        case "thickness":
            sized = piece.size_mm[2:3]
            words = _join(piece.thickness) or " ".join(
                _with_unit(s, "mm") for s in sized if s.given
            )
        case "prep":
            words = "; ".join(_say_step(step) for step in piece.prep)
        case "recipe":
            words = ", ".join(_say_ingredient(i) for i in piece.ingredients)
            if not words and "ingredients" in piece.model_fields_set:
                words = "none"
        case "container":
            box = piece.container
            words = _list(_say(box.kind), _with_unit(box.litres, "l"), _say(box.lid))
        case "position":
            words = _list(
                _say(piece.position.face),
                _with_unit(piece.position.above_mm, "mm"),
                _say(piece.position.touching),
            )
        case "temp":
            words = _with_unit(piece.temperature_c, "°C")
        case "humidity":
            words = _with_unit(piece.humidity_pct, "%")
        case "time":
            words = _say_time(piece)
        case "dry":
            words = _join(piece.dry.for_, piece.dry.how)
        case "sealant":
            words = say_sealant(piece, zone)
        case "light":
            words = _join(piece.storage.light)
        case _:
            fact = getattr(piece, factor)
            words = _join(fact)
    return words or NOT_RECORDED


def say_absence(strand: Strand, factor: str) -> str:
    """Which kind of absence it is where a factor tells nothing that can be compared: "not
    recorded", "unknown", "not measured" or "written, but not read"."""
    piece = strand.entry.piece
    zone = next((z for z in piece.zones if z.name == strand.zone), None)
    fact: Fact[Any]
    match factor:
        case "prep" | "recipe":
            return NOT_RECORDED
        case "container":
            fact = piece.container.kind
        case "position":
            fact = piece.position.face
        case "temp":
            fact = piece.temperature_c
        case "humidity":
            fact = piece.humidity_pct
        case "time":
            fact = piece.exposure
        case "dry":
            fact = piece.dry.for_
        case "sealant":
            fact = sealant_of(piece, zone).kind
        case "light":
            fact = piece.storage.light
        case _:
            fact = getattr(piece, factor)
    return _ABSENCES.get(fact.known, NOT_RECORDED)


_ABSENCES = {
    Known.UNKNOWN: "unknown",
    Known.NOT_MEASURED: "not measured",
    Known.UNREAD: "written, but not read",
    Known.WITHHELD: "kept private",
}


def say_sealant(piece: Piece, zone: Zone | None) -> str:
    """Kind, coats and how: "microcrystalline wax, 2 coats, cold"."""
    sealant = sealant_of(piece, zone)
    if not sealant.kind.written:
        return ""
    if name_sealant(sealant.kind.written) == BARE:
        return BARE
    return ", ".join([sealant.kind.words(), *_say_coats(sealant.coats), *map(_say, sealant.how)])


def _say_coats(coats: Fact[Any]) -> list[str]:
    words = _say(coats)
    if not words.isdigit():
        return [words] if words else []
    return [f"{words} coat" if words == "1" else f"{words} coats"]


def _say_time(piece: Piece) -> str:
    words, cycles = _say(piece.exposure), _say(piece.cycles)
    if not words and piece.finished.written:
        words = f"until {piece.finished.written}"
    if not cycles or cycles == "1" or words.split()[:1] == [cycles]:
        return words or cycles
    return f"{words}, {cycles} times" if words else f"{cycles} times"


def _say_step(step: PrepStep) -> str:
    grit = f"{_say(step.grit)} grit" if _say(step.grit).isdigit() else _say(step.grit)
    with_ = f"with {_say(step.with_)}" if step.with_.written else ""
    return " ".join(w for w in (_say(step.step), grit, with_, _say(step.result)) if w)


def _say_ingredient(ingredient: Ingredient) -> str:
    amount = _say(ingredient.amount) or _say(ingredient.as_written)
    strength = _with_unit(ingredient.strength, "%")
    told = (_say(ingredient.name), amount, f"({strength})" if amount and strength else strength)
    return " ".join(word for word in told if word)


def _with_unit(fact: Fact[Any], unit: str) -> str:
    words = _say(fact)
    bare_number = words.replace(".", "", 1).lstrip("-").isdigit()
    return f"{words} {unit}" if bare_number else words


def _join(*facts: Fact[Any]) -> str:
    return _list(*map(_say, facts))


def _list(*words: str) -> str:
    return ", ".join(word for word in words if word)


def _say(fact: Fact[Any]) -> str:
    return fact.written if fact.known in (Known.GIVEN, Known.UNREAD) else ""
