"""The commands: ``patinarium start · check · build · preview · import · new · add · due · find ·
plan · record · mark · print · bag · verify · restore``."""

from __future__ import annotations

import datetime as dt
import logging
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from builder import __version__
from builder.archive_commands import bag, restore, verify
from builder.collect.marking import mark_photo
from builder.collect.starting import start_library
from builder.due_commands import due
from builder.errors import LibraryError, PatinariumError, Problem, SiteError, Weight
from builder.filing_commands import add, record
from builder.find_commands import find
from builder.import_commands import import_table, new
from builder.photo_start import start_from_photos
from builder.pipeline import Gathered, choose_day, gather
from builder.plan_commands import plan
from builder.print_commands import print_sheets
from builder.read.settings import read_settings_file
from builder.said import (
    DONE,
    PROBLEMS,
    align,
    count_left_out,
    find_settings,
    for_option,
    library_argument,
    print_problems,
    said,
    show_progress,
    today_option,
)
from builder.telling import (
    choose_audience,
    count_lettering,
    list_doors,
    list_shown,
    say_left_out,
    tell,
)
from builder.watching import follow, watch

# The theme speaks of its own future on standard error at import; a maker need not read it.
os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="patinarium")
def cli() -> None:
    """A library of coloured-metal test pieces, from folders of photographs and notes.

    \b
    patinarium start my-library      begin one
    patinarium build my-library      make its site
    patinarium print jig             a sheet to photograph pieces on
    """


@cli.command()
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


@cli.command()
@library_argument
@today_option
@for_option
@click.option("--watch", "watched", is_flag=True, help="Go on looking at each change you save.")
def check(library: Path, today: dt.date | None, audience: str, watched: bool) -> None:
    """Say what is to be put right in LIBRARY, and build nothing.

    With --for, what those would be shown, what would be left out for them, and what photographs
    tell besides: by what the camera wrote, by their names and by what lies in the frame. With
    --watch it stays, and after each change you save says what is new and what was put right; stop
    with Ctrl-C.

    \b
    Example: patinarium check my-library
             patinarium check my-library --for clients
             patinarium check my-library --watch
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        wanted = choose_audience(audience, settings)
        with show_progress() as progress:
            gathered = gather(library, settings, choose_day(today, settings), progress)
        print_problems(gathered.findings.problems)
        click.echo(_sum_up(gathered))
        if audience:
            told = tell(gathered.findings, wanted)
            for lines in (list_shown, list_doors):
                for line in align(lines(gathered.findings, told)):
                    click.echo(line)
            click.echo(say_left_out(gathered.findings, told))
        if watched:
            _watch(library, today, gathered.findings.problems)
        sys.exit(PROBLEMS if count_left_out(gathered.findings.problems) else DONE)


@cli.command()
@library_argument
@today_option
@for_option
@click.option("--strict", is_flag=True, help="Exit with 1 if anything is to be put right.")
def build(library: Path, today: dt.date | None, audience: str, strict: bool) -> None:
    """Build LIBRARY's site: searchable, offline, opened by double-click.

    The last good site stays until the new one is whole. Unchanged photographs are not read again.
    With --for, a site of its own that lacks what those are not shown: site-for-clients.

    \b
    Example: patinarium build my-library
             patinarium build my-library --for clients
    """
    with said():
        config, plugin = _mkdocs(library, today, audience)
        with show_progress() as progress:
            plugin.progress = progress
            _make_site(config, plugin)
        gathered: Gathered = plugin.gathered
        print_problems(gathered.findings.problems)
        click.echo(_sum_up(gathered))
        click.echo(say_left_out(gathered.findings, plugin.told))
        click.echo(f"Open {(plugin.site / 'index.html').resolve()}")
        sys.exit(PROBLEMS if strict and gathered.findings.problems else DONE)


@cli.command()
@library_argument
@today_option
@for_option
@click.option("--port", default=8000, show_default=True, help="Port on this machine.")
@click.option("--open/--no-open", "open_browser", default=True, help="Open a browser.")
def preview(
    library: Path, today: dt.date | None, audience: str, port: int, open_browser: bool
) -> None:
    """Show LIBRARY in a browser and follow each saved change.

    Seen by this machine alone. Stop with Ctrl-C.

    \b
    Example: patinarium preview my-library
    """
    with said():
        file = find_settings(library)
        read_settings_file(library)
        from mkdocs.commands.serve import serve

        os.environ["PATINARIUM_FOR"] = choose_audience(audience, read_settings_file(library)).name
        if today:
            os.environ["PATINARIUM_TODAY"] = today.isoformat()
        logging.getLogger("mkdocs").setLevel(logging.INFO)
        logging.basicConfig(format="%(message)s", stream=sys.stderr)
        serve(str(file), dev_addr=f"127.0.0.1:{port}", open_in_browser=open_browser)


for _command in (add, due, find, import_table, new, plan, record, bag, verify, restore):
    cli.add_command(_command)
cli.add_command(print_sheets, "print")


@cli.command()
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


def _watch(library: Path, today: dt.date | None, first: Sequence[Problem]) -> None:
    """Look again at each change until Ctrl-C."""

    def look() -> Sequence[Problem]:
        try:
            settings = read_settings_file(find_settings(library).parent)
            return gather(library, settings, choose_day(today, settings)).findings.problems
        except PatinariumError as error:
            return error.problems

    click.echo("Watching. Stop with Ctrl-C.")
    try:
        with watch(library) as moments:
            follow(look, click.echo, moments, first)
    except KeyboardInterrupt:
        click.echo("")


def main() -> None:
    """The command's entry point."""
    cli(prog_name="patinarium")


def _mkdocs(library: Path, today: dt.date | None, audience: str) -> tuple[Any, Any]:
    """The site generator's settings and our plugin in them."""
    file = find_settings(library)
    choose_audience(audience, read_settings_file(library))
    from mkdocs.config import load_config
    from mkdocs.exceptions import ConfigurationError

    logging.getLogger("mkdocs").setLevel(logging.ERROR)
    try:
        config = load_config(str(file))
    except (ConfigurationError, SystemExit) as error:  # SystemExit: how MkDocs says "aborted"
        raise LibraryError(
            Problem(
                file.name,
                0,
                f"the site's settings cannot be used ({error})",
                "settings as MkDocs knows them",
                "see the lines above",
                Weight.STOPS,
            )
        ) from error
    plugin: Any = config.plugins["patinarium"]
    plugin.today, plugin.audience = today, audience
    return config, plugin


def _make_site(config: Any, plugin: Any) -> None:
    """Run MkDocs; what stopped our plugin is raised as itself, anything else as a ``SiteError``."""
    from mkdocs.commands.build import build as mkdocs_build

    # What our plugin stopped for is said by us, once.
    logging.getLogger("mkdocs.commands.build").addFilter(lambda record: plugin.failed is None)
    try:
        mkdocs_build(config)
    except (SystemExit, OSError) as error:
        if plugin.failed:
            raise plugin.failed from error
        raise SiteError(
            Problem(
                plugin.site.name,
                0,
                f"the site could not be made ({error})",
                "pages that MkDocs can render, and a disk with room",
                "see the lines above; the last site is as it was",
                Weight.STOPS,
            )
        ) from error


def _sum_up(gathered: Gathered) -> str:
    pieces = len({strand.entry.piece.piece for strand in gathered.findings.strands})
    planned = len({strand.entry.piece.piece for strand in gathered.findings.planned})
    photos = len(gathered.findings.observations)
    problems = gathered.findings.problems
    said = (
        f"{pieces} {'piece' if pieces == 1 else 'pieces'}"
        f"{f' and {planned} planned' if planned else ''}, "
        f"{photos} {'photograph' if photos == 1 else 'photographs'} ({gathered.opened} read, "
        f"{gathered.kept} unchanged); {len(problems)} to put right, "
        f"{count_left_out(problems)} of them left out."
    )
    if lettered := count_lettering(gathered.findings):
        said += f"\nWords may be read in the frame of {lettered} of them; check --for says where"
    if gathered.unrecorded:
        said += f"\nNot in the ledger yet: {gathered.unrecorded} of them; patinarium record"
    return said
