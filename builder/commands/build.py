"""The command ``patinarium build``. What is slow to load is loaded where something has changed."""

from __future__ import annotations

import datetime as dt
import os
import sys
from pathlib import Path

import click

from builder.changeover import zip_beside
from builder.holding import STORE
from builder.said import (
    DONE,
    PROBLEMS,
    find_settings,
    for_option,
    library_argument,
    print_problems,
    said,
    today_option,
)
from builder.unchanged import find_standing, mark_inputs, note_standing


@click.command()
@library_argument
@today_option
@for_option
@click.option("--anew", is_flag=True, help="Make every page, even if nothing has changed.")
@click.option("--zip", "to_zip", is_flag=True, help="Also as one file to hand over, beside it.")
@click.option("--strict", is_flag=True, help="Exit with 1 if anything is to be put right.")
def build(
    library: Path,
    today: dt.date | None,
    audience: str,
    anew: bool,
    to_zip: bool,
    strict: bool,
) -> None:
    """Build LIBRARY's site: searchable, offline, opened by double-click.

    The last good site stays until the new one is whole. Unchanged photographs are not read again,
    and where nothing at all has changed the site is left as it stands.
    With --for, a site of its own that lacks what those are not shown: site-for-clients. With --zip,
    site-for-clients.zip beside it as well.

    \b
    Example: patinarium build my-library
             patinarium build my-library --for clients --zip
    """
    with said():
        root = find_settings(library).parent
        day = today.isoformat() if today else os.environ.get("PATINARIUM_TODAY", "")
        asked = {
            "audience": audience or os.environ.get("PATINARIUM_FOR", ""),
            "today": day or dt.datetime.now(tz=dt.UTC).date().isoformat(),
        }
        inputs = mark_inputs(root, asked)
        standing = None if anew or to_zip else find_standing(root / STORE, asked, inputs)
        if anew:
            from builder.carried import forget

            forget(root / STORE)
        if standing is None:
            from builder.commands.building import make_site

            made = make_site(library, today, audience, to_zip)
            if made.self_contained:
                note_standing(root / STORE, asked, inputs, made.later)
            standing = made.now
        else:
            click.echo("Nothing has changed since this site was made; it is left as it stands.")
        print_problems(standing.problems)
        click.echo(standing.words)
        click.echo(f"Open {(standing.site / 'index.html').resolve()}")
        packed = zip_beside(standing.site)
        if not to_zip and _is_older(packed, standing.site):
            click.echo(f"{packed} is of an earlier site: make it anew with --zip, or delete it.")
        if to_zip:
            size = packed.stat().st_size / 1e6
            click.echo(f"To hand over: {packed}, {size:.1f} MB, to be unzipped before it is opened")
        sys.exit(PROBLEMS if strict and standing.problems else DONE)


def _is_older(packed: Path, site: Path) -> bool:
    """Whether there is a zip file beside the site, and it was packed of one before."""
    if not packed.is_file():
        return False
    return packed.stat().st_mtime_ns < (site / "index.html").stat().st_mtime_ns
