"""What is due as an iCalendar file (RFC 5545), to be taken into a calendar, again and again."""

from __future__ import annotations

import datetime as dt
import json
import uuid

from icalendar import Calendar, Event

from builder.records.spans import Span
from builder.relate.due import Due, Slot, list_coming, say_next, watch_zones
from builder.relate.findings import Findings

_PRODUCT = "-//Patinarium//Rechecks//EN"
_AHEAD = Span(months=12)
#: Our own, so that no other program's names can come to the same. Never changed: a calendar knows
#: an event again by it.
_NAMESPACE = uuid.UUID("6f1b0f52-6f0e-4a55-9a5d-2f6e0c6a2f3d")


def write_calendar(findings: Findings, library: str) -> tuple[bytes, int]:
    """The file's bytes and how many events it has: an all-day event for every zone and recheck that
    is due, up to a year after ``findings.today``. ``library`` names the library for good.

    An event keeps its UID (RFC 5545 3.8.4.7) as long as library, piece, attempt, zone and recheck
    stay what they are, whatever the day is: a second import changes it and adds none.
    """
    until = _AHEAD.after(findings.today)
    made = Calendar()
    made.add("prodid", _PRODUCT)
    made.add("version", "2.0")
    settings = findings.library.settings
    events = [
        _write_event(due, slot, library, findings.today)
        for due in watch_zones(findings)
        for slot in list_coming(due, settings, until)
    ]
    for event in events:
        made.add_component(event)
    return made.to_ical(), len(events)


def _write_event(due: Due, slot: Slot, library: str, today: dt.date) -> Event:
    event = Event()
    event.add("uid", name_event(due, slot, library))
    event.add("dtstamp", dt.datetime.combine(today, dt.time(), dt.UTC))
    event.add("dtstart", slot.day)
    event.add("summary", f"{due.name}: recheck, {slot.span.words}")
    event.add("description", _describe(due, slot, library))
    event.add("transp", "TRANSPARENT")  # a day with a recheck is not a day that is taken
    return event


def name_event(due: Due, slot: Slot, library: str) -> str:
    """The UID of one recheck of one zone: a name-based UUID (RFC 9562, version 5)."""
    piece = due.entry.piece
    zone = due.zones[0] if due.zones else ""
    named = [library, piece.piece, piece.attempt, zone, slot.span.months, slot.span.days]
    return str(uuid.uuid5(_NAMESPACE, json.dumps(named, ensure_ascii=True)))


def _describe(due: Due, slot: Slot, library: str) -> str:
    looked = f"last looked at {due.looked_on}" if due.looked_on else "not looked at yet"
    lines = [library, f"Counted from {due.opened}; {looked}."]
    if due.next == slot and due.overdue:
        lines.append(f"On {due.next.day + dt.timedelta(days=due.days_late or 0)}: {say_next(due)}.")
    lines.append("Front, dry, in the same set-up and view as last time.")
    return "\n".join(lines)
