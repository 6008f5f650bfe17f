"""The commands ``patinarium check · preview``, and how a site is made."""

from __future__ import annotations

import datetime as dt
import logging
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import click

from builder.archive.site_zips import pack_site
from builder.changeover import zip_beside
from builder.errors import LibraryError, PatinariumError, Problem, SiteError, Weight
from builder.pipeline import Gathered, choose_day, gather
from builder.read.places import USUAL_PLUGINS
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
from builder.unchanged import Standing, lies_within
from builder.watching import follow, watch


@click.command()
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


@dataclass(frozen=True)
class Made:
    """A site that was made, what is said of it ``now`` and where it is found unchanged ``later``;
    ``self_contained``: nothing but the library's own folder went into it."""

    now: Standing
    later: Standing
    self_contained: bool


def make_site(library: Path, today: dt.date | None, audience: str, to_zip: bool) -> Made:
    """Make the site, ``to_zip`` as one file too. Raises :class:`PatinariumError`."""
    config, plugin = load_mkdocs(library, today, audience)
    plugin.to_zip = to_zip
    with show_progress() as progress:
        plugin.progress = progress
        run_mkdocs(config, plugin)
    gathered: Gathered = plugin.gathered
    left_out = say_left_out(gathered.findings, plugin.told)
    known = replace(gathered, opened=0, kept=gathered.opened + gathered.kept)

    def stand(counted: Gathered) -> Standing:
        words = f"{_sum_up(counted)}\n{left_out}"
        return Standing(plugin.site, gathered.findings.problems, words)

    if to_zip:
        pack_site(plugin.site, zip_beside(plugin.site), plugin.settings.title)
    contained = _is_self_contained(config, find_settings(library).parent)
    return Made(stand(gathered), stand(known), contained)


def _is_self_contained(config: Any, root: Path) -> bool:
    folders = [Path(config.docs_dir), *map(Path, config.theme.dirs)]
    own = [place for place in folders if not place.resolve().is_relative_to(Path(sys.prefix))]
    return (
        lies_within(root, own)
        and not config.hooks
        and {name.rpartition("/")[2] for name in config.plugins} <= USUAL_PLUGINS
    )


@click.command()
@library_argument
@today_option
@for_option
@click.option("--port", default=8000, show_default=True, help="Port on this machine.")
@click.option("--open/--no-open", "open_browser", default=True, help="Open a browser.")
def preview(
    library: Path, today: dt.date | None, audience: str, port: int, open_browser: bool
) -> None:
    """Show LIBRARY in a browser and follow each saved change.

    The page of a sidecar is shown at once, the rest of the site when it has been quiet for a
    moment. A sidecar that cannot be used leaves its last good page. Seen by this machine alone.
    Stop with Ctrl-C.

    \b
    Example: patinarium preview my-library
    """
    with said():
        find_settings(library)
        from builder.previewing.preview import show_preview

        def load(folder: Path) -> tuple[Any, Any]:
            return load_mkdocs(library, today, audience, site_dir=str(folder))

        show_preview(library, load, run_mkdocs, port, open_browser)


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


def load_mkdocs(
    library: Path, today: dt.date | None, audience: str, **other: str
) -> tuple[Any, Any]:
    """The site generator's settings, with some ``other`` than written, and our plugin in them."""
    file = find_settings(library)
    choose_audience(audience, read_settings_file(library))
    from mkdocs.config import load_config
    from mkdocs.exceptions import ConfigurationError

    logging.getLogger("mkdocs").setLevel(logging.ERROR)
    try:
        config = load_config(str(file), **other)
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


def run_mkdocs(config: Any, plugin: Any) -> None:
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
