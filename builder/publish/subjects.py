"""One piece as pages know it: its attempts, its strands, its title and the picture it goes by."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote

from builder.publish.pictures import Scale, Shown, choose_scale, cut_to, describe_look, show_piece
from builder.publish.words import say_fact, say_title
from builder.records.audiences import KEPT_PRIVATE
from builder.records.facts import Known
from builder.records.photo import Box, Observation
from builder.records.piece import Entry
from builder.records.zones import place_zones
from builder.relate.colour_names import name_colour
from builder.relate.findings import Findings, Look, Strand


@dataclass(frozen=True)
class Subject:
    """A piece by its number. ``entries`` are its attempts in order; ``strands`` those of the last
    one, which is what the piece is today. An attempt that is only planned is left out where the
    piece was made; ``planned`` where it never was."""

    number: str
    entries: tuple[Entry, ...]
    strands: tuple[Strand, ...]
    earlier: tuple[Strand, ...]
    observations: tuple[Observation, ...]
    withheld: frozenset[str]
    scale: Scale
    planned: bool = False

    @property
    def entry(self) -> Entry:
        return self.entries[-1]

    @property
    def href(self) -> str:
        return piece_address(self.number)

    @property
    def metal(self) -> str:
        metal = self.entry.piece.metal
        absent = KEPT_PRIVATE if metal.known is Known.WITHHELD else "not recorded"
        return metal.written or f"metal {absent}"

    @cached_property
    def title(self) -> str:
        """``Copper, buried in damp sawdust``; where the method is not told, ``Copper, greyish
        green`` as its latest reading has it."""
        method, look = self.entry.piece.method, self.leading
        told = method.written
        if method.known is Known.WITHHELD and look is not None and look.colour is not None:
            told = name_colour(look.colour)
        return say_title(self.metal + (f", {told}" if told else ""))

    @property
    def outcome(self) -> str:
        return say_fact(self.entry.piece.outcome)

    @property
    def sealants(self) -> tuple[str, ...]:
        """What lies over the colour, zone by zone: ``microcrystalline wax``, ``bare``."""
        if any(strand.sealant == KEPT_PRIVATE for strand in self.strands):
            return ()
        return tuple(dict.fromkeys(say_sealant(strand) for strand in self.strands))

    @property
    def look_words(self) -> str:
        """The maker's own first two words for the look."""
        return ", ".join(word.written for word in self.entry.piece.colour_words[:2] if word.written)

    @cached_property
    def leading(self) -> Look | None:
        """The look the piece goes by: its latest comparable one, else the last there is."""
        for strand in self.strands:
            if strand.latest:
                return strand.latest
        looks = [look for strand in self.strands for look in strand.looks]
        return looks[-1] if looks else None

    def show(self, look: Look | None, zone_only: bool = False) -> Shown | None:
        """One look as a picture of the piece, or of the look's own zone of it, described."""
        if look is None:
            return None
        shown = show_piece(look.observation, describe_look(look, self.described), self.scale)
        box = self.box_of(look) if zone_only and look.observation.picture.view else None
        return cut_to(shown, box) if shown and box else shown

    def show_any(self, strand: Strand, look: Look | None, zone_only: bool = False) -> Shown | None:
        """The look or, where there is none to show, the first of the strand that can be compared,
        any of it, or that the piece goes by."""
        usable = (other for other in strand.looks if not other.excluded)
        looks = (look, *usable, *strand.looks, self.leading)
        return next(filter(None, (self.show(one, zone_only) for one in looks)), None)

    def box_of(self, look: Look) -> Box | None:
        """Where the look's zone lies on the piece; None for the whole."""
        if not look.zone:
            return None
        attempt = look.observation.file.attempt
        entry = next((e for e in self.entries if e.piece.attempt == attempt), self.entry)
        return dict(place_zones(entry.piece)).get(look.zone)

    @cached_property
    def described(self) -> str:
        told = self.entry.piece.method.known is not Known.WITHHELD
        title = self.title[:1].lower() + self.title[1:] if told else self.metal
        return ", ".join(part for part in (title, self.look_words) if part)


def say_sealant(strand: Strand) -> str:
    if strand.sealed is None and not strand.sealant:
        return "sealant not recorded"
    return "bare" if strand.sealant in ("none", "") else strand.sealant


def piece_address(number: str) -> str:
    return f"pieces/{quote(number)}.html"


def sort_key(number: str) -> tuple[tuple[int, int, str], ...]:
    """Numbers in a piece's name count as numbers: SH-9 before SH-10."""
    return tuple(
        (0, int(part), "") if part.isdigit() else (1, 0, part)
        for part in re.split(r"(\d+)", number)
        if part
    )


def list_subjects(findings: Findings) -> tuple[Subject, ...]:
    """Every piece of the library, in the order of their numbers."""
    entries: dict[str, list[Entry]] = {}
    for entry in findings.library.entries:
        entries.setdefault(entry.piece.piece, []).append(entry)
    strands: dict[str, list[Strand]] = {}
    for strand in findings.strands:
        strands.setdefault(strand.entry.piece.piece, []).append(strand)
    seen: dict[str, list[Observation]] = {}
    for observation in findings.observations:
        seen.setdefault(observation.file.piece, []).append(observation)
    made = []
    scale = choose_scale(findings.observations)
    ahead = {id(strand.entry) for strand in findings.planned}
    for number in sorted(entries, key=sort_key):
        of_piece = strands.get(number, [])
        told = sorted(entries[number], key=lambda entry: entry.piece.attempt)
        begun = tuple(entry for entry in told if id(entry) not in ahead)
        attempts = begun or tuple(told)
        last = attempts[-1].piece.attempt
        made.append(
            Subject(
                number,
                attempts,
                tuple(s for s in of_piece if s.entry.piece.attempt == last),
                tuple(s for s in of_piece if s.entry.piece.attempt != last),
                tuple(seen.get(number, ())),
                attempts[-1].withheld,
                scale,
                not begun,
            )
        )
    return tuple(made)
