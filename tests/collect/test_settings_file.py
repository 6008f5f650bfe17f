"""The settings on the disk are changed whole, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.collect.settings_file import digest_settings, store_corners
from builder.errors import LibraryError
from builder.holding import STORE, hold
from builder.read.settings import read_settings_file
from builder.records.photo import Quad
from tests.collect.marked_library import SETTINGS, make_library

QUAD: Quad = ((0.1, 0.1), (0.4, 0.1), (0.4, 0.4), (0.1, 0.4))


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return make_library(tmp_path)


def test_corners_are_read_back_as_they_were_stored(library: Path) -> None:
    before = digest_settings(library)
    written = store_corners(library, before, "bench", {"piece_at": QUAD})
    assert written.digest == digest_settings(library) != before
    setup = read_settings_file(library).setup_named("bench")
    assert setup is not None
    assert setup.piece_at == QUAD
    told = (library / "mkdocs.yml").read_text(encoding="utf-8").splitlines()
    assert told[written.lines["piece_at"] - 1].strip().startswith("piece_at: [[0.1000, 0.1000]")


def test_a_change_made_meanwhile_is_not_written_over(library: Path) -> None:
    before = digest_settings(library)
    (library / "mkdocs.yml").write_text(SETTINGS + "# mine\n", encoding="utf-8")
    with pytest.raises(LibraryError, match="has changed since"):
        store_corners(library, before, "bench", {"piece_at": QUAD})
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS + "# mine\n"


def test_nothing_is_written_while_a_build_is_at_work(library: Path) -> None:
    lock = hold(library / STORE, "build")
    try:
        with pytest.raises(LibraryError, match="save again"):
            store_corners(library, digest_settings(library), "bench", {"piece_at": QUAD})
    finally:
        lock.release()
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS


def test_a_disk_that_refuses_leaves_the_file_as_it_was(library: Path, monkeypatch) -> None:
    def refuse(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(LibraryError, match="No space left on device"):
        store_corners(library, digest_settings(library), "bench", {"piece_at": QUAD})
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS
    assert sorted(p.name for p in library.iterdir()) == [
        ".patinarium",
        "bench.jpg",
        "card.txt",
        "mkdocs.yml",
    ]


def test_a_file_that_is_not_to_be_written_is_said(library: Path, monkeypatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # a root may all
    with pytest.raises(LibraryError, match="change their permissions"):
        store_corners(library, digest_settings(library), "bench", {"piece_at": QUAD})
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS


@pytest.mark.skipif(os.name == "nt", reason="permissions and links are of another kind there")
def test_permissions_and_links_stay(library: Path, tmp_path: Path) -> None:
    real = tmp_path / "kept" / "settings.yml"
    real.parent.mkdir()
    (library / "mkdocs.yml").rename(real)
    (library / "mkdocs.yml").symlink_to(real)
    real.chmod(0o640)
    store_corners(library, digest_settings(library), "bench", {"piece_at": QUAD})
    assert (library / "mkdocs.yml").is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert "[[0.1000, 0.1000]" in real.read_text(encoding="utf-8")


def test_settings_that_are_gone_are_said(library: Path) -> None:
    (library / "mkdocs.yml").unlink()
    with pytest.raises(LibraryError, match="cannot be read"):
        digest_settings(library)
