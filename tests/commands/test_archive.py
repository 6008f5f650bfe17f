"""``patinarium bag``, ``verify`` and ``restore`` as a maker meets them."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.holding import hold
from builder.shipped import shipped_folder
from tests.archive.little_library import ORIGINALS, contents, make_little_library
from tests.pipeline.small_library import copy_small_library

NOBODY = 65534


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


@pytest.fixture(scope="module")
def photographed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag of real photographs, made by the command."""
    folder = tmp_path_factory.mktemp("photographed")
    copy_small_library(folder / "library")
    result = run("bag", folder / "kept", "--library", folder / "library")
    assert result.exit_code == 0, result.output
    assert "Bagged: " in result.stdout and str(folder / "kept") in result.stdout
    return folder


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Path]:
    yield make_little_library(tmp_path / "library")


def test_a_bag_has_the_tables_and_a_guide_that_names_their_columns(photographed: Path) -> None:
    data = photographed / "kept" / "data"
    assert {path.name for path in (data / "tables").iterdir()} == {
        "pieces.csv",
        "readings.csv",
        "verdicts.csv",
        "sisters.csv",
        "pairs.csv",
        "series.csv",
        "effects.csv",
        "repeats.csv",
        "next_tests.csv",
        "library.json",
    }
    assert json.loads((data / "tables/library.json").read_text("utf-8"))["readings"]
    guide = (data / "READ-ME-FIRST.txt").read_text("utf-8")
    for told in ("sha512sum -c manifest-sha512.txt", "shasum -a 512", "certutil", "sha256sum"):
        assert told in guide
    heading = (data / "tables/readings.csv").read_text("utf-8").partition("\n")[0]
    assert all(f"\n  {column} " in guide for column in heading.split(","))
    assert all(len(line) < 110 for line in guide.splitlines())


def test_a_bag_of_photographs_is_verified_and_restored(photographed: Path, tmp_path: Path) -> None:
    result = run("verify", photographed / "kept")
    assert (result.exit_code, result.stdout.count("\n")) == (0, 1)
    assert result.stdout.startswith("Valid: 25 files, ")
    assert run("restore", photographed / "kept", tmp_path / "again").exit_code == 0
    before = contents(photographed / "library")
    again = contents(tmp_path / "again")
    assert again == {name: before[name] for name in again}
    assert len(again) == 9


def test_a_bag_as_one_file(library: Path, tmp_path: Path) -> None:
    result = run("bag", tmp_path / "kept", "--library", library, "--zip")
    assert result.exit_code == 0, result.output
    assert run("verify", tmp_path / "kept.zip").exit_code == 0
    assert not (tmp_path / "kept").exists()
    assert run("bag", tmp_path / "other.zip", "--library", library).exit_code == 1


def test_verify_says_valid_in_one_line(library: Path) -> None:
    result = run("verify", library)
    assert (result.exit_code, result.stderr.replace("files\n", "")) == (0, "")
    assert result.stdout.startswith("Valid: 6 files, ") and "7 entries" in result.stdout


def test_verify_names_what_is_not_what_it_was(library: Path) -> None:
    (library / ORIGINALS[0]).write_bytes(b"other")
    result = run("verify", library)
    assert result.exit_code == 1
    assert f"{ORIGINALS[0]}: changed since the ledger's entry 2" in result.stderr
    assert result.stdout.startswith("Not valid: 1 to put right")


def test_verify_is_calm_about_files_not_in_the_ledger_yet(library: Path) -> None:
    (library / "samples/SH-001/new.jpg").write_bytes(b"new")
    result = run("verify", library)
    assert result.exit_code == 1
    assert "samples/SH-001/new.jpg: added: not in the ledger yet" in result.stderr
    assert result.stdout.startswith("All as the ledger has it: 6 files")


def test_verify_here_is_the_usual_place(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(library)
    assert run("verify").exit_code == 0


def test_verify_writes_nothing(library: Path, tmp_path: Path) -> None:
    run("bag", tmp_path / "kept", "--library", library)
    before = contents(tmp_path)
    assert run("verify", library).exit_code == 0
    assert run("verify", tmp_path / "kept").exit_code == 0
    assert contents(tmp_path) == before


def test_what_is_neither_is_told_what_to_name(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "gone.zip"):
        result = run("verify", place)
        assert result.exit_code == 1 and "bagit.txt" in result.stderr


def test_a_bag_whose_bagit_txt_is_gone_is_still_told_for_one(library: Path, tmp_path: Path) -> None:
    run("bag", tmp_path / "kept", "--library", library)
    (tmp_path / "kept" / "bagit.txt").unlink()
    assert "bagit.txt: there is no bagit.txt" in run("verify", tmp_path / "kept").stderr


def test_a_library_is_not_restored(library: Path, tmp_path: Path) -> None:
    assert "this is a library, no bag" in run("restore", library, tmp_path / "again").stderr


def test_bagging_waits_for_nobody_at_work(library: Path, tmp_path: Path) -> None:
    with hold(library / ".patinarium", "build"):
        result = run("bag", tmp_path / "kept", "--library", library)
    assert result.exit_code == 1 and "another run is at work" in result.stderr
    assert not (tmp_path / "kept").exists()


def test_as_it_is_is_said_at_the_end(library: Path, tmp_path: Path) -> None:
    (library / ORIGINALS[0]).write_bytes(b"other")
    refused = run("bag", tmp_path / "kept", "--library", library)
    assert refused.exit_code == 1 and "--as-it-is" in refused.stderr
    assert run("bag", tmp_path / "kept", "--library", library, "--as-it-is").exit_code == 0
    result = run("verify", tmp_path / "kept")
    assert result.exit_code == 0
    assert "Not all is as its ledger has it" in result.stdout


@contextmanager
def as_reader(library: Path) -> Iterator[None]:
    """Nobody may write to ``library``; root, who may all the same, is another user meanwhile."""
    paths = (library, *library.rglob("*"))
    for path in paths:
        path.chmod(0o555 if path.is_dir() else 0o444)
    mighty = os.geteuid() == 0
    try:
        if mighty:
            os.seteuid(NOBODY)
        yield
    finally:
        if mighty:
            os.seteuid(0)
        for path in paths:
            path.chmod(0o755 if path.is_dir() else 0o644)


@pytest.mark.skipif(os.name == "nt", reason="permissions of another kind")
def test_a_library_that_cannot_be_written_to_is_bagged_and_verified(library: Path) -> None:
    run("bag", library.parent / "first", "--library", library)  # what it imports is read by then
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o777)
        kept = Path(folder) / "library"
        shutil.copytree(library, kept)
        before = contents(kept)
        with as_reader(kept):
            if not os.access(shipped_folder("site_templates"), os.R_OK, effective_ids=True):
                pytest.skip("the other user may not read this program")
            bagged = run("bag", Path(folder) / "kept", "--library", kept)
            verified = run("verify", kept)
        assert bagged.exit_code == 0, bagged.output
        assert verified.exit_code == 0, verified.output
        assert contents(kept) == before
        assert run("verify", Path(folder) / "kept").exit_code == 0
