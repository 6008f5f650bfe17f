"""``patinarium plan`` as it speaks."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from tests.collect.test_planned_folders import notes  # noqa: F401


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, ["plan", *map(str, words), "--today", "2026-06-01"])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def test_it_says_what_to_do_and_why_and_what_to_cut(notes: Path) -> None:  # noqa: F811
    said = " ".join(run(notes).stdout.split())
    assert "Next tests: 10" in said
    assert "As SH-001, but sealed with microcrystalline wax, 2 coats, cold, thin. Completes" in said
    assert "15 s / 45 s × bare / microcrystalline wax: SH-001, SH-002 and SH-004 are there" in said
    assert "Cut list" in said
    assert "× copper (ETP copper, C101) plate blank, 100 × 150 mm, 0.9 mm thick" in said
    assert "licensed practice go first" in said


def test_it_says_at_most_as_many_as_asked_and_cuts_for_those(notes: Path) -> None:  # noqa: F811
    lines = run(notes, "--count", 2).stdout.splitlines()
    assert lines[0] == "Next tests: 2"
    assert [line.strip() for line in lines[lines.index("Cut list") + 1 :] if "×" in line] == [
        "1 × copper (ETP copper, C101) plate blank, 100 × 150 mm, 0.9 mm thick",
        "1 × phosphor bronze (PB102) bell blank, 120 × 120 mm, 0.9 mm thick",
    ]


def test_folders_go_among_the_pieces_or_into_the_folder_named(
    notes: Path,  # noqa: F811
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    elsewhere = tmp_path_factory.mktemp("next")
    assert "SH-031" in run(notes, "--count", 1, "--write", elsewhere).stdout
    assert (elsewhere / "SH-031" / "sample.yaml").is_file()
    run(notes, "--count", 1, "--write")
    assert (notes / "samples" / "SH-031" / "sample.yaml").is_file()
    run(notes, "--count", 1, "--write")
    assert (notes / "samples" / "SH-032" / "sample.yaml").is_file()


def test_the_same_tests_are_not_written_twice_into_one_folder(
    notes: Path,  # noqa: F811
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    elsewhere = tmp_path_factory.mktemp("next")
    run(notes, "--count", 2, "--write", elsewhere)
    begun = elsewhere / "SH-031" / "sample.yaml"
    begun.write_text(begun.read_text().replace("started:", "started: 2026-06-02"))
    said = run(notes, "--count", 3, "--write", elsewhere).stdout.splitlines()
    assert said[-3:] == [
        f"there already: {begun}",
        f"there already: {elsewhere / 'SH-032' / 'sample.yaml'}",
        f"made {elsewhere / 'SH-033' / 'sample.yaml'}",
    ]


@pytest.mark.parametrize("inside", [".git", "site", "samples/SH-001", "samples/SH-001/new", "next"])
def test_no_folder_of_the_library_but_that_of_its_pieces_is_written_into(
    notes: Path,  # noqa: F811
    inside: str,
) -> None:
    (notes / inside).mkdir(parents=True, exist_ok=True)
    before = sorted(notes.rglob("*"))
    result = run(notes, "--write", notes / inside)
    assert result.exit_code == 1
    assert "lies within the library, where no piece belongs" in result.stderr
    assert "leave the folder out, and they are made in samples" in result.stderr
    assert sorted(notes.rglob("*")) == before


def test_the_folder_of_the_pieces_may_be_named(notes: Path) -> None:  # noqa: F811
    assert "made" in run(notes, "--count", 1, "--write", notes / "samples").stdout


def test_a_library_is_no_folder_to_write_into(
    notes: Path,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    result = run(notes, "--write", notes)
    assert "this is a whole library, and no folder to put pieces in" in result.stderr
    monkeypatch.chdir(notes.parent)
    result = run("--write", notes.name)
    assert result.exit_code == 1
    assert f"give “patinarium plan {notes.name} --write”" in result.stderr


def test_a_number_behind_write_is_told_from_a_folder(notes: Path) -> None:  # noqa: F811
    result = run(notes, "--write", 3)
    assert result.exit_code == 1
    assert "give “--count 3 --write”" in result.stderr


def test_what_is_planned_already_is_said_to_be(notes: Path) -> None:  # noqa: F811
    run(notes, "--count", 100, "--write")
    said = " ".join(run(notes).stdout.split())
    assert said == "No other test to propose: all that could be asked for is planned already."


def test_without_a_wish_nothing_is_written(notes: Path) -> None:  # noqa: F811
    before = sorted(notes.rglob("*"))
    run(notes)
    assert sorted(notes.rglob("*")) == before


def test_a_folder_that_is_not_there_is_named(notes: Path) -> None:  # noqa: F811
    result = run(notes, "--write", notes / "none")
    assert result.exit_code == 1
    assert "there is no such folder" in result.stderr
