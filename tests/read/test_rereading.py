"""A process that stays reads a sidecar again only where it has changed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from builder.read import library as library_module
from builder.read.library import read_library, reread_sidecar
from builder.read.sidecar import Sidecar, read_sidecar
from builder.recent import Recent
from builder.records.library import Library
from builder.records.settings import Settings

TODAY = dt.date(2026, 6, 1)
WORDS = "metal: copper\nmethod: fumed\nstarted: 2025-01-02\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for number, more in (("A-1", WORDS), ("A-2", "same_as: A-1\n"), ("A-3", WORDS)):
        folder = tmp_path / "samples" / number
        folder.mkdir(parents=True)
        write(tmp_path, number, more)
    return tmp_path


@pytest.fixture
def parsed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    names: list[str] = []

    def counted(path: Path, file: str, folder: str, *more: Any) -> Sidecar:
        names.append(folder)
        return read_sidecar(path, file, folder, *more)

    monkeypatch.setattr(library_module, "read_sidecar", counted)
    return names


def write(root: Path, number: str, more: str) -> None:
    file = root / "samples" / number / "sample.yaml"
    file.write_text(f"piece: {number}\n{more}", "utf-8")


def read(root: Path, recent: Recent) -> Library:
    return read_library(root, Settings(), TODAY, recent)


def test_one_changed_sidecar_alone_is_parsed(root: Path, parsed: list[str]) -> None:
    recent = Recent()
    read(root, recent)
    parsed.clear()
    write(root, "A-3", WORDS + "notes: as green as ever\n")
    assert read(root, recent).entries[2].piece.notes.written == "as green as ever"
    assert parsed == ["A-3"]


def test_what_is_known_of_before_is_what_would_be_read(root: Path) -> None:
    recent = Recent()
    read(root, recent)
    write(root, "A-1", WORDS.replace("copper", "bronze") + "mettal: tin\n")
    assert read(root, recent) == read(root, Recent())


def test_what_goes_by_a_changed_piece_is_another_entry_and_the_rest_the_very_same(
    root: Path,
) -> None:
    recent = Recent()
    before = read(root, recent)
    write(root, "A-1", WORDS.replace("copper", "bronze"))
    after = read(root, recent)
    assert after.entries[1].piece.metal.written == "bronze"
    same = [now is then for now, then in zip(after.entries, before.entries, strict=True)]
    assert same == [False, False, True]


def test_of_a_sidecar_that_cannot_be_used_what_it_last_said_stands(root: Path) -> None:
    recent = Recent()
    before = read(root, recent)
    write(root, "A-3", "notes: [\n")
    (problem,) = reread_sidecar(root, "samples/A-3/sample.yaml", Settings(), recent)
    assert problem.file == "samples/A-3/sample.yaml"
    assert read(root, recent).entries == before.entries


def test_put_right_it_says_what_it_says(root: Path) -> None:
    recent = Recent()
    read(root, recent)
    for words in ("notes: [\n", WORDS.replace("copper", "bronze")):
        write(root, "A-3", words)
        said = reread_sidecar(root, "samples/A-3/sample.yaml", Settings(), recent)
        assert bool(said) == (words == "notes: [\n")
    assert read(root, recent).entries[2].piece.metal.written == "bronze"


def test_a_new_picture_is_seen_though_no_sidecar_changed(root: Path) -> None:
    recent = Recent()
    read(root, recent)
    (root / "samples" / "A-1" / "A-1_2025-02-03_dry_front.jpg").write_bytes(b"a")
    assert [photo.piece for photo in read(root, recent).photos] == ["A-1"]
