"""The command ``patinarium due``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from builder.errors import PrintError, Problem, Weight
from builder.ledger import read_ledger
from builder.pipeline import choose_day, gather
from builder.publish.due_calendar import write_calendar
from builder.read.settings import read_settings_file
from builder.relate.due import Due, Past, find_due, sort_by_day
from builder.relate.findings import Findings
from builder.safe_files import write_whole
from builder.said import (
    DAY,
    align,
    count_left_out,
    find_settings,
    library_argument,
    said,
    show_progress,
    today_option,
)

_AHEAD = dt.timedelta(days=30)
_BEGINS = b"BEGIN:VCALENDAR"


@click.command()
@library_argument
@click.option(
    "--by", type=DAY, default=None, metavar="DATE", help="Up to DATE; 30 days on if left out."
)
@today_option
@click.option(
    "--calendar",
    default=None,
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the rechecks of a year ahead to FILE (iCalendar).",
)
@click.option("--all", "everything", is_flag=True, help="Also list what was missed or late.")
def due(
    library: Path,
    by: dt.date | None,
    today: dt.date | None,
    calendar: Path | None,
    everything: bool,
) -> None:
    """Say which pieces of LIBRARY are to be looked at again, and when.

    Overdue first. A piece is looked at when its front is photographed dry, or an entry under checks
    in its note says so. Photographs that were not read yet are read.

    \b
    Example: patinarium due my-library --by 2026-03-01 --calendar rechecks.ics
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        day = choose_day(today, settings)
        # The whole of it: a camera's day goes before a written one, and a picture's own label may
        # say that it shows another piece. What is kept is not opened again.
        with show_progress() as progress:
            findings = gather(library, settings, day, progress).findings
        dues = find_due(findings)
        for line in _report(dues, day, by or min(day, dt.date.max - _AHEAD) + _AHEAD, everything):
            click.echo(line)
        if left := count_left_out(findings.problems):
            click.echo(f"{left} left out of this; patinarium check says what.", err=True)
        if calendar is not None:
            _keep_calendar(calendar, findings, library)


def _report(dues: Sequence[Due], today: dt.date, by: dt.date, everything: bool) -> Iterator[str]:
    order = sort_by_day(dues)
    overdue = [one for one in order if one.overdue]
    ahead = [one for one in order if not one.overdue and one.next and one.next.day <= by]
    untold = [one for one in dues if one.untold]
    lines = align([_cells(one) for one in (*overdue, *ahead)])
    yield f"Counted to {today}."
    yield from _head(f"Overdue: {len(overdue)}", lines[: len(overdue)])
    yield from _head(f"Due by {by}: {len(ahead)}", lines[len(overdue) :])
    if untold:
        cells = [(one.name, one.untold) for one in untold]
        yield from _head(f"Cannot be told: {len(untold)}", align(cells))
    yield ""
    yield from _tell_past(dues, everything)


def _head(title: str, lines: Sequence[str]) -> Iterator[str]:
    yield ""
    yield title
    yield from lines


def _cells(one: Due) -> tuple[str, ...]:
    if one.next is None:
        return ()
    late = "today" if one.days_late == 0 else ""
    if one.overdue:
        late = f"{one.days_late} day{'' if one.days_late == 1 else 's'} late"
    seen = f"last looked at {one.looked_on}" if one.looked_on else "not looked at yet"
    return (one.name, one.next.span.words, str(one.next.day), late, seen)


def _tell_past(dues: Sequence[Due], everything: bool) -> Iterator[str]:
    told = [(one, past) for one in dues for past in one.past if past.missed or past.late]
    missed = sum(past.missed for _, past in told)
    yield f"So far {missed} missed and {len(told) - missed} late" + (
        ":" if everything and told else "; --all lists them." if told else "."
    )
    if everything:
        rows = [(_name(one, past), str(past.slot.day), past.words) for one, past in told]
        yield from align(rows)


def _name(one: Due, past: Past) -> str:
    """The piece, and its zones where the recheck was not that of all of them."""
    return one.name if past.zones == one.zones else _of_zones(one, past)


def _of_zones(one: Due, past: Past) -> str:
    whole = one.name.removesuffix(", ".join(one.zones)).rstrip()
    return f"{whole} {', '.join(past.zones)}"


def _keep_calendar(file: Path, findings: Findings, library: Path) -> None:
    title = findings.library.settings.title
    content, events = write_calendar(findings, read_ledger(library).name or title)
    if not events:  # RFC 5545 3.6: at least one component
        click.echo(f"Nothing is due within a year: {file} was not written.")
        return
    try:
        if file.exists() and not file.read_bytes().startswith(_BEGINS):
            raise PrintError(_say_other(file))
        write_whole(file, content)
    except OSError as error:
        raise PrintError(
            Problem(
                file.as_posix(),
                0,
                f"could not be written ({error.strerror or error})",
                "a file in a folder you may write to",
                "name another one with --calendar, or change its permissions",
                Weight.STOPS,
            )
        ) from error
    click.echo(f"made {file}: {events} event{'' if events == 1 else 's'}")


def _say_other(file: Path) -> Problem:
    return Problem(
        file.as_posix(),
        0,
        "this file is here already and is no calendar",
        "no file, or an iCalendar file that is written anew",
        "name another one with --calendar",
        Weight.STOPS,
    )
