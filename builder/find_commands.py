"""The command ``patinarium find``."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np
from PIL import ImageColor  # the names of style sheets; no picture is opened here

from builder.errors import LibraryError, PictureError, Problem, Weight
from builder.look.opening import open_original
from builder.measure.decode import to_linear_xyz
from builder.measure.spaces import as_lab, xyz_to_lab
from builder.observing import Task, see
from builder.pipeline import choose_day, gather
from builder.publish.words import EVIDENCE_WORDS, say_lab, say_number, say_share
from builder.read.settings import read_settings_file
from builder.records.photo import Evidence, Lab, PhotoFile, Reading
from builder.records.settings import Settings, SetUp
from builder.relate.colour_matches import (
    Candidate,
    Match,
    list_candidates,
    rank,
    say_nearness,
    say_reach,
)
from builder.relate.colour_names import name_colour
from builder.relate.colour_spelling import from_srgb, spell_colour
from builder.relate.strands import name_strand
from builder.said import (
    align,
    count_left_out,
    find_settings,
    library_argument,
    said,
    show_progress,
    today_option,
)

_MOST = 20  # pieces listed
_MIDDLE = 5  # a photograph without a card is read in the middle: one such part of each side
_BY_CARD = (Evidence.TARGET, Evidence.GREY)


@dataclass(frozen=True)
class _Wanted:
    """The colour looked for; ``words`` how it was read, ``warning`` why it is not to be trusted."""

    lab: Lab
    words: str = ""
    warning: str = ""


@click.command()
@click.argument("colour", metavar="COLOUR|PHOTO")
@library_argument
@click.option("--at", type=click.Choice(["12"]), help="As pieces were after so many months.")
@click.option("--metal", default="", metavar="METAL", help="Only pieces of this metal.")
@click.option("--sealed/--bare", "sealed", default=None, help="Only sealed ones, or only bare.")
@click.option("--repeatable", is_flag=True, help="Only pieces made alike more than once.")
@today_option
def find(
    colour: str,
    library: Path,
    at: str | None,
    metal: str,
    sealed: bool | None,
    repeatable: bool,
    today: dt.date | None,
) -> None:
    """Say which pieces of LIBRARY come nearest to a COLOUR, or to that of a PHOTO.

    A colour is written as #5a9e8f, as "67 -32 -7" (L*a*b*, D65), as teal or as "greyish green". A
    photograph is read with its card if the usual set-up finds one, else in its middle.

    \b
    Example: patinarium find '#5a9e8f' my-library --at 12 --metal copper
    Example: patinarium find verdigris.jpg my-library --bare
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        wanted = _read_wanted(colour, settings)
        with show_progress() as progress:
            findings = gather(library, settings, choose_day(today, settings), progress).findings
        found = [
            one
            for one in list_candidates(findings)
            if (not metal or one.strand.entry.piece.metal.written.lower() == metal.lower())
            and (sealed is None or one.strand.sealed is sealed)
            and (one.repeated or not repeatable)
        ]
        if wanted.warning:
            click.echo(wanted.warning, err=True)
        for line in _report(wanted, found, at is not None):
            click.echo(line)
        if left := count_left_out(findings.problems):
            click.echo(f"{left} left out of this; patinarium check says what.", err=True)


def _report(wanted: _Wanted, found: Sequence[Candidate], at_twelve: bool) -> Iterator[str]:
    matches = rank(wanted.lab, found, at_twelve)
    yield f"{wanted.words}{name_colour(wanted.lab)}, {_plain(say_lab(wanted.lab))}"
    if reach := say_reach(matches):
        yield reach
    if matches:
        yield from align([_cells(match) for match in matches[:_MOST]])
    elif not found:
        yield "No piece is all of that."
    if len(matches) > _MOST:
        yield f"  and {len(matches) - _MOST} farther off"
    unknown = [name_strand(one.strand) for one in found if one.look(at_twelve) is None]
    if unknown:
        yield f"Not known at twelve months: {', '.join(unknown)}."


def _cells(match: Match) -> tuple[str, ...]:
    return (
        name_strand(match.candidate.strand),
        f"ΔE00 {say_number(match.de00)}",
        f"u {say_number(match.u)}",
        f"on {_plain(say_share(match.share))}",
        say_nearness(match.de00, match.u),
        match.candidate.strand.entry.piece.metal.written,
        name_colour(match.lab),
    )


def _plain(words: str) -> str:
    return words.replace("\u00a0", " ").replace("\u202f", " ")


def _read_wanted(words: str, settings: Settings) -> _Wanted:
    lab = spell_colour(words)
    if lab is not None:
        return _Wanted(lab)
    photo = Path(words)
    if photo.is_file():
        return _read_photo(photo, settings)
    try:
        red, green, blue = ImageColor.getrgb(words)[:3]
    except ValueError:
        raise LibraryError(
            Problem(
                words,
                0,
                "this is neither a colour nor a photograph that is there",
                'a colour such as #5a9e8f, "67 -32 -7" or teal, or a file',
                "write it so, in quotation marks where it has spaces or begins with #",
                Weight.STOPS,
            )
        ) from None
    return _Wanted(from_srgb((red, green, blue)))


def _read_photo(photo: Path, settings: Settings) -> _Wanted:
    """The largest colour of what is photographed, with its card; else the mean of the middle."""
    setup = settings.setup_named(settings.default_setup) or SetUp("")
    with tempfile.TemporaryDirectory() as made:
        file = PhotoFile(photo.name, "", setup=setup.name)
        task = Task(photo.resolve().parent, Path(made), file, setup, (), settings)
        seen = see(task)
    if seen.picture is None and seen.problem is not None:
        raise PictureError(seen.problem)
    told = (r for r in seen.readings if r.colours and not r.withheld and r.evidence in _BY_CARD)
    reading = next(told, None)
    return _take_reading(photo, reading) if reading else _take_middle(photo, settings)


def _take_reading(photo: Path, reading: Reading) -> _Wanted:
    largest = reading.colours[0]
    return _Wanted(
        largest.lab,
        f"{photo.name}, by its {EVIDENCE_WORDS[reading.evidence]}, u {say_number(reading.u)}, "
        f"{_plain(say_share(largest.share))} of the area: ",
    )


def _take_middle(photo: Path, settings: Settings) -> _Wanted:
    opened = open_original(photo.resolve().parent, photo.name, settings.limits)
    rows, columns = (
        slice((side - (part := max(1, side // _MIDDLE))) // 2, (side + part) // 2)
        for side in (opened.height, opened.width)
    )
    pixels = opened.rgb[rows, columns].reshape(-1, 3)
    mean = np.mean(to_linear_xyz(pixels, opened.encoding), axis=0)
    return _Wanted(
        as_lab(xyz_to_lab(mean)),
        f"{photo.name}, its middle: ",
        f"{photo.name}: no card could be read in it, so its middle was taken as it is. "
        "Uncorrected: lamp and camera are still in the colour.",
    )
