"""The command ``patinarium print labels``."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import click

from builder.commands.print_options import (
    EXACTLY,
    choose_formats,
    folder_option,
    format_option,
    keep,
)
from builder.pipeline import choose_day
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.read.sidecar import SIDECAR
from builder.records.jig import A4, JIGS
from builder.said import count_left_out, find_settings, library_option, print_problems, said
from builder.sheets.label_ranges import choose_with_ranges
from builder.sheets.label_sheets import JIG_LABEL_MM, SizeMm, lay_sheet, list_ready
from builder.sheets.labels import Label
from builder.sheets.printing import print_labels

_METAL_AND_METHOD, _NOTHING = "metal-and-method", "none"
_NUMBER = re.compile(r"[-+]?[0-9]{1,4}(?:[.,][0-9]{1,3})?")


class _Millimetres(click.ParamType[SizeMm]):
    """Two lengths, across and down: ``38.1x21.2``. ``least``: neither may be below it."""

    name = "millimetres"

    def __init__(self, least: float, example: str) -> None:
        self.least, self.example = least, example

    def convert(self, value: Any, param: Any, ctx: Any) -> SizeMm:
        if not isinstance(value, str):
            return value  # type: ignore[no-any-return]
        if value.strip().casefold() in {jig.name.casefold() for jig in JIGS}:
            self.fail(f"this is a label's own; name the paper with --sheet {value}", param, ctx)
        sides = [side.strip() for side in re.split("[x×]", value.casefold())]
        known = len(sides) == 2 and all(map(_NUMBER.fullmatch, sides))
        lengths = [float(side.replace(",", ".")) for side in sides] if known else []
        if not lengths or min(lengths) < self.least:
            self.fail(
                f"{value!r} is not two lengths in millimetres; write it as {self.example}",
                param,
                ctx,
            )
        return lengths[0], lengths[1]


@click.command()
@click.argument("pieces", nargs=-1, metavar="[PIECE|RANGE]...")
@library_option
@click.option(
    "--size",
    type=_Millimetres(1.0, "38.1x21.2"),
    default="x".join(f"{side:g}" for side in JIG_LABEL_MM),
    show_default=True,
    metavar="WxH",
    help=f"Of one label, in millimetres. Sheets sold ready cut are known: {list_ready()}.",
)
@click.option(
    "--sheet",
    type=click.Choice([jig.name for jig in JIGS], case_sensitive=False),
    default=A4.name,
    show_default=True,
    help="Size of the paper.",
)
@click.option(
    "--margin",
    type=_Millimetres(0.0, "5x10.7"),
    metavar="LEFTxTOP",
    help="From the paper's edges to the first label, mm.",
)
@click.option(
    "--gap",
    type=_Millimetres(0.0, "2.5x0"),
    metavar="ACROSSxDOWN",
    help="From one label to the next, mm; none if left out.",
)
@click.option(
    "--start-at",
    type=click.IntRange(1),
    default=1,
    metavar="N",
    help="Begin at the sheet's N-th label, row by row, where those before are used.",
)
@click.option(
    "--offset",
    type=_Millimetres(-50.0, "0.5x-1"),
    default="0x0",
    metavar="RIGHTxDOWN",
    help="Move all labels, mm, for a printer that feeds the paper askew.",
)
@click.option(
    "--marks/--no-marks",
    default=None,
    help="Marks to cut by; on plain paper they are there, on ready-cut sheets not.",
)
@click.option(
    "--second-line",
    type=click.Choice([_METAL_AND_METHOD, _NOTHING], case_sensitive=False),
    default=_METAL_AND_METHOD,
    show_default=True,
    help="What stands under the number.",
)
@format_option
@folder_option
def labels(
    pieces: tuple[str, ...],
    library: Path,
    size: SizeMm,
    sheet: str,
    margin: SizeMm | None,
    gap: SizeMm | None,
    start_at: int,
    offset: SizeMm,
    marks: bool | None,
    second_line: str,
    kind: str,
    out: Path,
) -> None:
    """Make labels for each PIECE, or for all of the library.

    A label carries the piece's number in words and as a code read back from photographs. A RANGE is
    of numbers whose pieces need not be there yet, SH-031..SH-060. No file is written over.

    \b
    Example: patinarium print labels SH-012 SH-014 --library my-library
    Example: patinarium print labels SH-031..SH-060 --size 38.1x21.2 --start-at 12
    Example: patinarium print labels --size 50x25 --sheet A4 --margin 5x11 --gap 0x0
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        found = read_library(library, settings, choose_day(None, settings))
        chosen = choose_with_ranges(found, pieces)
        if not pieces:
            unread = (problem for problem in found.problems if problem.file.endswith(SIDECAR))
            print_problems(tuple(problem for problem in unread if count_left_out((problem,))))
        if second_line == _NOTHING:
            chosen = tuple(Label(label.piece, None) for label in chosen)
        on = lay_sheet(sheet, size, margin, gap).shift(offset)
        keep(out, print_labels(chosen, on, choose_formats(kind), start_at, marks))
        count = f"{len(chosen)} labels" if len(chosen) > 1 else "1 label"
        click.echo(
            f"{count}. {on.columns} by {on.rows} to a sheet of {on.paper}, each "
            f"{on.size[0]:g} × {on.size[1]:g} mm. {EXACTLY}"
        )
