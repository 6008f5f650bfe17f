"""One page a piece: what it is and whether it holds; what was done; how it looked over time; sealed
against bare; what differs from it by one thing; where each fact comes from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.errors import Problem
from builder.publish.ages import say_moment
from builder.publish.before import Before, lay_out_before
from builder.publish.chains import Chains, tell_chain, tell_photo
from builder.publish.closely import ChangeFigure, CloseLook, look_closely, show_change
from builder.publish.history import Spare, Story, list_spares, tell_story
from builder.publish.pictures import Shown
from builder.publish.recipe import Step, list_steps
from builder.publish.series_page import FACTOR_TITLES, SeriesRow
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.publish.words import say_covered
from builder.records.piece import Check, Entry
from builder.relate.cautions import is_warning
from builder.relate.findings import Findings, Look, Pair, Strand


@dataclass(frozen=True)
class Neighbour:
    """Another piece that differs by one recorded thing. ``covered``: how much of it and of this one
    was covered when fresh, None where neither is told or it is kept private."""

    subject: Subject
    shown: Shown | None
    mine: str
    other: str
    zone: str
    pair: Pair
    covered: tuple[str, str] | None = None


@dataclass(frozen=True)
class Closeness:
    """One zone of one attempt, looked at closely."""

    zone: str
    looks: tuple[CloseLook, ...]
    figure: ChangeFigure | None
    withheld: str  # why there is no change map though there could be one


@dataclass(frozen=True)
class Life:
    """One attempt at the piece."""

    entry: Entry
    steps: tuple[Step, ...]
    stories: tuple[Story, ...]
    checks: tuple[Check, ...]
    closely: tuple[Closeness, ...]
    before: Before


@dataclass(frozen=True)
class PiecePage:
    """All that a piece's page shows."""

    subject: Subject
    fresh: Shown | None
    fresh_words: str
    latest: Shown | None
    latest_words: str
    lives: tuple[Life, ...]
    spares: tuple[Spare, ...]
    sets: tuple[SisterSet, ...]
    neighbours: tuple[tuple[str, tuple[Neighbour, ...]], ...]
    problems: tuple[Problem, ...]
    rests_on: tuple[tuple[Look, tuple[str, ...]], ...]  # with what the ledger says of each
    notes: tuple[tuple[str, tuple[str, ...]], ...]  # sidecars, likewise
    missing: tuple[str, ...]  # what would have to be there for everything to be said
    series: tuple[SeriesRow, ...] = ()
    singles: tuple[str, ...] = ()  # what is not known of looks made only once

    @property
    def today(self) -> Life:
        return self.lives[-1]


def lay_out_piece(
    subject: Subject,
    findings: Findings,
    subjects: Mapping[str, Subject],
    sets: Sequence[SisterSet],
    maps: Mapping[str, Shown] | None = None,
    chains: Chains | None = None,
    series: tuple[SeriesRow, ...] = (),
) -> PiecePage:
    """The page of one piece; ``maps`` are the change maps drawn, by the name of their strand, and
    ``chains`` what the ledger says of each file,
    ``series`` the rows it stands in."""
    lead = subject.strands[0] if subject.strands else None
    fresh = lead.fresh if lead else None
    latest = lead.latest if lead and lead.latest != fresh else None
    if not fresh and not latest:
        latest = subject.leading
    lives = tuple(_live(subject, entry, findings, maps or {}) for entry in subject.entries)
    return PiecePage(
        subject,
        subject.show(fresh),
        _say_when(fresh, "Chosen look"),
        subject.show(latest),
        _say_when(latest, "Latest"),
        lives,
        list_spares(subject),
        tuple(s for s in sets if subject.number in (s.sealed.number, s.bare.number)),
        _list_neighbours(subject, findings, subjects),
        problems_of(subject, findings),
        tuple((look, _tell_chain(look, chains or {}, findings)) for look in _list_looks(lives)),
        _list_notes(subject, chains or {}),
        tuple(dict.fromkeys(what for strand in subject.strands for what in strand.missing)),
        series,
        _list_singles(subject, findings),
    )


def _list_notes(subject: Subject, chains: Chains) -> tuple[tuple[str, tuple[str, ...]], ...]:
    files = dict.fromkeys(entry.file for entry in subject.entries)
    return tuple((file, tell_chain(chains.get(file, ()))) for file in files)


def _tell_chain(look: Look, chains: Chains, findings: Findings) -> tuple[str, ...]:
    return tell_photo(look, chains) if findings.audience.sees("ledger") else ()


def _live(subject: Subject, entry: Entry, findings: Findings, maps: Mapping[str, Shown]) -> Life:
    attempt = entry.piece.attempt
    strands = [s for s in (*subject.earlier, *subject.strands) if s.entry.piece.attempt == attempt]
    return Life(
        entry,
        list_steps(entry, findings.library.settings.prices),
        tuple(tell_story(subject, strand, findings) for strand in strands),
        entry.piece.checks,
        tuple(_look_closely(subject, strand, maps) for strand in strands),
        lay_out_before(entry, entry.withheld),
    )


def _look_closely(subject: Subject, strand: Strand, maps: Mapping[str, Shown]) -> Closeness:
    return Closeness(
        strand.zone,
        look_closely(strand),
        show_change(subject, strand, maps),
        strand.change_withheld,
    )


def _list_singles(subject: Subject, findings: Findings) -> tuple[str, ...]:
    own = findings.singles_of(subject.number)
    return tuple(dict.fromkeys(one.words for one in own if one.strand.entry is subject.entry))


def _say_when(look: Look | None, role: str) -> str:
    if look is None:
        return ""
    state = f", {look.state}" if look.state else ""
    return f"{role}: {say_moment(look)}{state}"


def _list_neighbours(
    subject: Subject, findings: Findings, subjects: Mapping[str, Subject]
) -> tuple[tuple[str, tuple[Neighbour, ...]], ...]:
    """Pieces that differ by one thing, under that thing; repeats come last."""
    found: dict[str, list[Neighbour]] = {}
    for pair in findings.pairs_of(subject.number):
        for mine, other, value, theirs in (
            (pair.a, pair.b, pair.value_a, pair.value_b),
            (pair.b, pair.a, pair.value_b, pair.value_a),
        ):
            neighbour = subjects.get(other.entry.piece.piece)
            if mine.entry.piece.piece != subject.number or neighbour is None:
                continue
            if neighbour is subject:
                continue
            found.setdefault(pair.factor, []).append(
                Neighbour(
                    neighbour,
                    neighbour.show(other.fresh, zone_only=True),
                    value,
                    theirs,
                    mine.zone,
                    pair,
                    _say_covered(other, mine),
                )
            )
    return tuple(
        (FACTOR_TITLES.get(factor, factor), tuple(found[factor]))
        for factor in sorted(found, key=lambda factor: (not factor, factor))
    )


def _say_covered(other: Strand, mine: Strand) -> tuple[str, str] | None:
    said = say_covered(other.fresh), say_covered(mine.fresh)
    return None if said[0] == said[1] == say_covered(None) else said


def problems_of(subject: Subject, findings: Findings) -> tuple[Problem, ...]:
    """What is to be put right; not what a recipe forbids, which may be kept private and stands with
    the recipe where it is not."""
    folders = {entry.file.rpartition("/")[0] for entry in subject.entries}
    problems = {problem for folder in folders for problem in findings.problems_in(folder)}
    return tuple(sorted(problem for problem in problems if not is_warning(problem)))


def _list_looks(lives: Sequence[Life]) -> tuple[Look, ...]:
    """One look a photograph, whichever zone: what its date and state rest on."""
    looks = {
        look.observation.file.path: look
        for life in lives
        for story in life.stories
        for look in story.strand.looks
    }
    return tuple(looks.values())
