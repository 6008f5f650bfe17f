"""The photographs of one zone as looks: dated, told apart, each usable or not and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from builder.errors import Problem
from builder.records.photo import (
    ColourShare,
    Evidence,
    Light,
    Observation,
    State,
    StateFrom,
)
from builder.records.piece import Entry
from builder.relate.dating import Dated
from builder.relate.findings import Look
from builder.relate.following import find_again, follow_colour
from builder.relate.states import infer_states
from builder.relate.timeline import Timeline

#: States that show something else than the dry colour.
_OTHER_STATES = {
    State.BARE: "shows the metal before colouring",
    State.CLEANED: "shows the cleaned metal before colouring",
    State.DURING: "taken while it was being coloured or drying",
    State.WET: "wet: never compared with dry",
    State.EVENT: "shows an event, not a check",
    State.FAILURE_DETAIL: "a detail of a failure, not a check",
}
_UNCOLOURED = (State.BARE, State.CLEANED, State.DURING)
COLOUR_LOST = "the colour followed is not found in it"


def draw_looks(
    zone: str,
    dated: Sequence[tuple[Observation, Dated]],
    timeline: Timeline,
    sealed: bool,
    strays: Mapping[str, str],
) -> tuple[Look, ...]:
    """Every photograph of the zone as a look, by date, those without one last; no colour yet."""
    ordered = sorted(dated, key=_by_date)
    told = [observation.file.state for observation, _ in ordered]
    states = infer_states([d.taken for _, d in ordered], told, timeline, sealed)
    looks = []
    for (observation, day), state in zip(ordered, states, strict=True):
        file = observation.file
        reading = next((r for r in observation.readings if r.zone == zone), None)
        stray = strays.get(file.path, "")
        look = Look(
            observation=observation,
            zone=zone,
            taken=day.taken,
            taken_from=day.taken_from,
            state=state,
            state_from=file.state_from if file.state is not None else _from_dates(state),
            days_since_coloured=_days(timeline.coloured_on, day.taken),
            days_since_sealed=_days(timeline.sealed_on, day.taken) if sealed else None,
            reading=None if stray else reading,
            colour=None,
            share=None,
        )
        why = stray or day.doubt or _why_unlike(look, timeline, sealed) or _why_unread(look)
        looks.append(replace(look, excluded=why))
    return _keep_one_light(tuple(looks))


def find_contradictions(
    entry: Entry, looks: Sequence[Look], timeline: Timeline
) -> tuple[Problem, ...]:
    """Photographs called before or after sealing on the wrong side of the day of sealing."""
    return tuple(
        Problem(
            look.observation.file.path,
            0,
            f"called {look.state} but taken {look.taken}; sealed {timeline.sealed_on}",
            "a state that agrees with the day of sealing",
            f"put right the date of sealing or the photograph's state in {entry.file}",
        )
        for look in looks
        if _contradicts(look, timeline)
    )


def doubt_bare(
    looks: tuple[Look, ...], entry: Entry
) -> tuple[tuple[Look, ...], tuple[Problem, ...]]:
    """Looks of a piece its notes call bare, kept out of comparison from the first one on that a
    photograph calls ``after seal``: what sealing did would be taken for what time did."""
    at = next((i for i, look in enumerate(looks) if look.state is State.AFTER_SEAL), None)
    if at is None:
        return looks, ()
    why = "a photograph says it was sealed by then, the notes say it was left bare"
    doubted = (replace(look, excluded=look.excluded or why) for look in looks[at:])
    problem = Problem(
        looks[at].observation.file.path,
        0,
        "called after seal, but the notes say it was left bare",
        "the sealant and its date in the notes, or another state",
        f"put right {entry.file} or the photograph's name; till then nothing after it counts",
    )
    return (*looks[:at], *doubted), (problem,)


def colour_looks(
    looks: Sequence[Look], chosen: Look | None, share: float | None
) -> tuple[Look, ...]:
    """``looks`` with the followed colour in each that can carry a figure.

    ``chosen`` is the look the colour is chosen at, and ``share`` the part of the area, 0 to 1, that
    the maker says it covered. Looks that are not compared are matched with the comparable one
    before them and do not lead the way.
    """
    chain = [look for look in looks if not look.excluded]
    at = next((i for i, look in enumerate(chain) if look is chosen), 0)
    followed = follow_colour([_colours(look) for look in chain], at, share)
    found = {id(look): colour for look, colour in zip(chain, followed, strict=True)}
    coloured = []
    last: Look | None = next((look for look in chain if found[id(look)] is not None), None)
    for look in looks:
        if not look.excluded:
            colour = found[id(look)]
            lost = "" if colour else COLOUR_LOST
            coloured.append(_with(look, colour, lost))
            last = look if colour else last
        elif _why_unread(look):
            coloured.append(look)
        elif look.state in _UNCOLOURED or last is None:
            coloured.append(_with(look, _colours(look)[0], look.excluded))
        else:
            before = found[id(last)]
            index = next(i for i, c in enumerate(_colours(last)) if c is before)
            again = find_again(_colours(last), index, _colours(look))
            seen = None if again is None else _colours(look)[again]
            coloured.append(_with(look, seen, look.excluded))
    return tuple(coloured)


def _with(look: Look, colour: ColourShare | None, excluded: str) -> Look:
    if colour is None:
        return replace(look, excluded=excluded)
    return replace(look, colour=colour.lab, share=colour.share, excluded=excluded)


def _colours(look: Look) -> tuple[ColourShare, ...]:
    return look.reading.colours if look.reading is not None else ()


def _by_date(dated: tuple[Observation, Dated]) -> tuple[dt.date, dt.datetime, str]:
    observation, day = dated
    moment = observation.picture.exif.taken
    return (
        day.taken or dt.date.max,
        dt.datetime.max if moment is None else moment.replace(tzinfo=None),
        observation.file.path,
    )


def _from_dates(state: State | None) -> StateFrom | None:
    return None if state is None else StateFrom.DATES


def _days(since: dt.date | None, day: dt.date | None) -> int | None:
    if since is None or day is None or day < since:
        return None
    return (day - since).days


def _why_unlike(look: Look, timeline: Timeline, sealed: bool) -> str:
    """Why the photograph shows something that is not compared, or ""."""
    file = look.observation.file
    if file.side != "front":
        return f"shows the {file.side}: only fronts are compared"
    if file.light is Light.RAKING:
        return "raking light: shows texture, not colour"
    if look.state is None:
        return "its state is not told, and its date does not say"
    if look.state in _OTHER_STATES:
        return _OTHER_STATES[look.state]
    if sealed and _contradicts(look, timeline):
        return "its state and the date of sealing disagree"
    return "still curing" if sealed and _cures(look, timeline) else ""


def _why_unread(look: Look) -> str:
    """Why no figure is drawn from the photograph, or ""."""
    reading = look.reading
    if reading is None:
        sheet = look.observation.sheet
        return (sheet.rejected if sheet else "") or "no place of the piece is known in it"
    if reading.withheld:
        return reading.withheld
    if reading.evidence is Evidence.NONE:
        return _card_fault(look.observation) or "no reference card in it"
    if reading.evidence is Evidence.SHEET:
        fault = _card_fault(look.observation)
        return fault or "only white paper to go by: its set-up names no card"
    return "" if reading.colours else "no colour could be read from it"


def _card_fault(observation: Observation) -> str:
    return "" if observation.card is None else observation.card.rejected


def _cures(look: Look, timeline: Timeline) -> bool:
    sealed_on, cured_on = timeline.sealed_on, timeline.cured_on
    if look.taken is None or sealed_on is None or cured_on is None:
        return False
    wet = look.state in (State.AFTER_SEAL, State.RECHECK)
    return wet and sealed_on <= look.taken < cured_on


def _contradicts(look: Look, timeline: Timeline) -> bool:
    if look.taken is None or timeline.sealed_on is None:
        return False
    if look.state is State.BEFORE_SEAL:
        return look.taken > timeline.sealed_on
    return look.state is State.AFTER_SEAL and look.taken < timeline.sealed_on


def _keep_one_light(looks: tuple[Look, ...]) -> tuple[Look, ...]:
    """Only one light is compared: the one with more looks, plain where they tie."""
    lights = [look.observation.file.light for look in looks if not look.excluded]
    if len(set(lights)) < 2:
        return looks
    crossed = lights.count(Light.CROSS_POLARISED)
    kept = Light.CROSS_POLARISED if crossed > lights.count(Light.PLAIN) else Light.PLAIN
    return tuple(
        look
        if look.excluded or (light := look.observation.file.light) is kept
        else replace(look, excluded=f"{light}: not compared with {kept} light")
        for look in looks
    )
