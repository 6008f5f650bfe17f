"""The command ``patinarium start``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from builder.collect.starting import start_library
from builder.commands.photo_start import start_from_photos
from builder.said import (
    said,
)


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@click.option("--title", default="My patinarium", show_default=True, help="Name of the library.")
@click.option(
    "--from-photos",
    "photos",
    default=None,
    metavar="PHOTOS",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Begin with a folder of photographs: their labels, folders or names say the pieces.",
)
def start(folder: Path, title: str, photos: Path | None) -> None:
    """Start a library in FOLDER.

    Makes settings, one piece to fill in and room for your own pages; nothing is written over. With
    --from-photos it makes a piece of each label, folder or number among PHOTOS, and copies them.

    \b
    Example: patinarium start bell-tests --title "Bell tests"
    Example: patinarium start bell-tests --from-photos /media/phone/DCIM
    """
    with said():
        day = dt.datetime.now(tz=dt.UTC).date()
        if photos:
            start_from_photos(folder, title, photos, day)
            return
        made = start_library(folder, title, day)
        for path in made:
            click.echo(f"made {path}")
        click.echo(f"Next: put photographs into {made[1].parent}, then: patinarium build {folder}")
