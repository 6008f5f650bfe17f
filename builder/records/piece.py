"""A test piece as its maker wrote it down.

These models are the sidecar's vocabulary: the JSON Schema, the reference page and the reader's
checks all come from them. Field names and terms: common practice, no source.
Every field but ``piece`` may be missing.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, Field

from builder.records.facts import Fact
from builder.records.kinds import (
    Amount,
    Cause,
    Celsius,
    Count,
    Duration,
    Extent,
    Fault,
    Form,
    Lighting,
    Litres,
    Metal,
    Method,
    Millimetres,
    Minutes,
    Movement,
    Outcome,
    Percent,
    Seal,
    Severity,
    Sheen,
    Showing,
    Side,
    Strength,
    Surface,
    Temper,
    Thickness,
    When,
    Words,
)
from builder.records.record import Record, fact_field, part_field
from builder.records.shapes import PlainAs, Several, Sides


def _in_small_letters(audiences: tuple[str, ...]) -> tuple[str, ...]:
    """Audiences are compared as words: ``Private`` is ``private``."""
    return tuple(audience.strip().casefold() for audience in audiences)


Audiences = Annotated[
    tuple[str, ...], Several(none_is_empty=False), AfterValidator(_in_small_letters)
]


class PrepStep(Record):
    """One step of preparing the metal; the order of steps is part of the record."""

    step: Words = fact_field("what was done", "abrade")
    with_: Words = Field(
        default=Fact(), alias="with", description="what it was done with", examples=["pumice"]
    )
    grit: Words = fact_field("grit or grade, as written", "400", "0000")
    strength: Strength = fact_field("strength of what was used", "100 g/l")
    minutes: Minutes = fact_field("how long it took", "20")
    temperature_c: Celsius = fact_field("temperature", "40")
    result: Words = fact_field("what it showed", "pass")
    notes: Words = fact_field("anything else", "water sheeted at once")


class Ingredient(Record):
    """One thing in the mixture, with the amount as written beside grams or millilitres."""

    name: Words = fact_field("what it is", "malt vinegar")
    amount: Amount = fact_field("how much", "120 ml", "2½ tsp", "3 : 1 by weight")
    strength: Strength = fact_field("strength on the bottle, or as mixed", "5 %", "5 g/l")
    as_written: Words = fact_field("the notebook's own words", "2½ tsp")
    brand_note: Words = fact_field("which bottle or bag", "the blue-capped bottle")


class Batch(Record):
    """When the mixture was made and its bottle opened."""

    mixed: When = fact_field("date mixed", "2024-10-01")
    opened: When = fact_field("date the bottle was opened", "2024-09-20")
    name: Words = fact_field("the batch's own name", "second jar")


class Container(Record):
    """What the piece was coloured in."""

    kind: Words = fact_field("tub, jar, tray", "lidded tub")
    litres: Litres = fact_field("volume", "3")
    lid: Words = fact_field("how it closes", "clipped")


class Position(Record):
    """How the piece lay or hung while it coloured."""

    face: Words = fact_field("which face was up", "up")
    above_mm: Millimetres = fact_field("height over the dish", "40")
    touching: Words = fact_field("what touched it", "packed all round")


class Spell(Record):
    """A time of drying or curing: how, and for how long."""

    how: Words = fact_field("how", "on a rack")
    for_: Duration = Field(
        default=Fact(), alias="for", description="how long", examples=["7 d", "24 h"]
    )


class Sealant(Record):
    """What was put over the colour. ``none`` says it was left bare on purpose."""

    kind: Seal = fact_field("what", "microcrystalline wax", "none")
    coats: Count = fact_field("number of coats", "2")
    date: When = fact_field("date of the first coat", "2024-10-16")
    how: Annotated[tuple[Words, ...], Several()] = part_field(
        (), "how it was put on", ["cold", "thin"]
    )
    buffed_after_min: Minutes = fact_field("how long until buffed", "20")
    notes: Words = fact_field("anything else", "went on milky")


class Storage(Record):
    """How the piece is kept."""

    place: Words = fact_field("where it is kept", "drawer")
    light: Words = fact_field("dark, window sill", "dark")
    humidity_pct: Percent = fact_field("relative humidity there", "45")
    handled: Words = fact_field("who handles it", "class")


class Condition(Record):
    """What was seen on a piece: what, where, how much, how bad, still moving or not."""

    what: Fault = fact_field("the condition", "powdering")
    where: Words = fact_field("place on the piece", "lower edge")
    extent: Extent = fact_field("share of the area, %", "5-25")
    severity: Severity = fact_field("how bad", "slight")
    moving: Movement = fact_field("still going on or not", "active")


class Check(Record):
    """One look at the piece on one day."""

    date: When = fact_field("the day", "2025-01-14")
    state: Showing = fact_field("what the piece was then", "recheck")
    seen: Annotated[tuple[Annotated[Condition, PlainAs("what")], ...], Several()] = part_field(
        (), "conditions seen; an empty list says none were", ["powdering"]
    )
    notes: Words = fact_field("anything else", "rubs grey on a cloth")
    by: Words = fact_field("who looked, by initials", "R.T.")


class Zone(Record):
    """A part of one piece with a finish of its own; never averaged with the others."""

    name: str = Field(description="its name", examples=["left"])
    at: tuple[Words, ...] = part_field(
        (),
        "its place, as fractions of the piece: left, top, right, bottom",
        ["0", "0", "0.333", "1"],
    )
    sealant: Annotated[Sealant, PlainAs("kind")] = part_field(
        Sealant(), "its sealant", "microcrystalline wax"
    )
    notes: Words = fact_field("anything else", "masked with tape")


class PhotoNote(Record):
    """What the maker says of one photograph; needed only where its name does not tell."""

    file: str = Field(description="file name in the piece's folder", examples=["IMG_1234.HEIC"])
    date: When = fact_field("day it was taken", "2025-01-14")
    state: Showing = fact_field("what it shows", "recheck")
    side: Side = fact_field("which side", "front")
    light: Lighting = fact_field("how it was lit", "cross-polarised")
    setup: Words = fact_field("set-up it was taken on; none for no set-up", "bench plates")
    piece_at: tuple[Any, ...] = part_field(
        (),
        "where the piece lies, as fractions of the upright picture: left, top, right, bottom, or "
        "four corners clockwise from the left top",
        ["0.2", "0.2", "0.6", "0.8"],
    )
    card_at: tuple[Any, ...] = part_field(
        (), "where the card lies, likewise", ["0.65", "0.2", "0.9", "0.5"]
    )
    blur: Annotated[tuple[Any, ...], Several()] = part_field(
        (),
        "what is made unrecognisable wherever the picture is shown, as fractions of the upright "
        "picture: left, top, right, bottom; or a list of such parts",
        [["0.1", "0.2", "0.3", "0.4"]],
    )
    attempt: Count = fact_field("which attempt it shows", "1")
    caption: Words = fact_field("words under the picture", "chalk gone at the first coat")


class Piece(Record):
    """One attempt at one piece. A blank stripped and coloured again is a second document in the
    same sidecar, with ``attempt: 2``; nothing of the first is overwritten."""

    piece: str = Field(
        description="the number on the metal: letters A to Z, digits, and - _ . between them",
        examples=["SH-014"],
    )
    same_as: str = Field(default="", description="the piece this one repeats", examples=["SH-012"])
    change: dict[str, Any] = part_field({}, "what differs from `same_as`", {"sealant": "none"})
    why: Words = fact_field("what the test is for", "does wax keep the chalk?")
    form: Form = fact_field("what it is", "plate blank")
    size_mm: Annotated[tuple[Millimetres, ...], Sides()] = part_field(
        (), "width, height and, if you like, thickness", ["100", "150", "0.9"]
    )
    thickness: Thickness = fact_field("thickness; a gauge needs its system", "0.9 mm", "20 SWG")
    metal: Metal = fact_field("the metal", "copper")
    alloy: Words = fact_field("the alloy", "63/37 brass", "unknown scrap")
    temper: Temper = fact_field("how hard it was", "half hard")
    surface: Surface = fact_field("surface finish", "abraded 400 grit")
    blank_from: Words = fact_field("where the blank was cut from", "sheet 2024-09")
    prep: Annotated[
        tuple[Annotated[PrepStep, PlainAs("step")], ...], Several(none_is_empty=False)
    ] = part_field((), "steps of preparing, in order", [{"step": "abrade", "grit": "400"}])
    method: Method = fact_field("how the colour was put on", "buried in damp sawdust")
    ingredients: Annotated[tuple[Annotated[Ingredient, PlainAs("name")], ...], Several()] = (
        part_field((), "what was used", [{"name": "salt", "amount": "15 g"}])
    )
    batch: Annotated[Batch, PlainAs("mixed")] = part_field(
        Batch(), "the mixture's dates", {"mixed": "2024-10-01"}
    )
    container: Annotated[Container, PlainAs("kind")] = part_field(
        Container(), "what it was done in", {"kind": "lidded tub", "litres": "3"}
    )
    position: Annotated[Position, PlainAs("face")] = part_field(
        Position(), "how the piece lay or hung", {"face": "up"}
    )
    temperature_c: Celsius = fact_field("temperature of the work", "18", "113 °F")
    humidity_pct: Percent = fact_field("relative humidity of the room", "55", "not measured")
    started: When = fact_field("when colouring began", "2024-10-01T19:30")
    finished: When = fact_field("when it was lifted out", "2024-10-08")
    exposure: Duration = fact_field("how long it was in", "7 d", "45 s")
    cycles: Count = fact_field("passes, sprays or rounds", "1")
    stop: Words = fact_field("how it was stopped and rinsed", "lifted out, not rinsed")
    dry: Annotated[Spell, PlainAs("how")] = part_field(
        Spell(), "drying", {"how": "on a rack", "for": "7 d"}
    )
    sealant: Annotated[Sealant, PlainAs("kind")] = part_field(
        Sealant(), "what was put over the colour", "none", {"kind": "shellac", "coats": "2"}
    )
    cure: Annotated[Spell, PlainAs("how")] = part_field(
        Spell(), "curing of the sealant", {"how": "on a rack", "for": "24 h"}
    )
    storage: Annotated[Storage, PlainAs("place")] = part_field(
        Storage(), "how it is kept", {"place": "drawer", "light": "dark"}
    )
    coverage_pct: Percent = fact_field("share covered by the colour, by eye", "76")
    colour_words: Annotated[tuple[Words, ...], Several()] = part_field(
        (), "the maker's words for the look", ["chalky", "blue-green"]
    )
    sheen: Sheen = fact_field("by eye, dead matt to gloss", "dead matt")
    outcome: Outcome = fact_field("how it came out", "success")
    cause: Cause = fact_field("why it failed", "grease")
    notes: Words = fact_field("anything else", "lovely sea-green; not what was picked")
    zones: Annotated[tuple[Annotated[Zone, PlainAs("name")], ...], Several()] = part_field(
        (), "parts finished differently", [{"name": "left", "sealant": "shellac"}]
    )
    attempt: int = Field(
        default=1, ge=1, le=999, description="which attempt on this blank", examples=["2"]
    )
    sister: str = Field(
        default="", description="the bare piece this one is compared with", examples=["SH-012"]
    )
    setup: str = Field(
        default="", description="set-up its photographs were taken on", examples=["bench plates"]
    )
    checks: Annotated[tuple[Annotated[Check, PlainAs("date")], ...], Several()] = part_field(
        (), "looks at the piece by date", [{"date": "2025-01-14", "state": "recheck"}]
    )
    photos: Annotated[tuple[Annotated[PhotoNote, PlainAs("file")], ...], Several()] = part_field(
        (), "notes on photographs", [{"file": "IMG_1234.HEIC", "state": "wet"}]
    )
    made_by: Words = fact_field("who made it, by initials", "R.T.")
    starred: Words = fact_field("yes for a look worth repeating", "yes")
    share: dict[str, Audiences] = part_field(
        {}, "who may see which part", {"recipe": "students", "photos": ["students", "clients"]}
    )


#: Fields that ``same_as`` does not carry over: what a piece is and how it came out is its own.
OWN_FIELDS = frozenset(
    {
        "piece", "same_as", "change", "why", "outcome", "cause", "notes", "checks", "photos",
        "coverage_pct", "colour_words", "sheen", "attempt", "share", "starred", "sister",
    }
)  # fmt: skip


class Entry(Record):
    """A piece as it stands in the library: its record with ``same_as`` followed, and where it
    came from. ``inherited`` names the fields taken from another piece, as (field, piece);
    ``withheld`` those that are not for the ones this copy of it is told to. ``mixture_line``: where
    the ingredients are written, or the ``same_as`` that brings them."""

    piece: Piece
    file: str
    line: int = 1
    mixture_line: int = 1
    inherited: tuple[tuple[str, str], ...] = ()
    withheld: frozenset[str] = frozenset()
