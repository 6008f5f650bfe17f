"""A started library is one that builds."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.collect.starting import start_library
from builder.errors import LibraryError
from builder.read.library import read_library
from builder.read.settings import read_settings_file

TODAY = dt.date(2026, 6, 1)


@pytest.mark.parametrize(
    "title", ["Bell tests", 'A "quoted": title # with signs', "Zoë’s Grünspan"]
)
def test_a_started_library_reads_without_a_problem(tmp_path: Path, title: str) -> None:
    made = start_library(tmp_path / "new", title, TODAY)
    assert all(path.is_file() for path in made)
    settings = read_settings_file(tmp_path / "new")
    assert settings.title == title
    library = read_library(tmp_path / "new", settings, TODAY)
    assert [entry.piece.piece for entry in library.entries] == ["TP-001"]
    assert library.problems == ()


def test_nothing_there_is_written_over(tmp_path: Path) -> None:
    mine = tmp_path / "mkdocs.yml"
    mine.write_text("site_name: mine\n", encoding="utf-8")
    with pytest.raises(LibraryError, match="already here"):
        start_library(tmp_path, "Other", TODAY)
    assert mine.read_text(encoding="utf-8") == "site_name: mine\n"
    assert list(tmp_path.iterdir()) == [mine]
