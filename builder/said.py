"""How the commands speak: problems on standard error, progress on a terminal, exit codes."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from builder.errors import LibraryError, PatinariumError, Problem, Weight

DONE, PROBLEMS, INTERRUPTED = 0, 1, 130


class _Day(click.ParamType[dt.date]):
    """A day on the command line, as an ISO 8601 date."""

    name = "date"

    def convert(self, value: Any, param: Any, ctx: Any) -> dt.date:
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is not a date; write it as 2025-01-14", param, ctx)


DAY = _Day()


def library_argument(command: Callable[..., Any]) -> Callable[..., Any]:
    """The library's folder as a command takes it."""
    return click.argument("library", default=".", type=click.Path(path_type=Path, file_okay=False))(
        command
    )


library_option = click.option(
    "--library",
    default=".",
    metavar="DIR",
    type=click.Path(path_type=Path, file_okay=False),
    help="The library's folder; this one if left out.",
)

today_option = click.option(
    "--today", type=DAY, default=None, metavar="DATE", help="Count days up to DATE, not today."
)

for_option = click.option(
    "--for",
    "audience",
    default="",
    metavar="AUDIENCE",
    help="For whom: students (the usual), clients, private, or one of your own.",
)


@contextmanager
def said() -> Iterator[None]:
    """Every error of ours, said as problems; the exit code is 1."""
    try:
        yield
    except PatinariumError as error:
        print_problems(error.problems)
        click.echo(f"Stopped: {len(error.problems)} to put right. Nothing was changed.", err=True)
        sys.exit(PROBLEMS)
    except KeyboardInterrupt:
        click.echo(
            "Stopped at your wish. What was done is whole; run the same again to go on.", err=True
        )
        sys.exit(INTERRUPTED)


@contextmanager
def show_progress(label: str = "photographs") -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal, silence elsewhere; called with (done, of) of what ``label`` says."""
    bar: Any = None

    def end() -> None:
        if bar is not None:
            bar.__exit__(None, None, None)

    def advance(done: int, of: int) -> None:
        nonlocal bar
        if not sys.stderr.isatty():
            return
        if of and (bar is None or bar.length != of or done < bar.pos):  # another round begins
            end()
            bar = click.progressbar(length=of, label=label, file=sys.stderr)
            bar.__enter__()
        if bar is not None:
            bar.update(done - bar.pos)

    try:
        yield advance
    finally:
        end()


def align(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Rows as lines, each column as wide as its widest cell; one that is empty throughout is
    left out."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  " + "  ".join(c.ljust(w) for c, w in zip(row, wide, strict=True) if w).rstrip()
        for row in rows
    ]


def print_problems(problems: tuple[Problem, ...]) -> None:
    """Each problem on a line of standard error, the worst first."""
    worst_first = sorted(problems, key=lambda problem: list(Weight).index(problem.weight))
    for problem in worst_first:
        click.echo(f"{problem}  [{problem.weight}]", err=True)


def count_left_out(problems: tuple[Problem, ...]) -> int:
    """How many problems keep something out of the site."""
    return sum(problem.weight is not Weight.NOTED for problem in problems)


def find_settings(library: Path) -> Path:
    """The settings' file of ``library``; ``LibraryError`` where there is none."""
    file = library / "mkdocs.yml"
    if not file.is_file():
        raise LibraryError(
            Problem(
                file.as_posix(),
                0,
                "there is no such file",
                "a library's folder, with its settings in mkdocs.yml",
                f"name the library's folder, or begin one: patinarium start {library}",
                Weight.STOPS,
            )
        )
    return file
