"""The last good site is whole at every moment, or put back by the next run."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder import changeover
from builder.changeover import building_folder, change_over, mark, mend, refuse_place
from builder.errors import SiteError


def make(folder: Path, words: str) -> Path:
    folder.mkdir(parents=True)
    (folder / "index.html").write_text(words, encoding="utf-8")
    return folder


def read(folder: Path) -> str:
    return (folder / "index.html").read_text(encoding="utf-8")


@pytest.fixture(params=["exchange", "two renames"])
def site(tmp_path: Path, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Path:
    if request.param == "two renames":
        monkeypatch.setattr(changeover, "_exchange", lambda one, other: False)
    return tmp_path / "site"


def test_the_new_site_takes_the_place_of_the_old(site: Path) -> None:
    make(site, "old")
    change_over(make(building_folder(site), "new"), site)
    assert read(site) == "new"
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def test_the_first_site_needs_no_old_one(site: Path) -> None:
    change_over(make(building_folder(site), "new"), site)
    assert read(site) == "new"


def test_a_run_that_ended_between_the_renames_is_mended(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(changeover, "_exchange", lambda one, other: False)
    make(site, "old")
    new = make(building_folder(site), "new")
    true = Path.rename

    def killed(self: Path, target: Path) -> Path:
        if self == new:
            raise KeyboardInterrupt
        return true(self, target)

    monkeypatch.setattr(Path, "rename", killed)
    with pytest.raises(KeyboardInterrupt):
        change_over(new, site)
    monkeypatch.setattr(Path, "rename", true)
    mend(site)
    assert read(site) == "old"


def test_a_refused_change_leaves_the_old_site(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(changeover, "_exchange", lambda one, other: False)
    make(site, "old")
    new = make(building_folder(site), "new")
    true = Path.rename

    def refused(self: Path, target: Path) -> Path:
        if self == new:
            raise PermissionError(13, "in use")
        return true(self, target)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(SiteError, match="in use"):
        change_over(new, site)
    assert read(site) == "old"


def test_a_site_made_by_a_build_may_be_replaced(tmp_path: Path) -> None:
    mark(make(tmp_path / "site", "old"))
    refuse_place(tmp_path / "site", tmp_path, (tmp_path / "samples",))
    refuse_place(tmp_path / "new", tmp_path, (tmp_path / "samples",))


@pytest.mark.parametrize("name", ["samples", "samples/SH-001", ".", "..", "samples/new"])
def test_a_site_in_the_librarys_own_folders_is_refused(tmp_path: Path, name: str) -> None:
    root = tmp_path / "library"
    kept = make(root / "samples" / "SH-001", "an original")
    with pytest.raises(SiteError, match="nothing was changed"):
        refuse_place((root / name).resolve(), root, (root / "samples",))
    assert read(kept) == "an original"


def test_a_folder_of_somebodys_own_is_refused(tmp_path: Path) -> None:
    make(tmp_path / "site", "mine")
    with pytest.raises(SiteError, match="no build has made"):
        refuse_place(tmp_path / "site", tmp_path, ())


def test_a_link_or_a_file_in_the_sites_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(make(tmp_path / "elsewhere", "mine"))
    with pytest.raises(SiteError, match="is a link"):
        refuse_place(tmp_path / "link", tmp_path, ())
    with pytest.raises(SiteError, match="is a file"):
        refuse_place(tmp_path / "elsewhere" / "index.html", tmp_path, ())


def test_what_lies_in_the_way_of_the_next_site_is_cleared(tmp_path: Path) -> None:
    building_folder(tmp_path / "site").write_text("left over", encoding="utf-8")
    mend(tmp_path / "site")
    assert not building_folder(tmp_path / "site").exists()
