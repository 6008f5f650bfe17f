"""Repeats: how far apart the same recipe came out, and what was made only once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.relate.findings import Findings, Repeats, Strand
from builder.relate.strands import name_strand


@dataclass(frozen=True)
class Made:
    """One piece of a group of repeats, or one that was made only once."""

    subject: Subject
    name: str
    shown: Shown | None
    words: str = ""
    value: str = ""  # repeats have none that differs


@dataclass(frozen=True)
class Group:
    """Pieces with no recorded difference. ``repeats`` has the figures; ``private`` where they rest
    on photographs that are not published."""

    title: str
    made: tuple[Made, ...]
    repeats: Repeats
    private: bool


def lay_out_groups(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Group, ...]:
    """Every group of repeats, in the library's order."""
    return tuple(
        Group(
            ", ".join(map(name_strand, repeats.strands)),
            tuple(_made(strand, subjects) for strand in repeats.strands),
            repeats,
            repeats.private,
        )
        for repeats in findings.repeats
        if all(strand.entry.piece.piece in subjects for strand in repeats.strands)
    )


def list_singles(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Made, ...]:
    """Looks worth having that were made once."""
    return tuple(
        _made(single.strand, subjects, single.words)
        for single in findings.singles
        if single.strand.entry.piece.piece in subjects
    )


def _made(strand: Strand, subjects: Mapping[str, Subject], words: str = "") -> Made:
    subject = subjects[strand.entry.piece.piece]
    shown = subject.show_any(
        strand, strand.fresh, zone_only=not words
    )  # a tile is too small for a strip
    return Made(subject, name_strand(strand), shown, words)
