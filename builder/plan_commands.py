"""The command ``patinarium plan``."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from builder.collect.planned_folders import keep_folders, plan_folders
from builder.errors import LibraryError, Problem, Weight
from builder.holding import hold
from builder.pipeline import choose_day
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.audiences import PRIVATE, STUDENTS
from builder.records.library import STORE
from builder.relate.blanks import blank_of, count_blanks
from builder.relate.find import find_findings
from builder.relate.findings import Findings, Strand
from builder.relate.next_tests import USUAL, NextTest, find_tests
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
        settings = read_settings_file(find_settings(library).parent)
        read = read_library(library, settings, choose_day(today, settings))
        findings = find_findings(read, (), choose_day(today, settings))
        tests = find_tests(findings, count)
        for line in _report(tests):
            click.echo(line)
        if left := count_left_out(read.problems):
            click.echo(f"{left} left out of this; patinarium check says what.", err=True)
        if write is not None and tests:
            for path in _write(tests, library, findings, write):
                click.echo(f"made {path}")


def _report(tests: Sequence[NextTest]) -> Iterator[str]:
    if not tests:
        yield "No test to propose."
        yield "One needs pieces with metal, method and recipe; none is proposed that is planned."
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


def _write(
    tests: Sequence[NextTest], root: Path, findings: Findings, folder: str
) -> tuple[Path, ...]:
    library = findings.library
    samples = root / library.settings.samples
    target = samples if folder == _SAMPLES else Path(folder)
    if not target.is_dir():
        raise LibraryError(
            Problem(
                target.as_posix(),
                0,
                "there is no such folder",
                "a folder to make the tests' own folders in",
                "make it, or name another with --write",
                Weight.STOPS,
            )
        )
    with hold(root / STORE, "plan"):
        taken = {path.name for place in (samples, target) for path in place.iterdir()}
        numbers = [entry.piece.piece for entry in library.entries]
        return keep_folders(plan_folders(tests, numbers, taken, _hide_private(findings)), target)
