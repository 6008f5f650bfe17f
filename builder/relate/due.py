"""When each piece is to be looked at again, and how the rechecks before that went.

The schedule counts from the day a watch opens: sealed, the first day after the cure; bare, or where
the finish is its own sealant, the day it was dry. It is followed by the calendar, and the days that
really passed are counted. Schedule and tolerance: common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from builder.records.photo import DateFrom, State
from builder.records.piece import Entry
from builder.records.plain_names import name_plainly
from builder.records.settings import Settings
from builder.records.spans import Span
from builder.relate.findings import Findings, Look, Strand
from builder.relate.timeline import draw_timeline

_COUNTS = (State.RECHECK, State.AFTER_SEAL, State.DRY)
_GONE = ("lost", "stripped")
_HEAT = ("heat colour", "heat tint", "torch tint")
#: A look may be this part of the time since the slot before it early, or late, and be in time.
TOLERANCE = 10
_YEAR = 12  # months


@dataclass(frozen=True)
class Slot:
    """One recheck of the schedule, due on ``day``. The first look from ``opens`` up to the day
    before ``closes`` meets it; one up to ``in_time`` is not called late."""

    span: Span
    day: dt.date
    opens: dt.date
    in_time: dt.date
    closes: dt.date


@dataclass(frozen=True)
class Past:
    """A slot that was met, by a look on ``met_on``, or whose time passed with none (None).

    ``days_late`` are real days after its day, below 0 before it; None where it was missed.
    ``late``: later than is called in time. ``zones`` are those it is told of, () for the whole.
    """

    slot: Slot
    met_on: dt.date | None
    days_late: int | None
    late: bool
    words: str
    zones: tuple[str, ...] = ()

    @property
    def missed(self) -> bool:
        return self.met_on is None


@dataclass(frozen=True)
class Due:
    """What is due of one attempt at one piece, or of those ``zones`` of it (() for the whole) that
    are due on one day.

    ``next`` is the slot to be met now or next and ``days_late`` the days since its day, below 0
    while it is to come; None where nothing is due: the reason is in ``untold`` ("the day of sealing
    is not written") or ``gone`` ("lost"), a word or sentence. ``looked_on`` is the last day it was
    looked at and ``last`` the last photograph that shows it.
    """

    entry: Entry
    zones: tuple[str, ...]
    opened: dt.date | None
    next: Slot | None
    days_late: int | None
    past: tuple[Past, ...]
    looked_on: dt.date | None
    last: Look | None
    untold: str = ""
    gone: str = ""

    @property
    def name(self) -> str:
        """How it is called in lists: "SH-024 left, right", "SH-007 attempt 2"."""
        piece = self.entry.piece
        attempt = f" attempt {piece.attempt}" if piece.attempt != 1 else ""
        return f"{piece.piece}{attempt} {', '.join(self.zones)}".rstrip()

    @property
    def overdue(self) -> bool:
        return self.days_late is not None and self.days_late > 0


def find_due(findings: Findings) -> tuple[Due, ...]:
    """What is due of every attempt, in the order of the library; zones of one piece that are due on
    one day are told together."""
    told: dict[tuple[object, ...], Due] = {}
    for due in watch_zones(findings):
        when = id(due.entry), due.untold, due.gone, due.next and due.next.day
        told[when] = _join(told[when], due) if when in told else due
    return tuple(told.values())


def watch_zones(findings: Findings) -> tuple[Due, ...]:
    """What is due, zone by zone."""
    last: dict[str, int] = {}
    for strand in findings.strands:
        piece = strand.entry.piece
        last[piece.piece] = max(last.get(piece.piece, 0), piece.attempt)
    return tuple(
        watch(strand, findings.library.settings, findings.today, findings.strays)
        if strand.entry.piece.attempt == last[strand.entry.piece.piece]
        else _without(strand, gone="coloured again")
        for strand in findings.strands
    )


def watch(strand: Strand, settings: Settings, today: dt.date, strays: Collection[str] = ()) -> Due:
    """What is due of one zone on the day ``today``; ``strays`` are paths of photographs that do not
    show it."""
    outcome = strand.entry.piece.outcome.value
    if outcome in _GONE:
        return _without(strand, gone=outcome)
    opened = _open_watch(strand)
    if opened is None:
        return _without(strand, untold=_say_untold(strand))
    shown = {
        look.taken: look
        for look in strand.looks
        if look.taken is not None
        and look.taken <= today
        and look.observation.file.path not in strays
        and _shows_it(look)
    }
    noted = {day for day in _noted(strand.entry) if day <= today}
    days = sorted(noted | set(shown))
    past: list[Past] = []
    coming: Slot | None = None
    for slot in draw_slots(opened, settings, strand.entry):
        met = next((day for day in days if slot.opens <= day < slot.closes), None)
        if met is None and today < slot.closes:
            coming = slot
            break
        past.append(_tell(slot, met, opened, met in shown))
    return Due(
        entry=strand.entry,
        zones=(strand.zone,) if strand.zone else (),
        opened=opened,
        next=coming,
        days_late=None if coming is None else (today - coming.day).days,
        past=tuple(replace(one, zones=(strand.zone,) if strand.zone else ()) for one in past),
        looked_on=max(days, default=None),
        last=shown[max(shown)] if shown else None,
    )


def draw_slots(opened: dt.date, settings: Settings, entry: Entry) -> Iterator[Slot]:
    """The schedule of a piece whose watch opened on that day, by date, as far as the calendar goes.

    A slot's time begins a tenth of the time since the slot before early, a day at least, and never
    on that slot's own day; it ends where the next one's begins.
    """
    plan = _plan(opened, settings, heat=is_heat_colour(entry))
    before = opened
    span, day = next(plan)
    for next_span, next_day in plan:
        opens = day - dt.timedelta(days=min(_allow(before, day), (day - before).days - 1))
        in_time = day + dt.timedelta(days=_allow(before, day))
        early = min(_allow(day, next_day), (next_day - day).days - 1)
        yield Slot(span, day, opens, in_time, next_day - dt.timedelta(days=early))
        before, span, day = day, next_span, next_day


def sort_by_day(dues: Iterable[Due]) -> tuple[Due, ...]:
    """Those of which something is due, longest overdue first; ties as they were."""
    told = [(due.next.day, due) for due in dues if due.next]
    return tuple(due for _, due in sorted(told, key=lambda pair: pair[0]))


def list_coming(due: Due, settings: Settings, until: dt.date) -> tuple[Slot, ...]:
    """The slot that is due next and those after it, up to the day ``until``; of one zone."""
    if due.next is None or due.opened is None:
        return ()
    coming = []
    for slot in draw_slots(due.opened, settings, due.entry):
        if slot.day > until:
            break
        if slot.day >= due.next.day:
            coming.append(slot)
    return tuple(coming)


def is_heat_colour(entry: Entry) -> bool:
    """Whether the colour is heat's own work, and so moves in its first week."""
    method = name_plainly(entry.piece.method.written).replace("color", "colour")
    return any(name in method for name in _HEAT)


def say_next(due: Due) -> str:
    """``12 months, due on 2025-10-16`` · ``12 months, overdue by 16 days``; "" for none."""
    if due.next is None or due.days_late is None:
        return ""
    if due.days_late > 0:
        return f"{due.next.span.words}, overdue by {_count(due.days_late)}"
    when = "today" if due.days_late == 0 else f"on {due.next.day}"
    return f"{due.next.span.words}, due {when}"


def _plan(opened: dt.date, settings: Settings, heat: bool) -> Iterator[tuple[Span, dt.date]]:
    """The schedule as (span, day), rising, each day once: what is set, then yearly."""
    usual = [(span.after(opened), span) for span in settings.rechecks]
    days = dict(usual)
    if heat:
        days = {span.after(opened): span for span in settings.rechecks_heat} | days
    last = max(days)
    for day in sorted(days):
        yield days[day], day
    for year in range(1, dt.MAXYEAR - opened.year):
        span = Span(months=_YEAR * year)
        if span.after(opened) > last:
            yield span, span.after(opened)


def _allow(before: dt.date, day: dt.date) -> int:
    """Days that a look may be early or late and be in time: a tenth, begun days whole."""
    return -(-(day - before).days // TOLERANCE)


def _open_watch(strand: Strand) -> dt.date | None:
    zone = next((z for z in strand.entry.piece.zones if z.name == strand.zone), None)
    timeline = draw_timeline(strand.entry.piece, zone)
    if _is_watched_sealed(strand):
        return timeline.cured_on or timeline.sealed_on
    return timeline.dried_on


def _is_watched_sealed(strand: Strand) -> bool:
    """Where the notes are silent on sealing, a photograph may still speak of it."""
    if strand.sealed is not None:
        return strand.sealed
    return any(look.observation.file.state is State.AFTER_SEAL for look in strand.looks)


def _say_untold(strand: Strand) -> str:
    if _is_watched_sealed(strand):
        return "the day of sealing is not written"
    return "the day it was coloured is not written"


def _without(strand: Strand, untold: str = "", gone: str = "") -> Due:
    """Nothing that is due."""
    zones = (strand.zone,) if strand.zone else ()
    return Due(strand.entry, zones, None, None, None, (), None, None, untold, gone)


def _shows_it(look: Look) -> bool:
    """Whether a photograph shows the dry front, on a day that rests on more than the file's own."""
    return (
        look.observation.file.side == "front"
        and look.state in _COUNTS
        and look.taken_from in (DateFrom.CAMERA, DateFrom.WRITTEN)
    )


def _noted(entry: Entry) -> Iterator[dt.date]:
    """Days on which the notes say it was looked at."""
    for check in entry.piece.checks:
        if check.date.value and (not check.state.given or check.state.value in _COUNTS):
            yield check.date.value.day


def _tell(slot: Slot, met: dt.date | None, opened: dt.date, photographed: bool) -> Past:
    if met is None:
        return Past(slot, None, None, False, f"{slot.span.words}: missed")
    late = (met - slot.day).days
    words = f"{slot.span.words}: {'taken' if photographed else 'noted'} at {_say_age(opened, met)}"
    if met <= slot.in_time:
        return Past(slot, met, late, False, words)
    return Past(slot, met, late, True, f"{words}, {_count(late)} late")


def _say_age(opened: dt.date, day: dt.date) -> str:
    """Whole months from two on, as the schedule has them, else days."""
    months = (day.year - opened.year) * 12 + day.month - opened.month
    while months > 0 and Span(months=months).after(opened) > day:
        months -= 1
    return f"{months} months" if months > 1 else _count((day - opened).days)


def _join(one: Due, other: Due) -> Due:
    past = list(one.past)
    for told in other.past:
        like = next((i for i, known in enumerate(past) if _same(known, told)), None)
        if like is None:
            past.append(told)
        else:
            past[like] = replace(past[like], zones=(*past[like].zones, *told.zones))
    return replace(
        one,
        zones=(*one.zones, *other.zones),
        past=tuple(sorted(past, key=lambda told: told.slot.day)),
        looked_on=max(filter(None, (one.looked_on, other.looked_on)), default=None),
        last=max(
            filter(None, (one.last, other.last)),
            key=lambda look: look.taken or dt.date.min,
            default=None,
        ),
    )


def _same(one: Past, other: Past) -> bool:
    return replace(one, zones=()) == replace(other, zones=())


def _count(days: int) -> str:
    return f"{days} day{'' if days == 1 else 's'}"
