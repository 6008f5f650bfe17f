"""The site as one file, unpacked somewhere else and opened there, with no network."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import until
from tests.browser.test_search import search


@pytest.fixture(scope="module")
def site(site_for_clients: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The zip file unpacked, under a path with spaces and umlauts."""
    folder = tmp_path_factory.mktemp("handed over") / "Über alle Maßen, für Jörg & Søn #2"
    with zipfile.ZipFile(site_for_clients.with_name("site-for-clients.zip")) as archive:
        archive.extractall(folder)
    return folder / "site-for-clients"


def test_what_is_unpacked_is_the_site(site: Path, site_for_clients: Path) -> None:
    there = {p.relative_to(site_for_clients) for p in site_for_clients.rglob("*") if p.is_file()}
    got = {p.relative_to(site) for p in site.rglob("*") if p.is_file()}
    assert got - there == {Path("README.txt")} and there <= got


def test_its_pages_open_with_their_pictures_and_ask_for_nothing(visit: Any) -> None:
    made = visit()
    page = made.open("index.html")
    page.get_by_role("link", name="What am I to expect?").click()
    page.get_by_role("link", name="SH-014").click()
    page.wait_for_load_state("networkidle")
    until(page, "() => [...document.images].slice(0, 2).every(i => i.naturalWidth > 0)")
    assert (made.errors, made.asked) == ([], [])


def test_its_search_finds_a_finish(visit: Any) -> None:
    assert "pieces/SH-030.html" in search(visit().open("index.html"), "shellac")[0]


def test_its_finder_finds_a_colour(visit: Any) -> None:
    page = visit().open("find-a-colour.html")
    page.locator("input[name=written]").fill("#4b7f70")
    page.keyboard.press("Enter")
    expect(page.locator("[data-pat-found] .pat-number").first).to_have_text("SH-014")
