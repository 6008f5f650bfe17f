"""The last good site is whole at every moment, or put back by the next run."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder import changeover
from builder.changeover import building_folder, change_over, hold, mend
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


def test_a_second_build_is_refused_until_the_first_has_ended(tmp_path: Path) -> None:
    site, store = tmp_path / "site", tmp_path / "store"
    first = hold(site, store)
    with pytest.raises(SiteError, match="another build of this library is at work"):
        hold(site, store)
    first.release()
    hold(site, store).release()
