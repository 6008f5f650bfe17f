"""A site of which most pages were taken from the last one is the site made from nothing."""

from __future__ import annotations

import datetime as dt
import os
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.commands import building
from builder.digests import digest_file
from builder.holding import STORE
from tests.benchmarks.grown import grow

TODAY = dt.date(2026, 6, 1)
PIECES = 34  # the demo's, and a few of them again
#: What a run leaves besides what was seen of photographs.
LEFT = ("carried.sqlite3", "pages.sqlite3")


def build(root: Path, audience: str = "", today: dt.date = TODAY) -> int:
    """How many pages were rendered."""
    config, plugin = building.load_mkdocs(root, today, audience)
    building.run_mkdocs(config, plugin)
    return int(plugin.binder.rendered)


def read_site(root: Path) -> dict[str, str]:
    """Every file but pictures, which are named by content, by path."""
    site = root / "site"
    files = (file for file in site.rglob("*") if file.is_file() and file.parent.name != "pictures")
    return {file.relative_to(site).as_posix(): digest_file(file) for file in files}


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("grown") / "library"
    grow(root, PIECES, hollow=True, seen=True)
    build(root)
    return root


def sidecar(root: Path, number: str) -> Path:
    return root / "samples" / number / "sample.yaml"


def write(root: Path, number: str, line: str) -> None:
    """Add a line to a sidecar, in the place of the one with its key."""
    file = sidecar(root, number)
    text = re.sub(rf"(?m)^{line.partition(':')[0]}:.*\n(?:[ -].*\n)*", "", file.read_text("utf-8"))
    file.write_text(f"{text}{line}\n", "utf-8")


def set_option(root: Path, line: str) -> None:
    file = root / "mkdocs.yml"
    text = file.read_text("utf-8").replace("  - patinarium:\n", f"  - patinarium:\n      {line}\n")
    file.write_text(text, "utf-8")


def drop_photo(root: Path) -> None:
    next((root / "samples" / "AA-014").glob("*recheck*")).unlink()


def add_page(root: Path) -> None:
    (root / "docs" / "guide.md").write_text("# A guide\n\n[one](pieces/AA-012.md)\n", "utf-8")


def spoil_page(root: Path) -> None:
    page = root / "site" / "pieces" / "AA-012.html"
    page.write_text(page.read_text("utf-8") + "<!-- by hand -->", "utf-8")


def forge_page(root: Path) -> None:
    """With its size and time kept."""
    page = root / "site" / "pieces" / "AA-014.html"
    before = page.stat()
    page.write_text(page.read_text("utf-8").replace("Copper", "Coffer"), "utf-8")
    os.utime(page, ns=(before.st_atime_ns, before.st_mtime_ns))


CHANGES: dict[str, Callable[[Path], object]] = {
    "a word": lambda root: write(root, "AA-012", "why: a word put in afterwards"),
    "another method, which its title says": lambda root: write(root, "AA-012", "method: fumed"),
    "another sealant": lambda root: write(root, "AA-014", "sealant: {kind: shellac}"),
    "a factor that pairs are made by": lambda root: write(root, "AA-015", "exposure: 9 d"),
    "kept private": lambda root: write(root, "AA-012", "share: {recipe: private}"),
    "photographs kept private": lambda root: write(root, "AA-014", "share: {photos: private}"),
    "a whole piece kept private": lambda root: write(root, "AA-016", "share: {piece: private}"),
    "a number that can no longer be read": lambda root: write(root, "AA-017", "temp: warmish"),
    "a sidecar that cannot be used": lambda root: write(root, "AA-018", "metal: [brass"),
    "a piece gone": lambda root: shutil.rmtree(root / "samples" / "AA-015"),
    "a photograph gone": drop_photo,
    "another threshold": lambda root: set_option(root, "threshold: 2.5"),
    "prices": lambda root: set_option(root, "prices: {malt vinegar: 2 per l}"),
    "a page of the maker's own": add_page,
    "a page changed by hand": spoil_page,
    "a page forged": forge_page,
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_site_is_what_it_were_from_nothing(library: Path, tmp_path: Path, change: str) -> None:
    """One change after the other, in the same library; nothing is left out of what is compared."""
    CHANGES[change](library)
    build(library)
    anew = tmp_path / library.name
    shutil.copytree(library, anew, copy_function=shutil.copy2)
    for left in LEFT:
        (anew / STORE / left).unlink()
    build(anew)
    assert read_site(library) == read_site(anew)


def test_another_day_and_another_audience_have_pages_of_their_own(
    library: Path, tmp_path: Path
) -> None:
    later = TODAY + dt.timedelta(days=400)
    build(library, today=later)
    build(library, "private", later)
    build(library, today=later)
    anew = tmp_path / library.name
    shutil.copytree(library, anew, copy_function=shutil.copy2)
    shutil.rmtree(anew / STORE)
    shutil.copytree(library / STORE, anew / STORE, ignore=shutil.ignore_patterns(*LEFT))
    build(anew, today=later)
    assert read_site(library) == read_site(anew)


def test_only_pages_that_a_change_reaches_are_made(library: Path) -> None:
    build(library)
    pages = sum(1 for _ in (library / "site").rglob("*.html"))
    write(library, "AA-012", "why: yet another word")
    assert 15 < build(library) < pages / 2  # those of the navigation, and a few
