"""What the pages over many pieces show: home, ageing, what did not work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.publish.history import VERDICT_CLASSES, VERDICT_TITLES, Story, tell_story
from builder.publish.pictures import Shown
from builder.publish.series_page import FACTOR_TITLES
from builder.publish.subjects import Subject
from builder.publish.words import say_covered
from builder.records.audiences import KEPT_PRIVATE
from builder.records.photo import Evidence, State
from builder.relate.failures import CAUSE_NOT_RECORDED, CAUSE_UNKNOWN
from builder.relate.findings import Difference, Failure, Findings, Look, Strand, Verdict
from builder.relate.strands import name_strand
from builder.relate.wording import say_factor
from builder.telling import hides

#: Of more strands than these under one verdict, only those looked at last are drawn: a page of
#: thousands of film strips is of no use to anyone.
AGED_SHOWN = 24
RECHECKS_SHOWN = 6


@dataclass(frozen=True)
class Recheck:
    """A look back at a piece: what the colour had done by then."""

    subject: Subject
    strand: Strand
    look: Look
    drift: Difference | None
    shown: Shown | None
    verdict: str
    verdict_class: str


@dataclass(frozen=True)
class Numbers:
    """The library in figures that were counted, not measured."""

    pieces: int
    photographs: int
    readings: int
    with_card: int
    sets: int
    longest: int | None  # days between the first and the last look compared
    verdicts: tuple[tuple[str, str, int], ...]  # title, class, strands


@dataclass(frozen=True)
class Fault:
    """A piece that did not work, wholly or in part, and the nearest one that did: ``differs`` is
    (what, there, here) of each recorded difference. ``covered`` and ``instead_covered`` say how
    much of each was covered when fresh, "" where that is kept private."""

    subject: Subject
    shown: Shown | None
    words: str
    outcome: str
    seen: tuple[str, ...]
    instead: Subject | None
    instead_shown: Shown | None
    instead_name: str
    differs: tuple[tuple[str, str, str], ...]
    covered: str = ""
    instead_covered: str = ""


@dataclass(frozen=True)
class Aged:
    """The strands of one verdict: ``stories`` of those that are drawn, and the ``others``."""

    title: str
    kind: str
    stories: tuple[tuple[Subject, Story], ...]
    others: tuple[tuple[Subject, Strand], ...]

    @property
    def count(self) -> int:
        return len(self.stories) + len(self.others)


@dataclass(frozen=True)
class Shelf:
    """Pieces that failed for one cause, in the words of the first that did."""

    cause: str
    items: tuple[Fault, ...]


def count_library(findings: Findings) -> Numbers:
    readings = [reading for seen in findings.observations for reading in seen.readings]
    last = [drift.days for strand in findings.strands for drift in strand.drifts]
    return Numbers(
        len({strand.entry.piece.piece for strand in findings.strands}),
        len(findings.observations),
        len(readings),
        sum(r.evidence in (Evidence.TARGET, Evidence.GREY) for r in readings),
        len(findings.sisters),
        max(last, default=None),
        tuple(
            (
                VERDICT_TITLES[verdict],
                VERDICT_CLASSES[verdict],
                sum(strand.verdict is verdict for strand in findings.strands),
            )
            for verdict in (Verdict.HELD, Verdict.MOVED, Verdict.CANNOT_TELL)
        ),
    )


def list_rechecks(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Recheck, ...]:
    """The latest rechecks, newest first, one a piece."""
    found: dict[str, Recheck] = {}
    looks = [
        (look, strand)
        for strand in findings.strands
        for look in strand.looks
        if look.state is State.RECHECK and look.taken and not look.excluded
    ]
    looks.sort(key=lambda pair: (pair[0].taken, pair[1].entry.piece.piece), reverse=True)
    for look, strand in looks:
        subject = subjects.get(strand.entry.piece.piece)
        if subject is None or subject.number in found:
            continue
        found[subject.number] = Recheck(
            subject,
            strand,
            look,
            next((drift for drift in strand.drifts if drift.second == look), None),
            subject.show(look),
            VERDICT_TITLES[strand.verdict],
            VERDICT_CLASSES[strand.verdict],
        )
        if len(found) == RECHECKS_SHOWN:
            break
    return tuple(found.values())


def list_ageing(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Aged, ...]:
    """Every strand that was looked at twice, under its verdict."""
    told: dict[Verdict, list[tuple[Subject, Strand]]] = {}
    for strand in findings.strands:
        subject = subjects.get(strand.entry.piece.piece)
        if subject and strand.drifts:
            told.setdefault(strand.verdict, []).append((subject, strand))
    return tuple(
        _tell_aged(verdict, told[verdict], findings)
        for verdict in (Verdict.MOVED, Verdict.HELD, Verdict.CANNOT_TELL)
        if verdict in told
    )


def _tell_aged(
    verdict: Verdict, strands: Sequence[tuple[Subject, Strand]], findings: Findings
) -> Aged:
    def seen_last(at: int) -> dt.date:
        latest = strands[at][1].latest
        return latest.taken if latest and latest.taken else dt.date.min

    by_day = sorted(range(len(strands)), key=lambda at: (seen_last(at), -at), reverse=True)
    drawn = set(by_day[:AGED_SHOWN])
    stories = tuple(
        (subject, tell_story(subject, strand, findings, zone_only=True))
        for at, (subject, strand) in enumerate(strands)
        if at in drawn
    )
    others = tuple(pair for at, pair in enumerate(strands) if at not in drawn)
    return Aged(VERDICT_TITLES[verdict], VERDICT_CLASSES[verdict], stories, others)


def list_shelves(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Shelf, ...]:
    """What did not work, by cause; a cause nobody knows comes last."""
    shelves: dict[str, list[Fault]] = {}
    words: dict[str, str] = {}
    for failure in findings.failures:
        subject = subjects.get(failure.entry.piece.piece)
        if subject:
            cause = failure.cause
            words.setdefault(cause, failure.cause_words or cause)
            shelves.setdefault(cause, []).append(_fault(failure, subject, subjects))
    return tuple(
        Shelf(words[cause], tuple(shelves[cause]))
        for cause in sorted(shelves, key=_known_causes_first)
    )


_NO_CAUSES = {CAUSE_UNKNOWN, CAUSE_NOT_RECORDED, KEPT_PRIVATE}


def _known_causes_first(cause: str) -> tuple[bool, str]:
    return cause in _NO_CAUSES, cause


def _fault(failure: Failure, subject: Subject, subjects: Mapping[str, Subject]) -> Fault:
    piece = failure.entry.piece
    seen = (
        ", ".join(part.words() for part in (c.what, c.where) if part.given)
        for check in piece.checks
        for c in check.seen
    )
    other = failure.instead
    instead = subjects.get(other.entry.piece.piece) if other else None
    own = failure.strand or next(iter(subject.strands), None)
    return Fault(
        subject,
        subject.show_any(own, subject.leading) if own else None,
        failure.words.rstrip(" .;"),
        piece.outcome.words(),
        tuple(dict.fromkeys(words for words in seen if words)),
        instead,
        instead.show_any(other, other.latest) if instead and other else None,
        name_strand(other) if other else "",
        _list_differences(failure),
        _say_covered(own, subject),
        _say_covered(other, instead),
    )


def _say_covered(strand: Strand | None, subject: Subject | None) -> str:
    """A mean colour hides what stayed bare, so the coverage is said beside it."""
    return say_covered(strand.fresh) if strand and subject else ""


def _list_differences(failure: Failure) -> tuple[tuple[str, str, str], ...]:
    """What differs, there and here; values the maker of either keeps private are not told."""
    mine, other = failure.strand, failure.instead
    if mine is None or other is None:
        return ()
    withheld = mine.entry.withheld | other.entry.withheld
    return tuple(
        (FACTOR_TITLES[factor], KEPT_PRIVATE, "")
        if hides(factor, withheld)
        else (FACTOR_TITLES[factor], say_factor(other, factor), say_factor(mine, factor))
        for factor in failure.differing
    )


def list_unused(looks: Sequence[Look]) -> tuple[tuple[str, int], ...]:
    """Why photographs serve no comparison, with how many for each reason, most first."""
    counts: dict[str, int] = {}
    for look in looks:
        reason = look.excluded or (look.reading.withheld if look.reading else "")
        if reason:
            counts[reason] = counts.get(reason, 0) + 1
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))
