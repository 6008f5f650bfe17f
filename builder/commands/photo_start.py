"""``patinarium start --from-photos``: a library begun from a folder of photographs."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from builder.collect.photo_pieces import Begun, Shot, group_shots, write_begun
from builder.collect.sidecar_making import make_sidecar
from builder.collect.starting import start_library
from builder.errors import LibraryError, Problem, Weight
from builder.filing.intake import Handed, carry_out, look_at, plan_handed
from builder.filing.matching import Because, Match
from builder.filing.planning import Told
from builder.holding import STORE, hold
from builder.observing.glimpsing import Glimpse
from builder.pipeline import choose_day
from builder.read.editor_hints import hint_line
from builder.read.settings import read_settings_file
from builder.read.sidecar import SIDECAR
from builder.records.settings import Settings
from builder.said import print_problems, show_progress


def start_from_photos(folder: Path, title: str, photos: Path, today: dt.date) -> None:
    """Start a library in ``folder`` with a piece of each label, folder or number among ``photos``,
    and file these. Raises ``LibraryError`` where none tells a piece, with nothing made."""
    with show_progress() as progress:
        handed = look_at(folder, Settings(), [photos], progress)
    pieces, problems = group_shots(
        [_shoot(seen) for seen in handed.glimpses if seen.picture], photos
    )
    if not pieces:
        raise LibraryError([*(problems or (_say_none(photos),))])
    for path in start_library(folder, title, today, first_piece=False):
        click.echo(f"made {path}")
    settings = read_settings_file(folder)
    with hold(folder / STORE, "start"):
        for piece in pieces:
            file = f"{settings.samples}/{piece.number}/{SIDECAR}"
            make_sidecar(folder, file, write_begun(piece, hint_line(folder, settings.samples)))
            click.echo(f"{piece.number}: {len(piece.shots)} photographs{_say_days(piece)}")
        _file(folder, settings, handed, pieces, choose_day(None, settings))
    print_problems(problems)
    click.echo(
        f"Next: fill in the sidecars in {folder / settings.samples}; patinarium check {folder} "
        "--watch says what is left to fill in."
    )


def _file(
    folder: Path, settings: Settings, handed: Handed, pieces: tuple[Begun, ...], today: dt.date
) -> None:
    """Copy the photographs of the pieces, and no other."""
    of = {shot.source: piece.number for piece in pieces for shot in piece.shots}
    kept = tuple(seen for seen in handed.glimpses if seen.source in of or seen.picture is None)

    def tell(seen: Glimpse) -> Match | None:
        return Match(of[seen.source], _because(seen)) if seen.source in of else None

    wanted = Handed(handed.incoming, kept)
    with show_progress() as progress:
        intake = plan_handed(folder, settings, wanted, Told(), today, None, progress, tell)
        plan, _ = carry_out(intake, Told(), lambda: dt.datetime.now(tz=dt.UTC), progress)
    print_problems((*handed.incoming.problems, *plan.problems))
    there = f", {len(plan.there)} are copies of others" if plan.there else ""
    click.echo(f"{len(plan.filings)} photographs filed{there}. {_say_left(plan.problems)}")


def _say_left(problems: tuple[Problem, ...]) -> str:
    """What is said of the photographs as they lie."""
    left = f"{len(problems)} left. " if problems else ""
    return f"{left}What you handed over is as it was."


def _shoot(seen: Glimpse) -> Shot:
    picture = seen.picture
    taken = picture.exif.taken if picture else None
    return Shot(seen.source, picture.labels if picture else (), taken.date() if taken else None)


def _because(seen: Glimpse) -> Because:
    return Because.LABEL if seen.picture and seen.picture.labels else Because.NAME


def _say_days(piece: Begun) -> str:
    days = piece.days
    if not days:
        return ""
    return f", {days[0]}" if len(days) == 1 else f", {days[0]} to {days[-1]}"


def _say_none(photos: Path) -> Problem:
    return Problem(
        photos.as_posix(), 0, "there is no photograph in it that can be opened",
        "a folder of photographs", "name another; nothing was made", Weight.STOPS,
    )  # fmt: skip
