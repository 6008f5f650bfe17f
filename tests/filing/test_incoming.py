"""Only pictures come in, each once, whatever else lies about."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.filing.incoming import list_incoming


def test_a_folder_gives_its_pictures_by_path_and_counts_the_rest(tmp_path: Path) -> None:
    for name in ("b/2.jpg", "a/1.HEIC", "a/notes.txt", ".trash/9.jpg", ".hidden.jpg"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
    found = list_incoming([tmp_path, tmp_path / "b" / "2.jpg"], tmp_path / "samples")
    assert [path.name for path in found.photos] == ["1.HEIC", "2.jpg"]
    assert found.passed_over == 1
    assert found.problems == ()


def test_ten_thousand_other_files_are_passed_over(tmp_path: Path) -> None:
    for number in range(10_000):
        (tmp_path / f"{number}.dat").touch()
    found = list_incoming([tmp_path], tmp_path / "samples")
    assert (found.photos, found.passed_over) == ((), 10_000)


def test_what_lies_in_the_library_is_there_already(tmp_path: Path) -> None:
    (tmp_path / "samples" / "SH-001").mkdir(parents=True)
    (tmp_path / "samples" / "SH-001" / "a.jpg").write_bytes(b"x")
    found = list_incoming([tmp_path], tmp_path / "samples")
    assert (found.photos, found.inside) == ((), 1)


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_links_that_go_in_circles_are_not_followed(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "loop").symlink_to(tmp_path)
    (tmp_path / "self.jpg").symlink_to(tmp_path / "self.jpg")
    (tmp_path / "a.jpg").write_bytes(b"x")
    found = list_incoming([tmp_path, tmp_path / "self.jpg"], tmp_path / "samples")
    assert tmp_path / "a.jpg" in found.photos
    assert len(found.photos) + len(found.problems) <= 3


def test_what_cannot_be_taken_is_named(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_bytes(b"x")
    found = list_incoming([tmp_path / "gone.jpg", tmp_path / "notes.txt"], tmp_path / "samples")
    assert [problem.found for problem in found.problems] == [
        "there is no such file or folder",
        "this is no picture by its name",
    ]
