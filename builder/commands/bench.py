"""The command ``patinarium print bench-card``."""

from __future__ import annotations

import re
from pathlib import Path

import click

from builder.commands.print_options import keep
from builder.errors import PrintError, Problem, Weight
from builder.pipeline import choose_day
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.reckon.scaling import Bench, pour_from
from builder.records.hazards import Loudness
from builder.records.numbers import read_number
from builder.records.piece import Entry
from builder.records.quantities import read_litres, read_strength
from builder.relate.cautions import FIRST, cautions_of
from builder.said import find_settings, library_option, said
from builder.sheets.bench_cards import PAPERS
from builder.sheets.bench_words import write_card
from builder.sheets.labels import choose_labels
from builder.sheets.printing import print_bench_card

_MOST_LITRES, _MOST_MM = 10_000.0, 10_000.0


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


def _refuse_forbidden(poured: Entry) -> None:
    """Raises ``PrintError`` where things are in one mixture that are never to meet: a card is to
    work by."""
    problems = [
        Problem(
            poured.file,
            poured.mixture_line,
            f"{caution.row} of the safety table: {caution.said} Nothing is printed",
            "expected a mixture that can be worked by",
            "put right a slip of the pen, or write down the strengths, or take another bottle. "
            + FIRST.removesuffix("."),
            Weight.STOPS,
        )
        for caution in cautions_of(poured)
        if caution.forbids and caution.loudness is Loudness.NEVER
    ]
    if problems:
        raise PrintError(problems)


@click.command("bench-card")
@click.argument("piece")
@library_option
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

    Strength and wetness stay as they were. No file is written over. No card is made of things in
    one mixture that are never to meet.

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
        _refuse_forbidden(poured)
        said_of = {one.row: one.said for way in (entry, poured) for one in cautions_of(way)}
        card = write_card(entry, bench, tuple(said_of.values()), settings.prices if cost else ())
        file = out or Path(f"bench-card-{label.piece}.pdf")
        keep(file.parent, (print_bench_card(card, PAPERS[size], file.name),))
