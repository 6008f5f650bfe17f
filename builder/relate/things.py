"""What a sidecar says was used, and where: in the mixture, in preparing, in stopping and drying, or
in the notes; the cleaning of the tub counts as much as the bath."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from builder.records.facts import Fact
from builder.records.piece import Piece, PrepStep
from builder.relate.hazards import Part, metal_of, part_of, parts_of
from builder.relate.substances import (
    Named,
    classify,
    classify_metal,
    says_washed,
    spot,
    strength_in,
)


class Place(StrEnum):
    """Where a thing stands in a record."""

    MIXTURE = "in the mixture"
    PREPARATION = "in preparing"
    STOP = "in stopping and drying"
    NOTES = "in the notes"
    METAL = "the metal of the piece"


@dataclass(frozen=True)
class Thing:
    """One thing used. Those of one ``pot`` stood in it together. ``step`` counts the steps from
    first to last. ``washed_before`` and ``washed_after``: it was rinsed between this and its
    neighbours. ``field`` is the field of the sidecar that tells of it."""

    part: Part
    kinds: frozenset[str]
    place: Place
    field: str
    pot: str
    step: int
    washed_before: bool = False
    washed_after: bool = False


_AT_LAST = 10_000  # a note tells of no step: it counts as the last


def list_things(piece: Piece) -> tuple[Thing, ...]:
    """Everything of a class that the record names, the mixture first. What method and notes name
    of an ingredient's own classes is that ingredient, told again."""
    bath = len(piece.prep)
    ingredients = tuple(_ingredients(piece, bath))
    told = {thing.kinds for thing in ingredients}
    mentioned = (*_round_the_bath(piece, bath), *_notes(piece))
    return (
        *ingredients,
        *(thing for step, prep in enumerate(piece.prep) for thing in _preparing(prep, step)),
        *_stopping(piece, bath + 1),
        *(one for one in mentioned if not any(one.kinds <= kinds for kinds in told)),
        *_metal(piece, bath),
    )


def _ingredients(piece: Piece, step: int) -> Iterator[Thing]:
    for part in parts_of(piece):
        if kinds := classify(part.name):
            yield Thing(part, kinds, Place.MIXTURE, "ingredients", "bath", step)


def _round_the_bath(piece: Piece, step: int) -> Iterator[Thing]:
    told: tuple[tuple[str, Fact[str]], ...] = (
        ("method", piece.method),
        ("position", piece.position.touching),
    )
    for field, fact in told:
        for named in _spot(fact):
            yield Thing(_part(named, fact), named.kinds, Place.MIXTURE, field, "bath", step)


def _preparing(prep: PrepStep, step: int) -> Iterator[Thing]:
    after = says_washed(f"{prep.result.written} {prep.notes.written}")
    pot = f"prep {step}"

    def thing(part: Part, kinds: frozenset[str], before: bool = False) -> Thing:
        place = Place.PREPARATION
        return Thing(part, kinds, place, "prep", pot, step, before, after)

    part = part_of(prep.with_, prep.strength)
    if kinds := classify(part.name):
        yield thing(part, kinds)
    for fact in (prep.step, prep.notes):
        for named in _spot(fact):
            yield thing(_part(named, fact), named.kinds, named.washed_before)


def _stopping(piece: Piece, step: int) -> Iterator[Thing]:
    rinsed = False
    told: tuple[tuple[str, Fact[str]], ...] = (("stop", piece.stop), ("dry", piece.dry.how))
    for field, fact in told:
        for named in _spot(fact):
            before = rinsed or named.washed_before
            pot = f"{field} {named.clause}"
            yield Thing(
                _part(named, fact), named.kinds, Place.STOP, field, pot, step, before
            )  # fmt: skip
        rinsed = rinsed or says_washed(fact.written)


def _notes(piece: Piece) -> Iterator[Thing]:
    told = [("notes", piece.notes), *(("checks", check.notes) for check in piece.checks)]
    for number, (field, fact) in enumerate(told):
        for named in _spot(fact):
            pot = f"note {number} {named.clause}"
            yield Thing(
                _part(named, fact), named.kinds, Place.NOTES, field, pot, _AT_LAST,
                named.washed_before,
            )  # fmt: skip


def _metal(piece: Piece, step: int) -> Iterator[Thing]:
    name = metal_of(piece)
    if kinds := classify_metal(name):
        said = piece.metal.written or name
        yield Thing(Part(said), kinds, Place.METAL, "metal", "bath", step)


def _spot(fact: Fact[str]) -> tuple[Named, ...]:
    return spot(fact.written) if fact.given else ()


def _part(named: Named, fact: Fact[str]) -> Part:
    """What a text names, with its strength where the text tells one and names nothing else."""
    alone = len(spot(fact.written)) == 1 and fact.written.lower().count(named.words) <= 1
    return Part(named.words, strength_in(fact.written) if alone else None)
