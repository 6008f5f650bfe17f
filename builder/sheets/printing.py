"""What is printed, as files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.changeover import MARK
from builder.errors import PrintError, Problem, Weight
from builder.records.jig import Jig
from builder.sheets.bench_cards import draw_card
from builder.sheets.bench_words import BenchCard
from builder.sheets.contact_sheet import ContactSheet, lay_out_contact
from builder.sheets.jig_cards import JigCard, lay_out_cards
from builder.sheets.jig_sheet import draw_jig
from builder.sheets.label_sheets import JIG_LABEL_MM, LabelSheet
from builder.sheets.labels import Label, lay_out_labels
from builder.sheets.pdf import write_pdf
from builder.sheets.shapes import Sheet
from builder.sheets.svg import write_svg

FORMATS = ("pdf", "svg")


@dataclass(frozen=True)
class PrintFile:
    """A file to be written: its name, and its bytes."""

    name: str
    content: bytes


def print_jig(jig: Jig, number: int, formats: Sequence[str]) -> tuple[PrintFile, ...]:
    """The jig sheet of that number (0 to 9999) in each of ``formats``, of :data:`FORMATS`."""
    name = f"jig-{jig.name.lower()}-{number:04d}"
    return tuple(_write((draw_jig(jig, number),), name, formats))


def print_labels(
    labels: Sequence[Label],
    on: LabelSheet,
    formats: Sequence[str],
    start: int = 1,
    marks: bool | None = None,
) -> tuple[PrintFile, ...]:
    """Sheets of labels in each of ``formats``; SVG takes a file for each. The first is begun at its
    label number ``start``; cut marks stand where there are to be ``marks``, if that is left open on
    paper that is not cut already. The files are named for the label's size and for the first and
    the last piece."""
    sheets = lay_out_labels(labels, on, start, not on.ready if marks is None else marks)
    size = "" if on.size == JIG_LABEL_MM else f"{on.name}-"
    named = _name_range([label.piece for label in labels])
    return tuple(_write(sheets, f"labels-{size}{on.paper.lower()}-{named}", formats))


def print_cards(
    cards: Sequence[JigCard], day: dt.date, paper: Jig, formats: Sequence[str]
) -> tuple[PrintFile, ...]:
    """Pages of jig cards, likewise; the files are also named for the ``day`` they were reckoned
    for."""
    named = _name_range([card.piece for card in cards])
    name = f"jig-cards-{paper.name.lower()}-{day}-{named}"
    return tuple(_write(lay_out_cards(cards, paper), name, formats))


def print_bench_card(card: BenchCard, size: tuple[float, float], name: str) -> PrintFile:
    """A bench card as a PDF file of that ``name``, on sheets of that width and height, mm."""
    return PrintFile(name, write_pdf(draw_card(card, size)))


def print_contact(contact: ContactSheet, paper: Jig, name: str) -> PrintFile:
    """A contact sheet as a PDF file of that ``name``."""
    return PrintFile(name, write_pdf(lay_out_contact(contact, paper)))


def keep_files(folder: Path, files: Sequence[PrintFile]) -> tuple[tuple[Path, bool], ...]:
    """Write ``files`` into ``folder`` (made if need be): each one's path, and whether it is new;
    one that is there with the same bytes is left.

    Raises ``PrintError``, nothing written, where another file of the same name is there, or the
    folder cannot be written to.
    """
    if (folder / MARK).is_file():
        raise PrintError(
            Problem(
                folder.as_posix(),
                0,
                "this is the site's folder, which the next build makes anew",
                "a folder of your own",
                "name another one with --out",
                Weight.STOPS,
            )
        )
    try:
        there = [file for file in files if (folder / file.name).exists()]
        other = [file for file in there if (folder / file.name).read_bytes() != file.content]
        if other:
            raise PrintError([_say_other(folder / file.name) for file in other])
        folder.mkdir(parents=True, exist_ok=True)
        for file in files:
            if file not in there:
                with (folder / file.name).open("xb") as stream:
                    stream.write(file.content)
    except OSError as error:
        raise PrintError(
            Problem(
                folder.as_posix(),
                0,
                f"could not be written to ({error.strerror or error})",
                "a folder you may write to",
                "name another one with --out, or change its permissions",
                Weight.STOPS,
            )
        ) from error
    return tuple((folder / file.name, file not in there) for file in files)


def _name_range(pieces: Sequence[str]) -> str:
    first, last = pieces[0], pieces[-1]
    return first if first == last else f"{first}-to-{last}"


def _write(sheets: Sequence[Sheet], name: str, formats: Sequence[str]) -> Iterator[PrintFile]:
    if "pdf" in formats:
        yield PrintFile(f"{name}.pdf", write_pdf(sheets))
    if "svg" in formats:
        for page, sheet in enumerate(sheets, start=1):
            count = f"-{page}" if len(sheets) > 1 else ""
            yield PrintFile(f"{name}{count}.svg", write_svg(sheet).encode("utf-8"))


def _say_other(path: Path) -> Problem:
    return Problem(
        path.as_posix(),
        0,
        "another file of this name is here",
        "no file, or the very one that would be written",
        "move it away if you need it no more, or name another folder with --out",
        Weight.STOPS,
    )
