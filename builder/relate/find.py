"""Everything that can be found out about a library, in one go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

from builder.errors import Problem
from builder.recent import Recent
from builder.records.library import Library
from builder.records.photo import Observation
from builder.records.piece import Entry
from builder.records.plans import list_planned
from builder.relate.cautions import warn_of
from builder.relate.effects import find_effects
from builder.relate.factors import list_factors
from builder.relate.failures import find_instead, list_failures
from builder.relate.filing import Attempt, file_photos, find_strays
from builder.relate.findings import Findings, Strand
from builder.relate.memory import Memory
from builder.relate.pairs import find_near, find_pairs
from builder.relate.repeats import find_repeats, find_singles
from builder.relate.series import draw_series, find_rows
from builder.relate.sisters import find_sisters
from builder.relate.strands import draw_strands
from builder.relate.strangers import find_odd, name_strangers
from builder.relate.undisturbed import undisturbed

Story = tuple[tuple[Strand, ...], tuple[Problem, ...]]


@undisturbed()
def find_findings(
    library: Library,
    observations: Sequence[Observation],
    today: dt.date,
    memory: Memory | None = None,
    recent: Recent | None = None,
) -> Findings:
    """What ``observations`` of the ``library`` come to on the day ``today``; ``memory`` knows
    answers of earlier runs, ``recent`` the stories drawn before in this process.

    ``problems`` are those found here; the library's own stay with the library. The order of
    ``observations`` does not matter.
    """
    recent, memory = recent or Recent(), memory or Memory()
    observations = sorted(observations, key=lambda o: o.file.path)
    filed = file_photos(library.entries, observations)
    strays, stray_problems = recent.recall(
        "strays",
        (_mark_each(observations, recent), library.ledger),
        lambda: find_strays(observations, library.ledger, memory.away),
    )
    drawn, problems = _draw_all(library, filed, strays, today, memory, recent)
    ahead = list_planned(library.entries, library.photos)
    warnings = (problem for entry in library.entries for problem in warn_of(entry))
    return compare_all(
        Findings(
            library=library,
            today=today,
            observations=tuple(observations),
            strands=tuple(strand for strand in drawn if _key(strand.entry) not in ahead),
            sisters=(),
            pairs=(),
            failures=(),
            problems=tuple(sorted({*stray_problems, *problems, *warnings})),
            strays=strays,
            planned=tuple(strand for strand in drawn if _key(strand.entry) in ahead),
        )
    )


def compare_all(findings: Findings) -> Findings:
    """The findings with all that comes of holding their strands against each other."""
    library, strands = findings.library, findings.strands
    factors = [list_factors(strand, library.settings.tolerances) for strand in strands]
    near = find_near(factors)
    rows = find_rows(factors, near)
    pairs = find_pairs(strands, factors, near)
    repeats = find_repeats(strands, factors, near, pairs)
    sisters, sister_problems = find_sisters(strands, factors, near)
    return replace(
        findings,
        sisters=sisters,
        pairs=pairs,
        failures=find_instead(list_failures(library.entries), strands, factors),
        problems=tuple(sorted({*findings.problems, *sister_problems})),
        series=draw_series(rows, strands, factors),
        effects=find_effects(strands, rows, near),
        repeats=repeats,
        singles=find_singles(strands, factors, repeats),
    )


def mark_pieces(findings: Findings, recent: Recent) -> dict[str, str]:
    """For each piece a word that is another whenever anything is that is known of it by itself: its
    records, its photographs and their stories."""
    known: dict[str, list[object]] = {}
    for entry in findings.library.entries:
        known.setdefault(entry.piece.piece, []).append(entry)
    for strand in (*findings.strands, *findings.planned):
        known[strand.entry.piece.piece].append(strand)
    for seen in findings.observations:
        stray = findings.strays.get(seen.file.path)
        known.setdefault(seen.file.piece, []).extend((seen, stray))
    return {piece: recent.mark(("piece", (piece, 0)), all_) for piece, all_ in known.items()}


def _mark_each(observations: Sequence[Observation], recent: Recent) -> list[str]:
    """A word for the photographs of each piece, another whenever one of them is."""
    seen: dict[str, list[Observation]] = {}
    for one in observations:
        seen.setdefault(one.file.piece, []).append(one)
    return [recent.mark(("observed", (piece, 0)), some) for piece, some in seen.items()]


def _key(entry: Entry) -> Attempt:
    return entry.piece.piece, entry.piece.attempt


def _draw_all(
    library: Library,
    filed: Mapping[Attempt, tuple[Observation, ...]],
    strays: Mapping[str, str],
    today: dt.date,
    memory: Memory,
    recent: Recent,
) -> Story:
    """Every strand of the library, and what to put right. A story in which another piece's
    photograph is found for sure is drawn once more without it."""
    threshold = library.settings.threshold

    def draw(entry: Entry, strays: Mapping[str, str], time: str) -> Story:
        photos = filed.get(_key(entry), ())
        own = {path: strays[path] for o in photos if (path := o.file.path) in strays}
        return recent.recall(
            (time, _key(entry)),
            (entry, photos, own, today, threshold),
            lambda: draw_strands(entry, photos, own, today, threshold, memory),
        )

    first = [draw(entry, strays, "first drawn") for entry in library.entries]
    among = [strand for drawn, _ in first for strand in drawn]
    strands: list[Strand] = []
    problems: list[Problem] = []
    for entry, (drawn, found) in zip(library.entries, first, strict=True):
        odd = recent.recall(
            ("odd", _key(entry)), (drawn, threshold), partial(find_odd, drawn, threshold, memory)
        )
        strangers = name_strangers(odd, among, memory)
        problems.extend(stranger.as_problem() for stranger in strangers)
        sure = {one.observation.file.path: one.words for one in strangers if one.sure}
        if sure:
            drawn, found = draw(entry, {**sure, **strays}, "drawn without strangers")
        strands.extend(drawn)
        problems.extend(found)
    return tuple(strands), tuple(problems)
