"""The commands ``patinarium print jig · labels · jig-card · bench-card``."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import click

from builder.pipeline import choose_day, gather
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.read.sidecar import SIDECAR
from builder.reckon.scaling import Bench, pour_from
from builder.records.jig import A4, JIGS, MOST_SHEETS, Jig
from builder.records.numbers import read_number
from builder.records.quantities import read_litres, read_strength
from builder.relate.cautions import cautions_of
from builder.said import (
    count_left_out,
    find_settings,
    print_problems,
    said,
    show_progress,
    today_option,
)
from builder.sheets.bench_cards import PAPERS
from builder.sheets.bench_words import write_card
from builder.sheets.jig_cards import choose_cards
from builder.sheets.labels import choose_labels
from builder.sheets.printing import (
    FORMATS,
    PrintFile,
    keep_files,
    print_bench_card,
    print_cards,
    print_jig,
    print_labels,
)

_EXACTLY = "Print at 100 %, not “fit to page”."
_MOST_LITRES, _MOST_MM = 10_000.0, 10_000.0

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
    """Make things to print: the jig sheet, labels for pieces, cards for rechecks and the bench.

    \b
    Example: patinarium print jig --size Letter
    Example: patinarium print labels SH-012 SH-014
    Example: patinarium print jig-card SH-012
    Example: patinarium print bench-card SH-012
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


def _read_tub(ctx: click.Context, param: click.Parameter, text: str | None) -> float | None:
    litres = read_litres(text) if text else None
    if text is not None and (litres is None or not 0 < litres.number <= _MOST_LITRES):
        raise click.BadParameter("write litres, such as 5 or 500 ml")
    return litres.number if litres else None


def _read_plate(
    ctx: click.Context, param: click.Parameter, text: str | None
) -> tuple[float, float] | None:
    if text is None:
        return None
    sides = [read_number(side.strip()) for side in re.split("[x×]", text.casefold())]
    told = [side for side in sides if side is not None and 0 < side <= _MOST_MM]
    if len(sides) != 2 or len(told) != 2:
        raise click.BadParameter("write width and height in millimetres, such as 100x150")
    return told[0], told[1]


def _read_bottles(
    ctx: click.Context, param: click.Parameter, texts: tuple[str, ...]
) -> dict[str, str]:
    bottles = {}
    for text in texts:
        name, _, strength = (part.strip() for part in text.partition("="))
        if not name or read_strength(strength) is None:
            raise click.BadParameter("write name and strength, such as ammonia=9.5%")
        bottles[name] = strength
    return bottles


@print_sheets.command("bench-card")
@click.argument("piece")
@_library
@click.option(
    "--tub",
    metavar="LITRES",
    callback=_read_tub,
    help="The tub at hand; amounts are scaled to it.",
)
@click.option(
    "--plate",
    metavar="WxH",
    callback=_read_plate,
    help="The plate at hand, mm; amounts are scaled to it.",
)
@click.option(
    "--strength",
    "bottles",
    metavar="NAME=STRENGTH",
    multiple=True,
    callback=_read_bottles,
    help="What the bottle at hand says; a stronger one is thinned by weight. May be repeated.",
)
@click.option("--cost", is_flag=True, help="Say what a plate costs, from the prices in mkdocs.yml.")
@click.option(
    "--size",
    type=click.Choice(list(PAPERS), case_sensitive=False),
    default="A4",
    show_default=True,
    help="Size of the paper.",
)
@click.option(
    "-o",
    "--out",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The PDF file to write; bench-card-PIECE.pdf here if left out.",
)
def bench_card(
    piece: str,
    library: Path,
    tub: float | None,
    plate: tuple[float, float] | None,
    bottles: dict[str, str],
    cost: bool,
    size: str,
    out: Path | None,
) -> None:
    """Make a card of PIECE to work by: its steps, its mixture for the tub, plate and bottles at
    hand, what must not meet, and room to write.

    Strength and wetness stay as they were. No file is written over.

    \b
    Example: patinarium print bench-card SH-012 --tub 5 --plate 100x150
    Example: patinarium print bench-card SH-012 --strength "malt vinegar=10%" -o card.pdf
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        found = read_library(library, settings, choose_day(None, settings))
        (label,) = choose_labels(found, (piece,))
        own = (entry for entry in found.entries if entry.piece.piece == label.piece)
        entry = max(own, key=lambda entry: entry.piece.attempt)
        bench = Bench(tub, plate, bottles)
        poured = entry.model_copy(update={"piece": pour_from(entry.piece, bench)})
        said_of = {one.row: one.said for way in (entry, poured) for one in cautions_of(way)}
        card = write_card(entry, bench, tuple(said_of.values()), settings.prices if cost else ())
        file = out or Path(f"bench-card-{label.piece}.pdf")
        _keep(file.parent, (print_bench_card(card, PAPERS[size], file.name),))


def _paper(size: str) -> Jig:
    return next(jig for jig in JIGS if jig.name == size)


def _formats(kind: str) -> tuple[str, ...]:
    return FORMATS if kind == "both" else (kind,)


def _keep(folder: Path, files: tuple[PrintFile, ...]) -> None:
    for path, new in keep_files(folder, files):
        click.echo(f"made {path}" if new else f"{path} is here already, the very same")
