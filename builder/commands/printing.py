"""The commands ``patinarium print jig · labels · jig-card · bench-card · contact-sheet``."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from builder.commands.bench import bench_card
from builder.commands.contact import contact_sheet
from builder.commands.labels import labels
from builder.commands.print_options import (
    EXACTLY,
    choose_formats,
    choose_paper,
    folder_option,
    format_option,
    keep,
    paper_option,
)
from builder.pipeline import choose_day, gather
from builder.read.settings import read_settings_file
from builder.records.jig import MOST_SHEETS
from builder.said import find_settings, library_option, said, show_progress, today_option
from builder.sheets.jig_cards import choose_cards
from builder.sheets.printing import print_cards, print_jig


@click.group("print")
def print_sheets() -> None:
    """Make things to print: the jig sheet, labels, cards for the bench and rechecks, contacts.

    \b
    Example: patinarium print jig --size Letter
    Example: patinarium print labels SH-012 SH-014
    Example: patinarium print jig-card SH-012
    Example: patinarium print bench-card SH-012
    Example: patinarium print contact-sheet all -o all.pdf
    """


print_sheets.add_command(labels)
print_sheets.add_command(bench_card)
print_sheets.add_command(contact_sheet)


@print_sheets.command()
@paper_option
@click.option(
    "--number",
    type=click.IntRange(0, MOST_SHEETS),
    default=1,
    show_default=True,
    help="The sheet's own number, if you use several.",
)
@format_option
@folder_option
def jig(size: str, number: int, kind: str, out: Path) -> None:
    """Make the jig sheet: piece, card and label lie on it to be photographed.

    No file is written over.

    \b
    Example: patinarium print jig --size A4 --number 2 --out to-print
    """
    with said():
        keep(out, print_jig(choose_paper(size), number, choose_formats(kind)))
        click.echo(f"{EXACTLY} Then measure both rulers on the paper: each must be 100 mm long.")


@print_sheets.command("jig-card")
@click.argument("pieces", nargs=-1, metavar="[PIECE]...")
@library_option
@today_option
@paper_option
@format_option
@folder_option
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
        keep(out, print_cards(cards, day, choose_paper(size), choose_formats(kind)))
        click.echo(f"{len(cards)} cards." if len(cards) > 1 else "1 card.")
