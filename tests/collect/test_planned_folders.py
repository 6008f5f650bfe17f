"""Folders for pieces that are to be made."""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from builder.collect.planned_folders import (
    PlannedFolder,
    find_free_numbers,
    keep_folders,
    plan_folders,
    write_sidecar,
)
from builder.errors import LibraryError
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.library import Library
from builder.relate.factors import differing, list_factors
from builder.relate.find import find_findings
from builder.relate.next_tests import NextTest, find_tests
from builder.relate.planned import record_of
from tests.relate.demo import ROOT, TODAY, entry_of, find

LATER = dt.date(2027, 1, 1)


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """The demo's settings and sidecars, without a photograph."""
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    for file in (ROOT / "samples").rglob("*"):
        if file.name == "sample.yaml" or file.suffix == ".txt":
            target = tmp_path / file.relative_to(ROOT)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(file, target)
    return tmp_path


def read(root: Path) -> Library:
    return read_library(root, read_settings_file(root), LATER)


def planned_for(library: Library) -> tuple[NextTest, ...]:
    return find_tests(find_findings(library, (), TODAY), 100)


@pytest.mark.parametrize(
    ("numbers", "taken", "free"),
    [
        (["TP-001", "TP-030"], [], ("TP-031", "TP-032")),
        (["TP-9"], [], ("TP-10", "TP-11")),
        (["SH-001", "SH-002", "X-900"], [], ("SH-003", "SH-004")),
        (["TP-030"], ["tp-031"], ("TP-032", "TP-033")),
        (["12", "13"], [], ("14", "15")),
        (["bell", "dish"], [], ("TP-001", "TP-002")),
        ([], [], ("TP-001", "TP-002")),
    ],
)
def test_numbers_go_on_as_the_library_has_them(
    numbers: list[str], taken: list[str], free: tuple[str, ...]
) -> None:
    assert find_free_numbers(numbers, taken, 2) == free


def test_every_folder_is_read_back_without_a_problem(notes: Path) -> None:
    library = read(notes)
    tests = planned_for(library)
    numbers = [entry.piece.piece for entry in library.entries]
    made = keep_folders(plan_folders(tests, numbers), notes / "samples")
    assert len(made) == len(tests) > 10
    again = read(notes)
    assert again.problems == library.problems
    by_number = {entry.piece.piece: entry for entry in again.entries}
    for path, test in zip(made, tests, strict=True):
        entry = by_number[path.parent.name]
        assert entry.piece.why.written
        assert entry.piece.same_as == test.plan.base.entry.piece.piece
        (strand,) = find((entry,), []).planned
        assert list(differing(list_factors(strand), record_of(test.plan))) == []
    # What is planned is not proposed again, nor built on.
    assert planned_for(again) == ()


def test_a_sidecar_is_short_and_leaves_the_day_open(notes: Path) -> None:
    library = read(notes)
    test = next(t for t in planned_for(library) if t.plan.factor == "temp")
    (folder,) = plan_folders([test], [entry.piece.piece for entry in library.entries])
    assert folder.text.splitlines() == [
        "piece: SH-031",
        "same_as: SH-019",
        "change:",
        "  batch:",
        "  temperature_c: 185",
        "  started:                   # the day it is begun",
        "why: Adds a third temperature to SH-019 (150 °C) and SH-021 (220 °C).",
    ]


def test_a_day_written_where_it_was_left_open_is_read(notes: Path) -> None:
    library = read(notes)
    (folder,) = plan_folders(planned_for(library)[:1], [e.piece.piece for e in library.entries])
    told = PlannedFolder(folder.number, folder.text.replace("started:", "started: 2026-12-01 "))
    keep_folders([told], notes / "samples")
    assert read(notes).problems == library.problems


def test_of_a_piece_tried_twice_the_attempt_is_named() -> None:
    rows = [{"attempt": 1, "outcome": "stripped"}, {"attempt": 2, "exposure": "1 h"}]
    usual = {"ingredients": ["salt"], "sealant": "shellac"}
    entries = tuple(entry_of(piece="P-1", **{**usual, **row}) for row in rows)
    tests = find_tests(find(entries, []), 10)
    texts = [folder.text for folder in plan_folders(tests, ["P-1", "P-1"])]
    assert texts and all("\nsame_as: P-1 attempt " in text for text in texts)


def test_a_folder_that_is_there_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "TP-2").mkdir()
    folders = [PlannedFolder("TP-1", "piece: TP-1\n"), PlannedFolder("TP-2", "piece: TP-2\n")]
    with pytest.raises(LibraryError, match="here already"):
        keep_folders(folders, tmp_path)
    assert list((tmp_path / "TP-2").iterdir()) == []
    assert (tmp_path / "TP-1" / "sample.yaml").read_text("utf-8") == "piece: TP-1\n"


def test_what_a_piece_keeps_private_its_planned_sister_keeps_too(notes: Path) -> None:
    library = read(notes)
    findings = find_findings(library, (), TODAY)
    (test, *_) = find_tests(findings)
    base = test.plan.base.entry.piece.model_copy(update={"share": {"recipe": "private"}})
    entry = test.plan.base.entry.model_copy(update={"piece": base})
    veiled = replace(test, plan=replace(test.plan, base=replace(test.plan.base, entry=entry)))
    text = write_sidecar(veiled, "TP-1", hidden=lambda strand, factor: factor == "time")
    assert "share: {recipe: private}" in text
    assert "15 s" not in text.partition("why:")[2]
