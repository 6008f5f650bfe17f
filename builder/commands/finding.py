"""The command ``patinarium find``."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click
import numpy as np
import numpy.typing as npt
from PIL import Image, ImageOps, UnidentifiedImageError  # for what can be seen through alone

from builder.errors import LibraryError, PictureError, Problem, Weight
from builder.look.opening import open_original
from builder.measure.decode import to_linear_xyz
from builder.measure.spaces import as_lab, xyz_to_lab
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.pipeline import choose_day, gather
from builder.publish.words import EVIDENCE_WORDS, say_lab, say_number, say_share
from builder.read.settings import read_settings_file
from builder.records.photo import ColourShare, Evidence, Lab, PhotoFile, Reading
from builder.records.settings import Settings, SetUp
from builder.relate.colour_matches import (
    Candidate,
    Match,
    list_candidates,
    list_patches,
    rank_like,
    say_like,
    say_nearness,
    say_reach,
)
from builder.relate.colour_names import name_colour
from builder.relate.colour_spelling import ALPHA_WORDS, has_alpha, spell_colour
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
_LIKE = re.compile(r"like\s+(.+)", re.IGNORECASE)


@dataclass(frozen=True)
class _Wanted:
    """What is looked for: one colour, or all ``tones`` of the piece ``own``. ``words`` say how it
    was read, ``warning`` why it is not to be trusted."""

    tones: tuple[ColourShare, ...]
    words: str = ""
    warning: str = ""
    own: str = ""


@click.command()
@click.argument("colour", metavar="COLOUR|PHOTO|PIECE")
@library_argument
@click.option("--tone", type=click.IntRange(1), help="Of a PIECE, one colour alone: 1 the largest.")
@click.option("--at", type=click.Choice(["12"]), help="As pieces were after so many months.")
@click.option("--metal", default="", metavar="METAL", help="Only pieces of this metal.")
@click.option("--sealed", is_flag=True, help="Only sealed ones.")
@click.option("--bare", is_flag=True, help="Only bare ones.")
@click.option("--repeatable", is_flag=True, help="Only pieces made alike more than once.")
@today_option
def find(
    colour: str,
    library: Path,
    tone: int | None,
    at: str | None,
    metal: str,
    sealed: bool,
    bare: bool,
    repeatable: bool,
    today: dt.date | None,
) -> None:
    """Say which pieces of LIBRARY come nearest to a COLOUR, to that of a PHOTO, or to a PIECE.

    A colour is written as #5a9e8f, as "67 -32 -7" (L*a*b*, D65), as teal or as "greyish green". A
    photograph is read with its card if the usual set-up finds one, else in its middle. A piece is
    written as "like SH-014" and gone by in all its colours, each over its share of the area.

    \b
    Example: patinarium find '#5a9e8f' my-library --at 12 --metal copper
    Example: patinarium find verdigris.jpg my-library --bare
    Example: patinarium find "like SH-014" my-library --tone 1
    """
    like = _LIKE.fullmatch(colour.strip())
    if sealed and bare:
        raise click.UsageError("--sealed and --bare leave nothing: no piece is both; take one.")
    if tone and not like:
        raise click.UsageError('--tone is for a piece: patinarium find "like SH-014" --tone 1')
    with said():
        settings = read_settings_file(find_settings(library).parent)
        wanted = None if like else _read_wanted(colour, settings)
        with show_progress() as progress:
            findings = gather(library, settings, choose_day(today, settings), progress).findings
        candidates = list_candidates(findings)
        if like or wanted is None:
            wanted = _read_piece(like[1] if like else colour, candidates, tone)
        if metal:
            _refuse_unknown_metal(metal, candidates)
        found = [
            one
            for one in candidates
            if (not metal or _metal_of(one).lower() == metal.strip().lower())
            and (one.strand.sealed is (not bare) or not (sealed or bare))
            and (one.repeated or not repeatable)
            and one.strand.entry.piece.piece != wanted.own
        ]
        if wanted.warning:
            click.echo(wanted.warning, err=True)
        for line in _report(wanted, found, at is not None):
            click.echo(line)
        if left := count_left_out(findings.problems):
            click.echo(f"{left} left out of this; patinarium check says what.", err=True)


def _metal_of(one: Candidate) -> str:
    return one.strand.entry.piece.metal.written


def _refuse_unknown_metal(metal: str, candidates: Sequence[Candidate]) -> None:
    there = Counter(name for one in candidates if (name := _metal_of(one)))
    if metal.strip().lower() in map(str.lower, there):
        return
    raise LibraryError(
        Problem(
            f"--metal {metal}",
            0,
            "no piece that can be found by colour is of that metal",
            f"one of {', '.join(f'{name} ({there[name]})' for name in sorted(there))}",
            "write it as it stands here",
            Weight.STOPS,
        )
    )


def _report(wanted: _Wanted, found: Sequence[Candidate], at_twelve: bool) -> Iterator[str]:
    matches = rank_like(wanted.tones, found, at_twelve)
    yield f"{wanted.words}{_say_tones(wanted.tones)}"
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


def _say_tones(tones: Sequence[ColourShare]) -> str:
    if len(tones) == 1:
        return f"{name_colour(tones[0].lab)}, {_plain(say_lab(tones[0].lab))}"
    return "; ".join(
        f"{_plain(say_share(tone.share))} {name_colour(tone.lab)}, {_plain(say_lab(tone.lab))}"
        for tone in tones
    )


def _cells(match: Match) -> tuple[str, ...]:
    return (
        name_strand(match.candidate.strand),
        f"ΔE00 {say_number(match.de00)}",
        f"u {say_number(match.u)}",
        "mean over the area" if match.whole else f"on {_plain(say_share(match.share))}",
        say_nearness(match.de00, match.u),
        match.candidate.strand.entry.piece.metal.written,
        name_colour(match.lab),
    )


def _plain(words: str) -> str:
    return words.replace("\u00a0", " ").replace("\u202f", " ")


def _read_piece(name: str, candidates: Sequence[Candidate], tone: int | None) -> _Wanted:
    """The colours of a piece, or of one zone of it, as it is now."""
    wanted = " ".join(name.split()).lower()
    named = {name_strand(one.strand).lower(): one for one in reversed(candidates)}
    numbers = {one.strand.entry.piece.piece.lower(): one for one in reversed(candidates)}
    one = named.get(wanted) or numbers.get(wanted)
    if one is None:
        raise LibraryError(
            Problem(
                f"like {name}",
                0,
                "no piece of that name has a reading, so nothing can be told like it",
                "a piece of this library by its number",
                "write it as it stands on its page, in quotation marks: “like SH-014”",
                Weight.STOPS,
            )
        )
    tones = list_patches(one.latest)
    if tone and tone > len(tones):
        there = "one colour" if len(tones) == 1 else f"{len(tones)} colours"
        raise click.UsageError(f"--tone {tone}: {name_strand(one.strand)} is read as {there}.")
    at = tone - 1 if tone else None
    words = f"{_plain(say_like(name_strand(one.strand), tones, at))}: "
    return _Wanted(tones if at is None else (tones[at],), words, own=one.strand.entry.piece.piece)


def _read_wanted(words: str, settings: Settings) -> _Wanted:
    lab = spell_colour(words)
    if lab is not None:
        return _one(lab)
    photo = Path(words)
    if photo.is_file():
        return _read_photo(photo, settings)
    raise LibraryError(
        Problem(
            words,
            0,
            "this colour has an alpha"
            if has_alpha(words)
            else "this is neither a colour nor a photograph that is there",
            'a colour such as #5a9e8f, "67 -32 -7" or teal, a file, or a piece: "like SH-014"',
            ALPHA_WORDS
            if has_alpha(words)
            else "write it so, in quotation marks where it has spaces or begins with #",
            Weight.STOPS,
        )
    )


def _one(lab: Lab, words: str = "", warning: str = "") -> _Wanted:
    return _Wanted((ColourShare(lab, 1.0),), words, warning)


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
    return _one(
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
    seen = _find_solid(photo, opened.rgb.shape[:2])[rows, columns]
    if not seen.any():
        raise PictureError(
            Problem(
                photo.name,
                0,
                "its middle can be seen through, so there is no colour to read",
                "a picture with the colour in its middle",
                "cut the picture to the part that is meant",
                Weight.STOPS,
            )
        )
    mean = np.mean(to_linear_xyz(opened.rgb[rows, columns][seen], opened.encoding), axis=0)
    return _one(
        as_lab(xyz_to_lab(mean)),
        f"{photo.name}, its middle: ",
        f"{photo.name}: no card could be read in it, so its middle was taken as it is. "
        "Uncorrected: lamp and camera are still in the colour.",
    )


def _find_solid(photo: Path, size: tuple[int, ...]) -> npt.NDArray[np.bool_]:
    """Which pixels of a picture that could be opened are solid; (height, width) of ``size``."""
    try:
        with Image.open(photo) as image:
            if not image.has_transparency_data:
                return np.ones(size, dtype=np.bool_)
            upright = ImageOps.exif_transpose(image.convert("RGBA"))
            return np.asarray(np.asarray(upright.getchannel("A")) == 255)
    except UnidentifiedImageError:  # HEIC, which look opens by other means: a camera's, and solid
        return np.ones(size, dtype=np.bool_)
