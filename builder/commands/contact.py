"""The command ``patinarium print contact-sheet``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import click

from builder.commands.print_options import choose_paper, keep, paper_option
from builder.errors import PrintError, Problem, Weight
from builder.pipeline import choose_day, gather
from builder.publish.history import VERDICT_TITLES
from builder.publish.pictures import describe_look
from builder.publish.subjects import Subject, list_subjects
from builder.read.settings import read_settings_file
from builder.records.audiences import KEPT_PRIVATE
from builder.records.photo import WebImage
from builder.relate.findings import Findings, Look
from builder.said import find_settings, library_option, said, show_progress, today_option
from builder.sheets.contact_sheet import ContactSheet, Shot, Tile
from builder.sheets.labels import choose_labels
from builder.sheets.made_pictures import read_made
from builder.sheets.printing import print_contact
from builder.telling import choose_audience, tell

_ALL = "all"
_FRESH, _LATEST, _BOTH = "fresh", "latest", "both"
_LOOKS: Mapping[str, tuple[str, ...]] = {
    _LATEST: (_LATEST,),
    _FRESH: (_FRESH,),
    _BOTH: (_FRESH, _LATEST),
}
_SHOWN = {
    _LATEST: "latest pictures",
    _FRESH: "pictures as they were fresh",
    _BOTH: "fresh and latest pictures",
}
_ENOUGH_PIXELS = 480  # of a whole photograph, across some 40 mm: 300 to the inch


def _check_pdf(ctx: click.Context, param: click.Parameter, out: Path | None) -> Path | None:
    if out is not None and out.suffix.casefold() != ".pdf":
        raise click.BadParameter("a PDF file is written; end its name with .pdf")
    return out


@click.command("contact-sheet")
@click.argument("pieces", nargs=-1, metavar="[PIECE...|all]")
@library_option
@today_option
@click.option(
    "--look",
    type=click.Choice(list(_LOOKS), case_sensitive=False),
    default=_LATEST,
    show_default=True,
    help="Which pictures: as a piece is now, as it was fresh, or both side by side.",
)
@paper_option
@click.option(
    "-o",
    "--out",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    callback=_check_pdf,
    help="The PDF file to write; contact-sheet-DATE.pdf here if left out.",
)
def contact_sheet(
    pieces: tuple[str, ...],
    library: Path,
    today: dt.date | None,
    look: str,
    size: str,
    out: Path | None,
) -> None:
    """Make a contact sheet of each PIECE, or of all: their pictures at one scale on mid grey, with
    number, metal, two words for the look and the verdict.

    What a piece's sidecar keeps private is not printed, and no recipe is. Photographs that were not
    read yet are read. No file is written over.

    \b
    Example: patinarium print contact-sheet all --library my-library -o all.pdf
    Example: patinarium print contact-sheet SH-012 SH-014 --look both
    """
    with said():
        settings = read_settings_file(find_settings(library).parent)
        day = choose_day(today, settings)
        with show_progress() as progress:
            gathered = gather(library, settings, day, progress)
        wanted = () if [one.casefold() for one in pieces] == [_ALL] else pieces
        told = tell(gathered.findings, choose_audience("", settings))
        tiles = choose_tiles(told, gathered.pictures, wanted, _LOOKS[look])
        contact = ContactSheet(settings.title, day, tiles, _SHOWN[look], settings.invented)
        file = out or Path(f"contact-sheet-{day}.pdf")
        keep(file.parent, (print_contact(contact, choose_paper(size), file.name),))
        click.echo(f"{len(tiles)} pieces." if len(tiles) > 1 else "1 piece.")


def choose_tiles(
    findings: Findings,
    pictures: Path,
    wanted: Sequence[str] = (),
    looks: Sequence[str] = (_LATEST,),
) -> tuple[Tile, ...]:
    """A tile for each piece of ``wanted``, in that order, or for all that were begun by number,
    with pictures of the ``looks``, "fresh" or "latest". ``pictures``: the folder of made web sizes.

    Raises ``PrintError`` naming every number that is no piece's, where none of all is begun, or
    where a picture cannot be read.
    """
    subjects = {subject.number: subject for subject in list_subjects(findings)}
    numbers = [label.piece for label in choose_labels(findings.library, wanted)]
    if not wanted:
        numbers = [number for number, subject in subjects.items() if not subject.planned]
    if not numbers:
        raise PrintError(_say_none_begun(findings.library.settings.samples))
    planned = {strand.entry.piece.piece for strand in findings.planned}
    return tuple(
        _make_tile(subjects[number], pictures, looks, number in planned) for number in numbers
    )


def _say_none_begun(samples: str) -> Problem:
    return Problem(
        samples,
        0,
        "no piece is begun yet",
        "expected a piece that was made",
        "name the planned pieces to have them on a sheet all the same",
        Weight.STOPS,
    )


def _make_tile(subject: Subject, pictures: Path, looks: Sequence[str], planned: bool) -> Tile:
    metal = f"metal {KEPT_PRIVATE}" if "metal" in subject.withheld else subject.metal
    verdicts = dict.fromkeys(VERDICT_TITLES[strand.verdict] for strand in subject.strands)
    lines = (metal, subject.look_words, "Planned" if planned else " / ".join(verdicts))
    if "photos" in subject.withheld:
        return Tile(subject.number, lines, instead=f"photographs {KEPT_PRIVATE}")
    shots = tuple(_shoot(subject, pictures, looks))
    return Tile(subject.number, lines, shots, "" if shots else "no photograph yet")


def _shoot(subject: Subject, pictures: Path, looks: Sequence[str]) -> Iterator[Shot]:
    fresh = next((strand.fresh for strand in subject.strands if strand.fresh), None)
    of = {_FRESH: fresh, _LATEST: subject.leading}
    for name in looks:
        look = of[name]
        if look is None:
            continue
        picture = look.observation.picture
        image = picture.view or _choose_size(picture.webs)
        if image is None:
            continue
        yield Shot(
            read_made(pictures / image.name),
            image.width,
            image.height,
            picture.view_mm if picture.view else None,
            describe_look(look, subject.described),
            _say_look(name, look) if len(looks) > 1 else str(look.taken or ""),
        )


def _say_look(name: str, look: Look) -> str:
    return f"{name}, {look.taken}" if look.taken else name


def _choose_size(webs: Sequence[WebImage]) -> WebImage | None:
    return next((web for web in webs if web.width >= _ENOUGH_PIXELS), webs[-1] if webs else None)
