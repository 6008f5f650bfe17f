"""Whether a site still stands, told without opening a file of the library."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.changeover import MARK
from builder.errors import Problem
from builder.unchanged import Standing, find_standing, mark_inputs, note_standing

ASKED = {"today": "2026-03-01"}
PROBLEM = Problem("samples/A/sample.yaml", 3, "found", "expected", "remedy")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    for name in ("mkdocs.yml", "samples/A/sample.yaml", "samples/A/A_fresh.jpg"):
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(name)
    for name in (MARK, "index.html", "pieces/A.html", "pictures/a.jpg"):
        file = tmp_path / "site" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(name)
    (tmp_path / ".patinarium").mkdir()
    note(tmp_path)
    return tmp_path


def note(library: Path) -> None:
    standing = Standing(library / "site", (PROBLEM,), "1 piece")
    note_standing(library / ".patinarium", ASKED, mark_inputs(library, ASKED), standing)


def look(library: Path, **asked: str) -> Standing | None:
    asked = {**ASKED, **asked}
    return find_standing(library / ".patinarium", asked, mark_inputs(library, asked))


def test_where_nothing_changed_the_site_stands_with_all_that_was_said(library: Path) -> None:
    assert look(library) == Standing(library / "site", (PROBLEM,), "1 piece")


@pytest.mark.parametrize("name", ["mkdocs.yml", "samples/A/sample.yaml", "samples/A/A_fresh.jpg"])
def test_a_file_of_the_library_that_changed_its_time_or_size_is_noticed(
    library: Path, name: str
) -> None:
    status = (library / name).stat()
    os.utime(library / name, ns=(status.st_atime_ns, status.st_mtime_ns + 1))
    assert look(library) is None


@pytest.mark.parametrize("name", ["samples/B/sample.yaml", "docs/new.md", "samples/A/new.jpg"])
def test_a_file_that_came_is_noticed(library: Path, name: str) -> None:
    (library / name).parent.mkdir(parents=True, exist_ok=True)
    (library / name).touch()
    assert look(library) is None


def test_a_file_that_went_is_noticed(library: Path) -> None:
    (library / "samples/A/A_fresh.jpg").unlink()
    assert look(library) is None


@pytest.mark.parametrize("name", ["index.html", "pieces/A.html", "pictures/a.jpg"])
def test_a_page_or_picture_of_the_site_that_went_is_noticed(library: Path, name: str) -> None:
    (library / "site" / name).unlink()
    assert look(library) is None


def test_a_page_that_was_touched_is_noticed(library: Path) -> None:
    (library / "site/index.html").write_text("vandal")
    assert look(library) is None


def test_another_day_or_audience_is_another_site(library: Path) -> None:
    assert look(library, today="2026-03-02") is None
    assert look(library, audience="clients") is None


def test_a_link_in_the_library_leads_elsewhere_and_is_never_trusted(library: Path) -> None:
    (library / "samples/B").symlink_to(library / "samples/A")
    note(library)
    assert look(library) is None


def test_a_site_that_was_not_there_before_changes_nothing(library: Path) -> None:
    before = mark_inputs(library, ASKED)
    (library / "site-for-clients").mkdir()
    (library / "site-for-clients" / MARK).touch()
    assert mark_inputs(library, ASKED) == before


def test_a_note_that_is_damaged_is_no_note(library: Path) -> None:
    for text in ("", "{", "[]", '{"site": 3}', "\xff"):
        (written,) = (library / ".patinarium").iterdir()
        written.write_text(text, encoding="latin-1")
        assert look(library) is None


def test_no_file_of_the_library_is_opened(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    real = Path.read_bytes

    def spy(path: Path) -> bytes:
        opened.append(path.name)
        return real(path)

    monkeypatch.setattr(Path, "read_bytes", spy)
    assert look(library)
    assert len(opened) == 1 and opened[0].startswith("built-")
