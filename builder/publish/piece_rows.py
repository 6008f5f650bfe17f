"""One row of the table of pieces: what was done to one zone of one attempt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from builder.publish.cells import Cell, plain_lines, round_to
from builder.records.facts import Fact, Known
from builder.records.piece import Zone
from builder.relate.findings import Strand
from builder.relate.timeline import Timeline, draw_timeline, sealant_of
from builder.relate.wording import NOT_RECORDED, say_factor

WITHHELD = "withheld"

PIECE_COLUMNS: Mapping[str, str] = {
    "piece": "number of the piece",
    "zone": "part of the piece, empty for the whole",
    "attempt": "which attempt on this blank",
    "same_as": "the piece this one repeats",
    "why": "what the test is for",
    "form": "what it is",
    "metal": "the metal",
    "alloy": "the alloy",
    "temper": "how hard it was",
    "surface": "surface finish",
    "thickness_mm": "thickness, mm",
    "prep": "steps of preparing, in order",
    "method": "how the colour was put on",
    "recipe": "ingredients, with amount and strength as written",
    "container": "what it was done in",
    "temperature_c": "temperature of the work, °C",
    "humidity_pct": "relative humidity of the room, %",
    "started": "when colouring began",
    "coloured_on": "day it was lifted out",
    "exposure": "how long it was in, as written",
    "cycles": "passes, sprays or rounds",
    "stop": "how it was stopped and rinsed",
    "dry": "how long and how it dried",
    "sealant": "canonical name of what lies over the colour, none for bare",
    "coats": "number of coats",
    "sealed_on": "day of the first coat",
    "cured_on": "first day after the cure",
    "storage": "how it is kept",
    "coverage_pct": "share covered by the colour, by the maker's eye, %",
    "colour_words": "the maker's words for the look",
    "sheen": "sheen, by eye",
    "outcome": "how it came out",
    "cause": "why it failed",
    "notes": "the maker's notes",
    "photos": "number of photographs",
}

#: Columns that tell of a field of another name, for what the maker withholds.
_FIELD_OF = {
    "recipe": "ingredients",
    "thickness_mm": "thickness",
    "coloured_on": "exposure",
    "coats": "sealant",
    "sealed_on": "sealant",
    "cured_on": "cure",
}


def list_piece_row(strand: Strand) -> dict[str, Cell]:
    """The row of one strand."""
    piece = strand.entry.piece
    zone = next((z for z in piece.zones if z.name == strand.zone), None)
    row = _words(strand, zone) | _figures(strand, zone) | _days(draw_timeline(piece, zone))
    return {
        name: WITHHELD if _FIELD_OF.get(name, name) in strand.entry.withheld else row[name]
        for name in PIECE_COLUMNS
    }


def _words(strand: Strand, zone: Zone | None) -> dict[str, Cell]:
    piece = strand.entry.piece
    facts: dict[str, Fact[Any]] = {
        name: getattr(piece, name)
        for name in (
            "why", "form", "metal", "alloy", "temper", "surface", "method", "started", "exposure",
            "cycles", "stop", "sheen", "outcome", "cause", "notes",
        )
    }  # fmt: skip
    storage = piece.storage
    return {
        "piece": piece.piece,
        "zone": strand.zone,
        "attempt": piece.attempt,
        "same_as": piece.same_as or None,
        **{name: _say(fact) for name, fact in facts.items()},
        **{name: _factor(strand, name) for name in ("prep", "recipe", "container", "dry")},
        "sealant": strand.sealant or _say(sealant_of(piece, zone).kind),
        "storage": _join([storage.place, storage.light, storage.handled]),
        "colour_words": _join(piece.colour_words),
    }


def _figures(strand: Strand, zone: Zone | None) -> dict[str, Cell]:
    piece = strand.entry.piece
    thickness = piece.thickness if piece.thickness.written else Fact()
    if not thickness.written and len(piece.size_mm) > 2:
        thickness = piece.size_mm[2]
    return {
        "thickness_mm": _figure(thickness, "mm"),
        "temperature_c": _figure(piece.temperature_c, "°C"),
        "humidity_pct": _figure(piece.humidity_pct, "%"),
        "coverage_pct": _figure(piece.coverage_pct, "%"),
        "coats": _figure(sealant_of(piece, zone).coats, "count"),
        "photos": len(strand.looks),
    }


def _days(timeline: Timeline) -> dict[str, Cell]:
    return {
        name: None if day is None else f"{day}"
        for name, day in (
            ("coloured_on", timeline.coloured_on),
            ("sealed_on", timeline.sealed_on),
            ("cured_on", timeline.cured_on),
        )
    }


def _figure(fact: Fact[Any], unit: str) -> Cell:
    """The number where it is in the column's unit, else the maker's own words."""
    if fact.value is not None and fact.value.unit == unit:
        figure = round_to(fact.value.number, 3)
        return int(figure) if figure is not None and figure.is_integer() else figure
    return _say(fact)


def _say(fact: Fact[Any]) -> str | None:
    if fact.known is Known.WITHHELD:
        return WITHHELD
    return None if fact.known is Known.MISSING else plain_lines(fact.words())


def _factor(strand: Strand, name: str) -> str | None:
    words = say_factor(strand, name)
    return None if words == NOT_RECORDED else plain_lines(words)


def _join(facts: Iterable[Fact[Any]]) -> str | None:
    told = (fact for fact in facts if fact.known is not Known.WITHHELD)
    return ", ".join(words for words in map(_say, told) if words) or None
