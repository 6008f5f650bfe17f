"""The command ``patinarium plan``."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from builder.collect.planned_folders import choose_folder, keep_folders, part_kept, plan_folders
from builder.errors import LibraryError, Problem, Weight
from builder.holding import STORE, hold
from builder.pipeline import choose_day
from builder.read.library import read_library
from builder.read.option_values import SETTINGS_FILE
from builder.read.settings import read_settings_file
from builder.records.audiences import PRIVATE, STUDENTS
from builder.relate.blanks import blank_of, count_blanks
from builder.relate.find import find_findings
from builder.relate.findings import Findings, Strand
from builder.relate.next_tests import USUAL, NextTest, find_tests, say_no_test
from builder.relate.next_words import Hidden, say_what, say_why
from builder.relate.planned import piece_of
from builder.said import count_left_out, find_settings, library_argument, said, today_option
from builder.telling import hides, list_hidden

_MOST = 100
_WIDE = 96
_SAMPLES = ""  # --write without a folder
_CARE = (
    "A plan is no risk assessment. Acids, fumes and heat: the page “Safety” has the usual "
    "cautions; local rules, the maker's safety sheets and licensed practice go first."
)


@click.command()
@library_argument
@click.option(
    "--count",
    type=click.IntRange(1, _MOST),
    default=USUAL,
    show_default=True,
    help="How many tests at most.",
)
@click.option(
    "--write",
    is_flag=False,
    flag_value=_SAMPLES,
    default=None,
    metavar="[FOLDER]",
    help="Make a folder with a sidecar for each, among the library's pieces or in FOLDER.",
)
@today_option
def plan(library: Path, count: int, write: str | None, today: dt.date | None) -> None:
    """Say which tests of LIBRARY to do next, why, and what to cut for them.

    Best first: what completes a square of two factors, gives a series a third point, or a piece
    the bare or sealed sister it lacks. No photograph is read.

    \b
    Example: patinarium plan my-library --count 5 --write
    """
    with said():
        if write and not (library / SETTINGS_FILE).is_file():
            _refuse_library_as_folder(write)
        settings = read_settings_file(find_settings(library).parent)
        folder = None if write is None else choose_folder(library, settings.samples, write)
        read = read_library(library, settings, choose_day(today, settings))
        findings = find_findings(read, (), choose_day(today, settings))
        tests = find_tests(findings, count)
        for line in _report(tests, findings):
            click.echo(line)
        if left := count_left_out(read.problems):
            click.echo(f"{left} left out of this; patinarium check says what.", err=True)
        if folder and tests:
            for line in _write(tests, library, findings, folder):
                click.echo(line)


def _report(tests: Sequence[NextTest], findings: Findings) -> Iterator[str]:
    if not tests:
        yield from _wrap("", say_no_test(findings))
        return
    yield f"Next tests: {len(tests)}"
    for number, test in enumerate(tests, 1):
        yield ""
        what = say_what(test)
        yield from _wrap(f"{number}. ", f"{what[:1].upper()}{what[1:]}.")
        yield from _wrap("   ", f"{say_why(test)} Score {test.score}.")
    yield ""
    yield "Cut list"
    for count, blank in count_blanks(blank_of(piece_of(test.plan)) for test in tests):
        yield f"  {count} × {blank.words}"
    yield ""
    yield from _wrap("", _CARE)


def _wrap(head: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDE, initial_indent=head, subsequent_indent=" " * len(head), break_on_hyphens=False
    )


def _hide_private(findings: Findings) -> Hidden:
    """What a piece keeps from the class is not written into another's sidecar."""
    students = findings.library.settings.audience_named(STUDENTS)
    hidden = list_hidden(findings.library.entries, students or PRIVATE)

    def is_hidden(strand: Strand, factor: str) -> bool:
        return hides(factor, hidden[id(strand.entry)])

    return is_hidden


def _refuse_library_as_folder(folder: str) -> None:
    """Behind --write, the library is taken for the folder to write into, and none is named."""
    if (Path(folder) / SETTINGS_FILE).is_file():
        raise LibraryError(
            Problem(
                folder,
                0,
                "this was taken for the folder to write into, since it stands behind --write",
                "the library before --write",
                f"give “patinarium plan {folder} --write”",
                Weight.STOPS,
            )
        )


def _write(
    tests: Sequence[NextTest], root: Path, findings: Findings, folder: Path
) -> Iterator[str]:
    library, hidden = findings.library, _hide_private(findings)
    numbers = [entry.piece.piece for entry in library.entries]
    with hold(root / STORE, "plan"):
        fresh, kept = part_kept(tests, numbers, folder, hidden)
        places = {root / library.settings.samples, folder}
        taken = {path.name for place in places for path in place.iterdir()}
        made = keep_folders(plan_folders(fresh, numbers, taken, hidden), folder)
    yield from (f"there already: {path}" for path in kept)
    yield from (f"made {path}" for path in made)
