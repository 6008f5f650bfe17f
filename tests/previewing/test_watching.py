"""What lies in the watched folders."""

from __future__ import annotations

import os
from pathlib import Path

from builder.previewing.watching import list_changed, look_over


def test_files_are_told_by_size_and_time_whether_named_or_in_a_folder(tmp_path: Path) -> None:
    deep, settings = tmp_path / "samples" / "A-1" / "sample.yaml", tmp_path / "mkdocs.yml"
    deep.parent.mkdir(parents=True)
    deep.write_text("piece: A-1\n", "utf-8")
    settings.write_text("site_name: A\n", "utf-8")
    places = [str(tmp_path / "samples"), str(settings), str(tmp_path / "none-yet")]
    before = look_over(places)
    assert set(before) == {str(deep), str(settings)}
    assert list_changed(before, look_over(places)) == set()
    os.utime(deep, ns=(1, 1))
    assert list_changed(before, look_over(places)) == {str(deep)}


def test_what_came_and_what_went_has_changed(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_text("x", "utf-8")
    before = look_over([str(tmp_path)])
    old.rename(new)
    assert list_changed(before, look_over([str(tmp_path)])) == {str(old), str(new)}


def test_what_an_editor_puts_aside_is_passed_over(tmp_path: Path) -> None:
    for name in (".sample.yaml.swp", "sample.yaml~"):
        (tmp_path / name).write_text("x", "utf-8")
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "index").write_text("x", "utf-8")
    assert look_over([str(tmp_path)]) == {}
