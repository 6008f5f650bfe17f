"""Pieces that are written down and not begun: as which piece, what is changed, what to cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from builder.publish.series_page import name_bare
from builder.publish.subjects import Subject
from builder.records.audiences import KEPT_PRIVATE
from builder.relate.blanks import blank_of
from builder.relate.factors import FACTORS, Factors, differing, list_factors
from builder.relate.findings import Findings, Strand
from builder.relate.strands import name_strand
from builder.relate.wording import say_factor
from builder.telling import hides


@dataclass(frozen=True)
class PlannedPiece:
    """One of them. ``like`` is the piece it is made as, None where that is not in the library;
    ``changes`` are (what, how) of all that is recorded of it and not the same on that piece;
    ``file``: its sidecar.
    """

    subject: Subject
    name: str
    like: Subject | None
    like_name: str
    changes: tuple[tuple[str, str], ...]
    why: str
    cut: str
    file: str


def list_planned_pieces(
    findings: Findings, subjects: Mapping[str, Subject]
) -> tuple[PlannedPiece, ...]:
    """Every one, in the library's order."""
    first = {id(strand.entry): strand for strand in reversed(findings.planned)}
    return tuple(
        _lay_out(first[id(entry)], findings, subjects)
        for entry in findings.library.entries
        if id(entry) in first
    )


def _lay_out(strand: Strand, findings: Findings, subjects: Mapping[str, Subject]) -> PlannedPiece:
    piece = strand.entry.piece
    return PlannedPiece(
        subject=subjects[piece.piece],
        name=name_strand(replace(strand, zone="")),
        like=subjects.get(piece.same_as),
        like_name=piece.same_as,
        changes=tuple(_list_changes(strand, findings)),
        why=piece.why.written if piece.why.given else "",
        cut=blank_of(piece).words,
        file=strand.entry.file,
    )


def _list_changes(strand: Strand, findings: Findings) -> Iterator[tuple[str, str]]:
    """What differs from the piece it is made as or is not recorded there, factor by factor; of
    several attempts at that one the nearest is meant."""
    within = findings.library.settings.tolerances
    own, number = list_factors(strand, within), strand.entry.piece.same_as
    told = [
        (_list_apart(own, list_factors(other, within), other.entry.withheld), other)
        for other in (*findings.strands_of(number), *findings.planned_of(number))
    ]
    if not told:
        return
    apart, base = min(told, key=lambda one: len(one[0]))
    withheld = strand.entry.withheld | base.entry.withheld
    for factor in apart:
        words = name_bare(factor, say_factor(strand, factor))
        yield FACTORS[factor], KEPT_PRIVATE if hides(factor, withheld) else words


def _list_apart(own: Factors, base: Factors, withheld: frozenset[str]) -> tuple[str, ...]:
    """What is told of the planned piece and not the same on its base. What the base keeps private
    may be the same."""
    apart = set(differing(own, base))
    apart |= {f for f in own.given if f not in base.given and not hides(f, withheld)}
    return tuple(factor for factor in FACTORS if factor in apart)
