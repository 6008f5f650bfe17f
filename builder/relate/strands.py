"""The story of one zone: its looks in order, where its watch began, and how far it went."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from builder.errors import Problem
from builder.records.facts import Known
from builder.records.photo import Box, Evidence, Observation, State
from builder.records.piece import Entry, Zone
from builder.records.zones import place_zones
from builder.relate.changes import map_change
from builder.relate.coverage import cover_looks
from builder.relate.dating import date_photo
from builder.relate.differences import compare_looks
from builder.relate.findings import Look, Strand
from builder.relate.looks import colour_looks, doubt_bare, draw_looks, find_contradictions
from builder.relate.memory import Memory
from builder.relate.rims import compare_rim
from builder.relate.synonyms import BARE, FINISH_SEALS, name_sealant
from builder.relate.timeline import Timeline, draw_timeline, sealant_of
from builder.relate.turned import find_turned, withhold_map
from builder.relate.verdicts import is_doubtful, judge_difference, say_verdict
from builder.relate.visible import find_visible_change


def draw_strands(
    entry: Entry,
    observations: Sequence[Observation],
    strays: Mapping[str, str],
    today: dt.date,
    threshold: float,
    memory: Memory | None = None,
) -> tuple[tuple[Strand, ...], tuple[Problem, ...]]:
    """One strand for each zone of an attempt, or one for the whole piece, and what to put right."""
    memory = memory or Memory()
    began = draw_timeline(entry.piece).started
    dated = [(o, date_photo(o, entry, began, today)) for o in observations]
    problems = [p for o, day in dated if o.file.path not in strays for p in day.problems]
    turned = {found.observation.file.path: found for found in find_turned(dated, strays, memory)}
    problems.extend(found.as_problem() for found in turned.values())
    zoned = bool(entry.piece.zones)
    unlike = {path: found.words for path, found in turned.items() if zoned or found.way is None}
    strays = {**unlike, **strays}
    strands = []
    for zone in entry.piece.zones or (None,):
        timeline = draw_timeline(entry.piece, zone)
        sealed = is_sealed(entry, zone)
        watched_sealed = sealed or (sealed is None and _shown_sealed(observations))
        looks = draw_looks(zone.name if zone else "", dated, timeline, watched_sealed, strays)
        if sealed:
            problems.extend(find_contradictions(entry, looks, timeline))
        elif zone is None and name_sealant(sealant_of(entry.piece, zone).kind.written) == BARE:
            looks, doubts = doubt_bare(looks, entry)
            problems.extend(doubts)
        strand = _draw_strand(entry, zone, looks, timeline, watched_sealed, threshold, memory)
        strands.append(withhold_map(strand, turned))
    return tuple(strands), tuple(sorted(set(problems)))


def is_sealed(entry: Entry, zone: Zone | None) -> bool | None:
    """Whether something lies over the colour; None where the sidecar does not tell.

    A finish that is its own sealant has nothing over it, and is watched from its first dry look.
    """
    kind = sealant_of(entry.piece, zone).kind
    if kind.known in (Known.MISSING, Known.UNKNOWN, Known.NOT_MEASURED):
        return None
    return name_sealant(kind.written) not in (BARE, FINISH_SEALS)


def name_strand(strand: Strand) -> str:
    """How a strand is called in tables: "SH-024 left", "SH-007 attempt 2"."""
    piece = strand.entry.piece
    attempt = f" attempt {piece.attempt}" if piece.attempt != 1 else ""
    zone = f" {strand.zone}" if strand.zone else ""
    return f"{piece.piece}{attempt}{zone}"


def _draw_strand(
    entry: Entry,
    zone: Zone | None,
    looks: tuple[Look, ...],
    timeline: Timeline,
    sealed: bool,
    threshold: float,
    memory: Memory,
) -> Strand:
    chosen = _find_fresh(looks, timeline, sealed) or _find_baseline(looks, timeline, sealed)
    looks = _look_closely(colour_looks(looks, chosen, _written_share(entry)))
    fresh = _find_fresh(looks, timeline, sealed)
    baseline = _find_baseline(looks, timeline, sealed)
    later = [
        look
        for look in looks
        if baseline is not None
        and not look.excluded
        and look.taken is not None
        and baseline.taken is not None
        and look.taken > baseline.taken
    ]
    drifts = tuple(compare_looks(baseline, look) for look in later) if baseline else ()
    sure = tuple(drift for drift in drifts if not is_doubtful(drift))
    latest = (sure or drifts)[-1] if drifts else None
    missing = _list_missing(entry, zone, looks, fresh, baseline, sealed, bool(drifts))
    kind = sealant_of(entry.piece, zone).kind
    return Strand(
        entry=entry,
        zone=zone.name if zone else "",
        sealant=name_sealant(kind.written) if kind.written and kind.known in _TOLD else "",
        sealed=is_sealed(entry, zone),
        looks=looks,
        fresh=fresh,
        baseline=baseline,
        latest=latest.second if latest else baseline,
        seal_cost=compare_looks(fresh, baseline) if sealed and fresh and baseline else None,
        drifts=drifts,
        verdict=judge_difference(latest, threshold),
        verdict_words=say_verdict(latest, threshold, missing),
        visible=find_visible_change(sure, threshold),
        missing=missing,
        change=map_change(latest, threshold, memory, _box_of(entry, zone)) if latest else None,
    )


def _look_closely(looks: Sequence[Look]) -> tuple[Look, ...]:
    return tuple(
        replace(look, rim=compare_rim(look.reading)) if look.reading and look.colour else look
        for look in cover_looks(looks)
    )


def _box_of(entry: Entry, zone: Zone | None) -> Box | None:
    return None if zone is None else dict(place_zones(entry.piece)).get(zone.name)


_NO_START = {
    True: "no photograph after the cure that can be compared",
    False: "no photograph of it dry that can be compared",
}
_TOLD = (Known.GIVEN, Known.UNREAD)


def _find_fresh(looks: Sequence[Look], timeline: Timeline, sealed: bool) -> Look | None:
    """The look that was chosen: the last before sealing; of a bare piece the first dry one."""
    if not sealed:
        return next((look for look in looks if not look.excluded), None)
    before = [look for look in looks if _lies_before_seal(look, timeline)]
    return before[-1] if before else None


def _find_baseline(looks: Sequence[Look], timeline: Timeline, sealed: bool) -> Look | None:
    """Where the watch begins: the first look after cure; of a bare piece the first dry one."""
    if not sealed:
        return _find_fresh(looks, timeline, sealed)
    return next((look for look in looks if _lies_after_cure(look, timeline)), None)


def _lies_before_seal(look: Look, timeline: Timeline) -> bool:
    if look.excluded or look.state in (State.AFTER_SEAL, None):
        return False
    if look.state is State.BEFORE_SEAL:
        return True
    if timeline.sealed_on is None or look.taken is None:
        return look.state is State.DRY
    return look.taken < timeline.sealed_on or (
        look.state is State.DRY and look.taken == timeline.sealed_on
    )


def _lies_after_cure(look: Look, timeline: Timeline) -> bool:
    if look.excluded or look.state in (State.BEFORE_SEAL, None):
        return False
    if look.state is State.AFTER_SEAL:
        return True
    if timeline.sealed_on is None or timeline.cured_on is None or look.taken is None:
        return look.state is State.RECHECK
    return look.taken >= timeline.cured_on and look.taken > timeline.sealed_on


def _shown_sealed(observations: Sequence[Observation]) -> bool:
    """Where the sidecar is silent on sealing, a photograph may still speak of it."""
    return any(o.file.state is State.AFTER_SEAL for o in observations)


def _written_share(entry: Entry) -> float | None:
    coverage = entry.piece.coverage_pct.value
    return None if coverage is None else coverage.number / 100


def _list_missing(
    entry: Entry,
    zone: Zone | None,
    looks: Sequence[Look],
    fresh: Look | None,
    baseline: Look | None,
    sealed: bool,
    rechecked: bool,
) -> tuple[str, ...]:
    """What would have to be there for everything to be said, in plain words."""
    if not looks:
        return ("no photograph",)
    missing = []
    readings = [look.reading for look in looks if look.reading is not None]
    carded = (Evidence.TARGET, Evidence.GREY)
    if not any(reading.evidence in carded for reading in readings):
        missing.append("no photograph with a card that could be used")
    if is_sealed(entry, zone) is None:
        missing.append("whether it was sealed is not written")
    if sealed and sealant_of(entry.piece, zone).date.value is None:
        missing.append("the day of sealing is not written")
    if sealed and fresh is None:
        missing.append("no photograph before sealing that can be compared")
    if baseline is None:
        missing.append(_NO_START[bool(sealed)])
    elif not rechecked:
        missing.append("no recheck yet")
    return tuple(missing)
