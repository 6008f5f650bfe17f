"""The commands ``patinarium add`` and ``record``: what comes into the library, and its ledger."""

from __future__ import annotations

import datetime as dt
import sys
import uuid
from collections.abc import Sequence
from pathlib import Path

import click

from builder.errors import Problem
from builder.filing.annotating import list_edits
from builder.filing.intake import Intake, carry_out, plan_intake
from builder.filing.matching import Ask
from builder.filing.planning import Filing, Plan, Told
from builder.filing.recording import list_unwritten
from builder.filing.telling import say_as_what, say_verdicts
from builder.holding import STORE, hold
from builder.ledger import Book
from builder.pipeline import choose_day, gather
from builder.read.seen_words import read_seen
from builder.read.settings import read_settings_file
from builder.records.ledger import LEDGER, Deed
from builder.records.photo import State
from builder.relate.findings import Findings
from builder.said import (
    DAY,
    DONE,
    PROBLEMS,
    find_settings,
    library_option,
    print_problems,
    said,
    show_progress,
    today_option,
)

_dry_run = click.option("--dry-run", is_flag=True, help="Show what would be done, and do nothing.")


@click.command()
@click.argument("photos", nargs=-1, required=True, metavar="PHOTO|FOLDER...", type=click.Path())
@library_option
@click.option("--piece", default="", metavar="NUMBER", help="The piece they all show.")
@click.option(
    "--state",
    type=click.Choice([state.value for state in State], case_sensitive=False),
    default=None,
    help="What they show it as; else told from the piece's dates.",
)
@click.option("--date", "day", type=DAY, default=None, help="The day, instead of the camera's.")
@click.option("--setup", default="", metavar="NAME", help="The set-up they were taken on.")
@click.option("--caption", default="", metavar="WORDS", help="Words to stand under them.")
@click.option(
    "--seen",
    multiple=True,
    metavar="WORDS",
    help="What you saw: “powdering, lower edge, slight, active”, or “nothing”. May be repeated.",
)
@_dry_run
@today_option
def add(
    photos: tuple[str, ...],
    library: Path,
    piece: str,
    state: str | None,
    day: dt.date | None,
    setup: str,
    caption: str,
    seen: tuple[str, ...],
    dry_run: bool,
    today: dt.date | None,
) -> None:
    """File each PHOTO, or those of a FOLDER, with the piece it shows.

    The piece is told by the label in the picture, else by the file's name or its folder's, else you
    are asked. Each is copied, the copy is read back, and the ledger gets an entry; what you hand
    over is never moved or changed. The verdict is said at once.

    \b
    Example: patinarium add /media/phone/DCIM --dry-run
    Example: patinarium add IMG_4711.HEIC --seen "powdering, lower edge, slight, active"
    """
    with said():
        root = find_settings(library).parent
        settings = read_settings_file(root)
        by = choose_day(today, settings)
        if day and day > by:
            raise click.UsageError(f"--date {day} is in the future (today is {by})")
        told = Told(piece, State(state) if state else None, day, setup, caption, read_seen(seen))
        named = [Path(photo) for photo in photos]
        with hold(root / STORE, "add"):
            with show_progress() as progress:
                intake = plan_intake(root, settings, named, told, by, _ask(), progress)
            pieces = {filing.file.piece for filing in intake.plan.filings}
            if seen and len(pieces) > 1:
                raise click.UsageError(f"--seen is of one piece; these are {_list(pieces)}")
            if setup and not settings.setup_named(setup):
                raise click.UsageError(f"there is no set-up “{setup}” in mkdocs.yml")
            if dry_run:
                _tell(intake, intake.plan, told, None)
                click.echo("Nothing was done: this was a dry run.")
                sys.exit(PROBLEMS if intake.plan.problems or intake.incoming.problems else DONE)
            with show_progress() as progress:
                plan, findings = carry_out(intake, told, _now, progress)
        _tell(intake, plan, told, findings)
        sys.exit(PROBLEMS if plan.problems or intake.incoming.problems else DONE)


def _list(numbers: set[str]) -> str:
    some = sorted(numbers)
    return f"{', '.join(some[:-1])} and {some[-1]}"


def _now() -> dt.datetime:
    return dt.datetime.now(tz=dt.UTC)


def _ask() -> Ask | None:
    """Asks at the terminal; nothing to ask where there is none."""
    if not sys.stdin.isatty():
        return None

    def ask(question: str, candidates: Sequence[str]) -> str:
        click.echo(question)
        near = f" ({', '.join(candidates)})" if candidates else ""
        answer: str = click.prompt(
            f"Number of the piece{near}, or nothing to leave it", default="", show_default=False
        )
        return answer.strip()

    return ask


def _tell(intake: Intake, plan: Plan, told: Told, findings: Findings | None) -> None:
    for filing in plan.filings:
        click.echo(f"{filing.source} → {filing.file.piece}, {filing.because}")
        click.echo(f"    {say_as_what(filing)}")
        if list_edits(filing, told, with_check=True):
            click.echo(f"    noted in {filing.entry.file}")
        for line in say_verdicts(filing.path, findings) if findings else ():
            click.echo(f"    {line}")
        for problem in _doubts(filing, findings):
            click.echo(f"    doubt: {problem.found}; {problem.remedy}")
    for source, path in plan.there:
        click.echo(f"{source} is filed already, as {path}")
    problems = (*intake.incoming.problems, *plan.problems)
    print_problems(problems)
    click.echo(_count(intake, plan, len(problems)))


def _doubts(filing: Filing, findings: Findings | None) -> tuple[Problem, ...]:
    if findings is None:
        return filing.doubts
    return tuple(problem for problem in findings.problems if problem.file == filing.path)


def _count(intake: Intake, plan: Plan, left: int) -> str:
    parts = [f"{len(plan.filings)} filed"]
    parts += [f"{len(plan.there)} there already"] if plan.there else []
    parts += [f"{left} left"] if left else []
    over, inside = intake.incoming.passed_over, intake.incoming.inside
    parts += [f"{over} passed over as no pictures"] if over else []
    parts += [f"{inside} lie in the library already"] if inside else []
    return ", ".join(parts) + ". What you handed over is as it was."


@click.command()
@click.argument("files", nargs=-1, metavar="[FILE]...")
@library_option
@click.option("--why", default="", metavar="REASON", help="Why each FILE changed or is gone.")
@_dry_run
@today_option
def record(
    files: tuple[str, ...], library: Path, why: str, dry_run: bool, today: dt.date | None
) -> None:
    """Write down in the ledger what you put in or edited by hand.

    Photographs put into their folders, sidecars and settings edited, files moved. That a photograph
    changed, or a file is gone, is written down only for each FILE you name, with --why.

    \b
    Example: patinarium record
    Example: patinarium record samples/SH-014/blurred.jpg --why "not sharp, taken again"
    """
    with said():
        root = find_settings(library).parent
        if bool(files) != bool(why.strip()):
            raise click.UsageError("name the files and say --why, or neither")
        settings = read_settings_file(root)
        vouched = tuple(_within(file, root) for file in files)
        with hold(root / STORE, "record"):
            with show_progress() as progress:
                findings = gather(root, settings, choose_day(today, settings), progress).findings
            book = Book(root, str(uuid.uuid4()))
            unwritten = list_unwritten(findings, book, vouched, " ".join(why.split()))
            known = {draft.file for draft in unwritten.drafts}
            for path in vouched:
                if path not in known and path not in book.standing:
                    raise click.UsageError(f"the ledger has no file {path}")
                if path not in known:
                    raise click.UsageError(
                        f"{path} has neither changed nor gone since it was filed"
                    )
            if not dry_run:
                book.append(unwritten.drafts, _now())
        print_problems(tuple(unwritten.problems))
        verb = "to be written" if dry_run else "written"
        for what in Deed:
            some = [draft.file for draft in unwritten.drafts if draft.what is what]
            if some:
                more = f" and {len(some) - 3} more" if len(some) > 3 else ""
                click.echo(f"{what}: {', '.join(some[:3])}{more}")
        count = len(unwritten.drafts)
        entries = "1 entry" if count == 1 else f"{count} entries"
        click.echo(f"{entries} {verb} to {root / LEDGER}.")
        sys.exit(PROBLEMS if unwritten.problems else DONE)


def _within(file: str, root: Path) -> str:
    """A file as the ledger names it, whether it was given from here or from the library."""
    for path in (Path(file), root / file):
        try:
            return path.resolve().relative_to(root.resolve()).as_posix()
        except ValueError:
            continue
    return file
