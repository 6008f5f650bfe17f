"""The command ``patinarium mark``."""

from __future__ import annotations

from pathlib import Path

import click

from builder.collect.marking import mark_photo
from builder.said import find_settings, said


@click.command()
@click.argument("library", type=click.Path(path_type=Path, file_okay=False))
@click.argument("photo", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--setup", default="", metavar="NAME", help="The set-up to mark; else the usual one.")
@click.option("--new", is_flag=True, help="Begin a set-up of this name.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    help="Port on this machine; else any free one.",
)
@click.option("--open/--no-open", "open_browser", default=True, help="Open a browser.")
def mark(library: Path, photo: Path, setup: str, new: bool, port: int, open_browser: bool) -> None:
    """Mark where piece and card lie in PHOTO, once for a set-up of LIBRARY.

    Opens a page that this machine alone sees; what is saved there goes into mkdocs.yml. Pictures of
    a jig sheet need no marking.

    \b
    Example: patinarium mark my-library samples/TP-001/fresh.jpg --setup bench
    """
    with said():
        find_settings(library)
        mark_photo(library, photo, setup, port, open_browser, click.echo, new)
