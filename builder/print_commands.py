"""The commands ``patinarium print jig · labels · jig-card``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from builder.pipeline import choose_day, gather
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.read.sidecar import SIDECAR
from builder.records.jig import A4, JIGS, MOST_SHEETS, Jig
from builder.said import (
    count_left_out,
    find_settings,
    print_problems,
    said,
    show_progress,
    today_option,
)
from builder.sheets.jig_cards import choose_cards
from builder.sheets.labels import choose_labels
from builder.sheets.printing import (
    FORMATS,
    PrintFile,
    keep_files,
    print_cards,
    print_jig,
    print_labels,
)

_EXACTLY = "Print at 100 %, not “fit to page”."

_size = click.option(
    "--size",
    type=click.Choice([jig.name for jig in JIGS], case_sensitive=False),
    default=A4.name,
    show_default=True,
    help="Size of the paper.",
)
_format = click.option(
    "--format",
    "kind",
    type=click.Choice([*FORMATS, "both"], case_sensitive=False),
    default="pdf",
    show_default=True,
    help="What to write.",
)
_out = click.option(
    "--out",
    default=".",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Where to write it; this folder if left out.",
)

_library = click.option(
    "--library",
    default=".",
    metavar="DIR",
    type=click.Path(path_type=Path, file_okay=False),
    help="The library's folder; this one if left out.",
)


@click.group("print")
def print_sheets() -> None:
    """Make things to print: the jig sheet, labels for pieces, cards for rechecks.

    \b
    Example: patinarium print jig --size Letter
    Example: patinarium print labels SH-012 SH-014
    Example: patinarium print jig-card SH-012
    """


@print_sheets.command()
@_size
@click.option(
    "--number",
    type=click.IntRange(0, MOST_SHEETS),
    default=1,
    show_default=True,
    help="The sheet's own number, if you use several.",
)
@_format
@_out
def jig(size: str, number: int, kind: str, out: Path) -> None:
    """Make the jig sheet: piece, card and label lie on it to be photographed.

    No file is written over.

    \b
    Example: patinarium print jig --size A4 --number 2 --out to-print
    """
    with said():
        _keep(out, print_jig(_paper(size), number, _formats(kind)))
        click.echo(f"{_EXACTLY} Then measure both rulers on the paper: each must be 100 mm long.")


@print_sheets.command()
@click.argument("pieces", nargs=-1, metavar="[PIECE]...")
@_library
@_size
@_format
@_out
def labels(pieces: tuple[str, ...], library: Path, size: str, kind: str, out: Path) -> None:
    """Make labels for each PIECE, or for all of the library.

    A label carries the piece's number in words and as a code read back from photographs.
    No file is written over.

    \b
    Example: patinarium print labels SH-012 SH-014 --library my-library
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        found = read_library(library, settings, choose_day(None, settings))
        chosen = choose_labels(found, pieces)
        if not pieces:
            unread = (problem for problem in found.problems if problem.file.endswith(SIDECAR))
            print_problems(tuple(problem for problem in unread if count_left_out((problem,))))
        _keep(out, print_labels(chosen, _paper(size), _formats(kind)))
        count = f"{len(chosen)} labels" if len(chosen) > 1 else "1 label"
        click.echo(f"{count}. {_EXACTLY}")


@print_sheets.command("jig-card")
@click.argument("pieces", nargs=-1, metavar="[PIECE]...")
@_library
@today_option
@_size
@_format
@_out
def jig_card(
    pieces: tuple[str, ...],
    library: Path,
    today: dt.date | None,
    size: str,
    kind: str,
    out: Path,
) -> None:
    """Make a card for each PIECE, or for all that are due: to photograph it as it was last time.

    Its last photograph, its number in words and as a code, what is due and when, lines to write on.
    Photographs that were not read yet are read. No file is written over.

    \b
    Example: patinarium print jig-card SH-012 SH-014 --library my-library
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        day = choose_day(today, settings)
        with show_progress() as progress:
            gathered = gather(library, settings, day, progress)
        cards = choose_cards(gathered.findings, gathered.pictures, pieces)
        _keep(out, print_cards(cards, day, _paper(size), _formats(kind)))
        click.echo(f"{len(cards)} cards." if len(cards) > 1 else "1 card.")


def _paper(size: str) -> Jig:
    return next(jig for jig in JIGS if jig.name == size)


def _formats(kind: str) -> tuple[str, ...]:
    return FORMATS if kind == "both" else (kind,)


def _keep(folder: Path, files: tuple[PrintFile, ...]) -> None:
    for path, new in keep_files(folder, files):
        click.echo(f"made {path}" if new else f"{path} is here already, the very same")
