"""``patinarium due`` as it speaks."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import icalendar
import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.commands.due import _report
from builder.relate.due import find_due
from tests.pipeline.small_library import copy_small_library
from tests.relate.demo import find_written


@pytest.fixture(scope="module")
def read_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library that was never built, its photographs read by the first command."""
    root = copy_small_library(tmp_path_factory.mktemp("read") / "library")
    result = run("due", root, "--today", "2025-11-01", "--by", "2026-11-01")
    (root / "said").write_text(result.stdout, "utf-8")
    return root


@pytest.fixture
def library(read_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(read_once, tmp_path / "library"))


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def report(today: dt.date, by: dt.date, everything: bool = False) -> list[str]:
    return list(_report(find_due(find_written(today)), today, by, everything))


def test_overdue_comes_first_then_what_is_due_in_aligned_lines() -> None:
    lines = report(dt.date(2025, 6, 10), dt.date(2025, 7, 31))
    assert lines[:10] == [
        "Counted to 2025-06-10.",
        "",
        "Overdue: 1",
        "  SH-020  6 months  2025-05-14  27 days late  last looked at 2025-02-14",
        "",
        "Due by 2025-07-31: 4",
        "  SH-026  6 months  2025-07-14                last looked at 2025-04-18",
        "  SH-027  6 months  2025-07-14                last looked at 2025-04-16",
        "  SH-029  6 months  2025-07-23                last looked at 2025-04-26",
        "  SH-028  6 months  2025-07-25                last looked at 2025-04-24",
    ]


def test_what_was_missed_or_late_is_counted_or_listed() -> None:
    today = dt.date(2025, 11, 1)
    # by hand: 22 first days and 5 others missed, 6 late (tests/relate/test_due.py)
    assert report(today, today)[-1] == "So far 27 missed and 6 late; --all lists them."
    lines = report(today, today, everything=True)
    assert "So far 27 missed and 6 late:" in lines
    said = {tuple(line.split(maxsplit=2)) for line in lines}
    assert ("SH-005", "2024-12-19", "3 months: missed") in said
    assert ("SH-020", "2025-05-14", "6 months: taken at 7 months, 34 days late") in said


def test_a_library_that_was_never_built_is_read_and_told(library: Path) -> None:
    said = (library / "said").read_text("utf-8")
    assert "Overdue: 0" in said
    # Of SH-012 the last picture here is of January; its notes tell of a look in October.
    assert "SH-012  2 years  2026-10-15  last looked at 2025-10-15" in said
    assert "SH-014  2 years  2026-10-16  last looked at 2025-10-19" in said


def test_a_sealed_piece_without_its_day_cannot_be_told(library: Path) -> None:
    sidecar = library / "samples" / "SH-014" / "sample.yaml"
    sidecar.write_text(sidecar.read_text("utf-8").replace("date: 2024-10-16, ", ""), "utf-8")
    result = run("due", library, "--today", "2025-11-01")
    assert "Cannot be told: 1" in result.stdout
    assert "SH-014  the day of sealing is not written" in result.stdout


def test_a_calendar_is_written_and_written_anew(library: Path, tmp_path: Path) -> None:
    file = tmp_path / "rechecks.ics"
    for day in ("2025-11-01", "2025-12-01"):
        result = run("due", library, "--today", day, "--calendar", file)
        assert result.exit_code == 0
        assert f"made {file}: 2 events" in result.stdout
    read = icalendar.Calendar.from_ical(file.read_bytes())
    assert [event.decoded("DTSTART") for event in read.walk("VEVENT")] == [
        dt.date(2026, 10, 15),
        dt.date(2026, 10, 16),
    ]


def test_no_calendar_is_written_over_something_else(library: Path) -> None:
    sidecar = library / "samples" / "SH-012" / "sample.yaml"
    before = sidecar.read_bytes()
    result = run("due", library, "--calendar", sidecar)
    assert result.exit_code == 1
    assert "is no calendar" in result.stderr
    assert sidecar.read_bytes() == before


def test_a_folder_that_is_not_there_is_a_problem(library: Path, tmp_path: Path) -> None:
    result = run("due", library, "--today", "2025-11-01", "--calendar", tmp_path / "no" / "a.ics")
    assert result.exit_code == 1
    assert "could not be written" in result.stderr


def test_a_library_without_pieces_writes_no_calendar(library: Path, tmp_path: Path) -> None:
    for number in ("SH-012", "SH-014"):
        (library / "samples" / number / "sample.yaml").write_text("piece: [\n", "utf-8")
    result = run("due", library, "--calendar", tmp_path / "a.ics")
    assert "was not written" in result.stdout
    assert "left out" in result.stderr
    assert not (tmp_path / "a.ics").exists()


def test_cards_are_made_from_what_is_kept(library: Path, tmp_path: Path) -> None:
    words = ("print", "jig-card", "--library", library, "--today", "2025-11-01", "--out", tmp_path)
    result = run(*words, "--format", "both")
    assert result.exit_code == 0, result.output
    names = sorted(path.name for path in tmp_path.glob("jig-cards-*"))
    named = "jig-cards-a4-2025-11-01-SH-012-to-SH-014"
    assert names == [f"{named}.pdf", f"{named}.svg"]
    assert "2 cards." in result.stdout
