"""Pieces that are written down and not begun: as which piece, what is changed, what to cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from builder.publish.piece_rows import WITHHELD
from builder.publish.recipe import Step, list_steps
from builder.publish.shares import KEPT_PRIVATE, list_withheld
from builder.publish.subjects import Subject
from builder.records.piece import Entry
from builder.relate.blanks import Blank, blank_of
from builder.relate.findings import Findings
from builder.relate.strands import name_strand


@dataclass(frozen=True)
class PlannedPiece:
    """One of them. ``like`` is the piece it is made as, None where that is not in the library;
    ``changes`` are (what, how) of all that is not taken from it; ``file`` its sidecar."""

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
    entries = findings.library.entries
    names = {id(strand.entry): name_strand(replace(strand, zone="")) for strand in findings.planned}
    return tuple(
        _lay_out(entry, names[id(entry)], list_withheld(entry, entries), subjects)
        for entry in entries
        if id(entry) in names
    )


def keep_back(blank: Blank, metal: bool, form: bool, size: bool) -> Blank:
    """The blank without what its maker does not share."""
    if metal:
        blank = replace(blank, metal=WITHHELD)
    if form:
        blank = replace(blank, form="blank")
    if size:
        blank = replace(blank, size=WITHHELD, thickness=WITHHELD)
    return blank


def _lay_out(
    entry: Entry, name: str, withheld: frozenset[str], subjects: Mapping[str, Subject]
) -> PlannedPiece:
    piece = entry.piece
    blank = keep_back(
        blank_of(piece),
        not withheld.isdisjoint(("metal", "alloy")),
        "form" in withheld,
        not withheld.isdisjoint(("size_mm", "thickness")),
    )
    return PlannedPiece(
        subject=subjects[piece.piece],
        name=name,
        like=subjects.get(piece.same_as),
        like_name=piece.same_as,
        changes=tuple(_list_changes(list_steps(entry, withheld))),
        why=piece.why.written if piece.why.given and "why" not in withheld else "",
        cut=blank.words,
        file=entry.file,
    )


def _list_changes(steps: tuple[Step, ...]) -> Iterator[tuple[str, str]]:
    for step in steps:
        if step.withheld:
            yield step.title, KEPT_PRIVATE
        if step.inherited:
            continue
        told = list(step.lines)
        told += [" ".join(filter(None, (row.words for row in rows))) for rows in step.mixture]
        told += [
            f"{part.name} {row.label}: {row.words}".lstrip()
            for part in step.parts
            for row in part.rows
            if not row.inherited
        ]
        if told:
            yield step.title, "; ".join(told)
