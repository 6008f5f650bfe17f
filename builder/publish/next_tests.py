"""What the page of next tests shows: each with the pieces it joins, why, and what to cut."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from builder.publish.cells import Cell
from builder.publish.pictures import Shown
from builder.publish.planned_page import PlannedPiece
from builder.publish.subjects import Subject
from builder.relate.blanks import Blank, blank_of, count_blanks
from builder.relate.factors import FACTORS
from builder.relate.findings import Findings, Strand
from builder.relate.next_tests import NextTest, find_tests, say_no_test
from builder.relate.next_words import say_briefly, say_what, say_why
from builder.relate.planned import piece_of
from builder.relate.strands import name_strand
from builder.relate.wording import NOT_RECORDED
from builder.telling import hides

#: What each column of the data file holds.
COLUMNS: Mapping[str, str] = {
    "rank": "place in the order, from 1",
    "like": "the piece it is like, with its zone",
    "factor": "the one thing changed, empty for a repeat",
    "what": "what to do, in words",
    "why": "what it completes, with the pieces it joins",
    "squares": "squares of two factors it completes",
    "joins": "the pieces it joins",
    "days": "days until it can be looked at",
    "score": "2 a square; 1 a third point, missing sister, starred look made once; −1 for a wait",
    "metal": "metal of the blank to cut",
    "size": "its size",
    "thickness": "its thickness",
}


@dataclass(frozen=True)
class Corner:
    """A piece that a test joins, as it looks now, with its ``words`` for what is compared ("15 s,
    bare"). For the one to be made ``subject`` is None, and ``shown`` a piece of its size."""

    name: str
    subject: Subject | None
    shown: Shown | None
    words: str


@dataclass(frozen=True)
class Proposal:
    """One test: ``what`` to do, and ``why`` in parts, each with the address of the piece that it
    names, or "". ``corners`` are the four of its square, row by row, or else the pieces it joins
    and the one to be made."""

    rank: int
    what: str
    why: tuple[tuple[str, str], ...]
    corners: tuple[Corner, ...]
    cut: str
    score: int


@dataclass(frozen=True)
class NextPage:
    """All of it; ``cut``: how many blanks of which kind, for the proposals; ``planned`` what is
    written down already and not begun; ``reason`` why nothing is proposed, else ""."""

    proposals: tuple[Proposal, ...]
    cut: tuple[tuple[int, str], ...]
    planned: tuple[PlannedPiece, ...] = ()
    reason: str = ""


def lay_out_next(
    findings: Findings,
    subjects: Mapping[str, Subject],
    tests: Sequence[NextTest],
    planned: tuple[PlannedPiece, ...] = (),
) -> NextPage:
    """The page: the tests, and the blanks to cut for them, with how many of each."""
    blanks = [_cut(test) for test in tests]
    return NextPage(
        tuple(
            Proposal(
                rank,
                say_what(test),
                _link(say_why(test), test, subjects),
                tuple(_corners(test, subjects)),
                blank.words,
                test.score,
            )
            for rank, (test, blank) in enumerate(zip(tests, blanks, strict=True), 1)
        ),
        tuple((count, blank.words) for count, blank in count_blanks(blanks)),
        planned,
        "" if tests else say_no_test(findings),
    )


def list_next_rows(findings: Findings, tests: Sequence[NextTest]) -> list[dict[str, Cell]]:
    """The rows of the data file."""
    rows: list[dict[str, Cell]] = []
    for rank, test in enumerate(tests, 1):
        blank = _cut(test)
        rows.append(
            {
                "rank": rank,
                "like": name_strand(test.plan.base),
                "factor": test.plan.factor,
                "what": say_what(test),
                "why": say_why(test),
                "squares": len(test.squares),
                "joins": "; ".join(name_strand(strand) for strand in test.joined),
                "days": round(test.days, 2),
                "score": test.score,
                "metal": blank.metal,
                "size": None if blank.size == NOT_RECORDED else blank.size,
                "thickness": None if blank.thickness == NOT_RECORDED else blank.thickness,
            }
        )
    return rows


def find_open_tests(findings: Findings) -> tuple[NextTest, ...]:
    """Tests among pieces that keep none of their factors back: what a test joins would tell them,
    and what is not told cannot be reckoned with."""

    def open_about(strand: Strand) -> bool:
        return not any(hides(factor, strand.entry.withheld) for factor in FACTORS)

    return find_tests(
        replace(
            findings,
            strands=tuple(filter(open_about, findings.strands)),
            planned=tuple(filter(open_about, findings.planned)),
        )
    )


def _corners(test: NextTest, subjects: Mapping[str, Subject]) -> Iterator[Corner]:
    """Row by row of its first square, the one to be made in its place; without a square the pieces
    it joins, and then the one to be made."""
    base = _corner(test.plan.base, subjects, "")
    if not test.squares:
        for strand in test.joined:
            yield _corner(strand, subjects, _say(strand, test.plan.factor))
        yield Corner("to be made", None, base.shown, "")
        return
    square = test.squares[0]
    beside, across, below = square.corners
    row, column = square.row, square.column
    said = [
        _join(_say(one, row), _say(other, column))
        for one, other in ((beside, beside), (beside, below), (across, across), (below, below))
    ]
    yield _corner(beside, subjects, said[0])
    yield Corner("to be made", None, base.shown, said[1])
    yield _corner(across, subjects, said[2])
    yield _corner(below, subjects, said[3])


def _corner(strand: Strand, subjects: Mapping[str, Subject], said: str) -> Corner:
    subject = subjects[strand.entry.piece.piece]
    look = strand.latest or (strand.looks[-1] if strand.looks else None)
    return Corner(name_strand(strand), subject, subject.show(look, zone_only=True), said)


def _link(
    words: str, test: NextTest, subjects: Mapping[str, Subject]
) -> tuple[tuple[str, str], ...]:
    """The words in parts, those that name a piece the test joins with its page."""
    strands = (*test.joined, test.plan.base, *([test.sister] if test.sister else []))
    pages = {name_strand(s): subjects[s.entry.piece.piece].href for s in strands}
    names = "|".join(re.escape(name) for name in sorted(pages, key=len, reverse=True))
    parts = re.split(rf"(?<!\w)({names})(?!\w)", words)
    return tuple((part, pages.get(part, "")) for part in parts if part)


def _say(strand: Strand, factor: str) -> str:
    return say_briefly(strand, factor) if factor else ""


def _join(*words: str) -> str:
    return ", ".join(word for word in words if word)


def _cut(test: NextTest) -> Blank:
    return blank_of(piece_of(test.plan))
