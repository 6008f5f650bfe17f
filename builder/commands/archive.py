"""The commands ``patinarium bag · verify · restore``."""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from builder import __version__
from builder.archive.bagging import Order, make_bag, refuse_early
from builder.archive.choosing import choose_files
from builder.archive.guide import GUIDE, write_guide
from builder.archive.judging import judge_bag
from builder.archive.ledger_check import AS_IT_IS, check_library
from builder.archive.restoring import restore_bag
from builder.archive.tag_files import DECLARATION, name_manifest
from builder.archive.trees import open_tree
from builder.archive.verdict import Verdict
from builder.errors import ArchiveError, BusyError, Problem, Weight
from builder.holding import STORE, hold
from builder.pipeline import choose_day, gather
from builder.publish.data import COLUMNS, library_json, list_rows, tables
from builder.read.option_values import SETTINGS_FILE
from builder.read.settings import read_settings_file
from builder.read.wording import show_name
from builder.said import DONE, PROBLEMS, find_settings, print_problems, said, show_progress

_FILES = "files"
_MANY = 20  # notes told one by one


@click.command()
@click.argument("dest", type=click.Path(path_type=Path))
@click.option(
    "--library",
    default=".",
    metavar="DIR",
    type=click.Path(path_type=Path, file_okay=False),
    help="The library's folder; this one if left out.",
)
@click.option("--zip", "zipped", is_flag=True, help="Make DEST.zip, one file, instead.")
@click.option(
    "--as-it-is", is_flag=True, help="Bag it although originals are not as the ledger has them."
)
def bag(dest: Path, library: Path, zipped: bool, as_it_is: bool) -> None:
    """Copy the whole library into DEST, to be kept for years.

    Makes a BagIt bag: notes, photographs, settings, ledger, pages and figures, with a digest of
    each and a guide to read first. Every copy is read back. Nothing is written over.

    \b
    Example: patinarium bag /media/stick/bells-2025 --library my-library --zip
    """
    with said():
        dest = _choose_name(dest, zipped)
        settings = read_settings_file(find_settings(library).parent)
        with _held(library / STORE) as store:
            order = Order(
                root=library,
                chosen=choose_files(library),
                dest=dest,
                zipped=zipped,
                as_it_is=as_it_is,
                description=f"{settings.title}: a library of coloured-metal test pieces",
                agent=f"Patinarium {__version__}",
                at=dt.datetime.now(tz=dt.UTC),
            )
            refuse_early(order)
            with show_progress() as progress:
                day = choose_day(None, settings)
                findings = gather(library, settings, day, progress, store=store).findings
            rows = list_rows(findings)
            texts = {f"tables/{name}": text for name, text in tables(findings, rows).items()}
            texts["tables/library.json"] = library_json(findings, rows)
            texts[GUIDE] = write_guide(settings.title, order.chosen, COLUMNS, order.at.date())
            with show_progress(_FILES) as progress:
                verdict = make_bag(order, texts, progress)
        _print_notes(verdict)
        click.echo(f"Bagged: {_count(verdict)}, each read back and as it was read.")
        click.echo(f"Look at {dest.absolute()}; later: patinarium verify {dest}")


@click.command()
@click.argument("place", default=".", type=click.Path(path_type=Path), metavar="[LIBRARY|BAG]")
def verify(place: Path) -> None:
    """Say whether every file of a library or a bag is what it was.

    A library is held against its ledger; a bag, in a folder or a zip file, against its digests and
    the ledger in it. Nothing is written. Exit code 0: valid, 1: not.

    \b
    Example: patinarium verify /media/stick/bells-2025.zip
    """
    with said():
        bagged = _is_bag(place)
        with show_progress(_FILES) as progress:
            if bagged:
                with open_tree(place) as tree:
                    verdict = judge_bag(tree, progress)
            else:
                verdict = check_library(place, progress)
        for problem in verdict.faults:
            click.echo(f"{problem}", err=True)
        _print_notes(verdict)
        click.echo(_sum_up(verdict, bagged))
        sys.exit(DONE if verdict.valid else PROBLEMS)


@click.command()
@click.argument("bag", type=click.Path(path_type=Path))
@click.argument("dest", type=click.Path(path_type=Path))
def restore(bag: Path, dest: Path) -> None:
    """Take the library out of BAG into DEST, a new or empty folder.

    The bag is judged first; one with a fault is refused. The times of the files are set again.

    \b
    Example: patinarium restore /media/stick/bells-2025.zip bells
    """
    with said():
        if not _is_bag(bag):
            raise ArchiveError(
                Problem(bag.as_posix(), 0, "this is a library, no bag", "a bag", "", Weight.STOPS)
            )
        with show_progress(_FILES) as progress:
            restored = restore_bag(bag, dest, progress)
        _print_notes(restored.verdict)
        click.echo(f"The bag is valid. {restored.files} files are in {dest.absolute()}.")
        click.echo(f"Next: patinarium build {dest}")


@contextmanager
def _held(store: Path) -> Iterator[Path]:
    """Where to keep what is seen of photographs: the library's own ``store``, held; or, where the
    library cannot be written to, a folder for this run alone."""
    try:
        lock = hold(store, "bag")
    except BusyError as error:
        if not isinstance(error.__cause__, OSError):
            raise
        with tempfile.TemporaryDirectory() as folder:
            yield Path(folder)
        return
    with lock:
        yield store


def _choose_name(dest: Path, zipped: bool) -> Path:
    ends = dest.suffix.lower() == ".zip"
    if zipped:
        return dest if ends else dest.with_name(f"{dest.name}.zip")
    if ends:
        raise ArchiveError(
            Problem(
                dest.as_posix(),
                0,
                "this is a zip file's name",
                "the name of a folder",
                "add --zip, or leave out .zip",
                Weight.STOPS,
            )
        )
    return dest


def _is_bag(place: Path) -> bool:
    """Whether it is a bag; False for a library. Raises :class:`ArchiveError` for anything else."""
    if place.suffix.lower() == ".zip" and place.is_file():
        return True
    if (place / DECLARATION).is_file():
        return True
    if (place / SETTINGS_FILE).is_file():
        return False
    if place.is_dir() and any(name_manifest(item.name) for item in place.iterdir()):
        return True  # a bag whose bagit.txt is gone
    raise ArchiveError(
        Problem(
            place.as_posix(),
            0,
            "this is neither a bag nor a library" if place.exists() else "there is no such place",
            "a folder with bagit.txt in it, a zip file of one, or a folder with mkdocs.yml",
            "name one of these",
            Weight.STOPS,
        )
    )


def _print_notes(verdict: Verdict) -> None:
    print_problems(tuple(verdict.notes[:_MANY]))
    if len(verdict.notes) > _MANY:
        click.echo(f"and {len(verdict.notes) - _MANY} more such notes", err=True)


def _sum_up(verdict: Verdict, bagged: bool) -> str:
    told = dict(verdict.about)
    made = f" Bagged on {show_name(told['Bagging-Date'][:20])}." if "Bagging-Date" in told else ""
    faults = len(verdict.faults)
    if verdict.valid and AS_IT_IS in told:
        return f"Valid, as it was bagged: {_count(verdict)}. Not all is as its ledger has it.{made}"
    if verdict.valid:
        return f"Valid: {_count(verdict)}.{made}"
    if not bagged and not verdict.entries and faults == 1:
        return "Not to be told: there is no ledger yet to hold the files against."
    if faults == verdict.unknown:
        return f"All as the ledger has it: {_count(verdict)}. Not in it yet: {faults} more."
    return f"Not valid: {faults} to put right, named above; {_count(verdict)} looked at.{made}"


def _count(verdict: Verdict) -> str:
    entries = f", {verdict.entries} entries of the ledger" if verdict.entries else ""
    return f"{len(verdict.sizes)} files, {_say_bytes(verdict.bytes)}{entries}"


def _say_bytes(count: int) -> str:
    if count < 1_000_000:
        return f"{count:,} bytes"
    return f"{count / 1e6:.1f} MB" if count < 1_000_000_000 else f"{count / 1e9:.2f} GB"
