"""What the pages over many pieces show: home, ageing, what did not work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.publish.history import VERDICT_CLASSES, VERDICT_TITLES, Story, tell_story
from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.records.photo import Evidence, State
from builder.relate.findings import Difference, Failure, Findings, Look, Strand, Verdict

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
    """A piece that did not work, wholly or in part, and one that did and differs by one thing."""

    subject: Subject
    shown: Shown | None
    words: str
    outcome: str
    seen: tuple[str, ...]
    instead: Subject | None
    instead_shown: Shown | None
    instead_words: str


@dataclass(frozen=True)
class Shelf:
    """Pieces that failed for one cause."""

    cause: str
    items: tuple[Fault, ...]


def count_library(findings: Findings) -> Numbers:
    readings = [reading for seen in findings.observations for reading in seen.readings]
    last = [drift.days for strand in findings.strands for drift in strand.drifts]
    return Numbers(
        len({entry.piece.piece for entry in findings.library.entries}),
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


def list_ageing(
    findings: Findings, subjects: Mapping[str, Subject]
) -> tuple[tuple[str, str, tuple[tuple[Subject, Story], ...]], ...]:
    """Every strand that was looked at twice, under its verdict: title, class, stories."""
    told: dict[Verdict, list[tuple[Subject, Story]]] = {}
    for strand in findings.strands:
        subject = subjects.get(strand.entry.piece.piece)
        if subject and strand.drifts:
            story = tell_story(subject, strand, findings, zone_only=True)
            told.setdefault(strand.verdict, []).append((subject, story))
    return tuple(
        (VERDICT_TITLES[verdict], VERDICT_CLASSES[verdict], tuple(told[verdict]))
        for verdict in (Verdict.MOVED, Verdict.HELD, Verdict.CANNOT_TELL)
        if verdict in told
    )


def list_shelves(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[Shelf, ...]:
    """What did not work, by cause; a cause nobody knows comes last."""
    shelves: dict[str, list[Fault]] = {}
    for failure in findings.failures:
        subject = subjects.get(failure.entry.piece.piece)
        if subject:
            shelves.setdefault(failure.cause, []).append(
                _fault(failure, subject, findings, subjects)
            )
    return tuple(
        Shelf(cause, tuple(shelves[cause])) for cause in sorted(shelves, key=_known_causes_first)
    )


def _known_causes_first(cause: str) -> tuple[bool, str]:
    return cause.lower() in {"unknown", "cause not recorded", "not recorded", "none", ""}, cause


def _fault(
    failure: Failure, subject: Subject, findings: Findings, subjects: Mapping[str, Subject]
) -> Fault:
    piece = failure.entry.piece
    seen = (
        ", ".join(part.words() for part in (c.what, c.where) if part.given)
        for check in piece.checks
        for c in check.seen
    )
    instead, words = _find_success(subject, findings, subjects)
    return Fault(
        subject,
        subject.show(subject.leading),
        "" if "notes" in subject.withheld else failure.words.rstrip(" .;"),
        piece.outcome.words(),
        tuple(dict.fromkeys(words for words in seen if words)),
        instead,
        instead.show(instead.leading) if instead else None,
        words,
    )


def _find_success(
    subject: Subject, findings: Findings, subjects: Mapping[str, Subject]
) -> tuple[Subject | None, str]:
    """A piece that worked and differs by one recorded thing, and what that thing is."""
    for pair in findings.pairs:
        for mine, other, value, theirs in (
            (pair.a, pair.b, pair.value_a, pair.value_b),
            (pair.b, pair.a, pair.value_b, pair.value_a),
        ):
            worked = subjects.get(other.entry.piece.piece)
            if mine.entry.piece.piece != subject.number or worked is None or not pair.factor:
                continue
            if worked.outcome == "success":
                secret = "ingredients" in subject.withheld | worked.withheld
                words = "" if secret else f"{theirs} instead of {value}"
                return worked, words
    return None, ""


def list_unused(looks: Sequence[Look]) -> tuple[tuple[str, int], ...]:
    """Why photographs serve no comparison, with how many for each reason, most first."""
    counts: dict[str, int] = {}
    for look in looks:
        reason = look.excluded or (look.reading.withheld if look.reading else "")
        if reason:
            counts[reason] = counts.get(reason, 0) + 1
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))
