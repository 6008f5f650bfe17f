"""The search, from a folder, with no server behind it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

# From the demo's own records: SH-019 was stippled with it, SH-020 to SH-022 were made as SH-019.
WITH_FERRIC_NITRATE = {"SH-019", "SH-020", "SH-021", "SH-022"}


def search(page: Page, words: str) -> list[str]:
    """The addresses of what was found, best first."""
    field = page.locator("input[name=query]")
    field.click()
    field.press_sequentially(words)
    found = page.locator(".md-search-result__item > a")
    expect(found.first).to_be_visible(timeout=15_000)
    return [link.get_attribute("href") or "" for link in found.all()]


@pytest.mark.parametrize("start", ["index.html", "pieces/SH-001.html"])
def test_a_piece_is_found_first_by_its_number(visit, start) -> None:
    visitor = visit()
    page = visitor.open(start)
    assert "pieces/SH-014.html" in search(page, "SH-014")[0]
    page.locator(".md-search-result__item > a").first.click()
    expect(page.locator("h1 .pat-number")).to_have_text("SH-014")
    assert visitor.asked == []
    assert visitor.errors == []


def test_pieces_are_found_by_an_ingredient(visit) -> None:
    found = search(visit().open("index.html"), "ferric nitrate")
    pieces = {link.partition("pieces/")[2][:6] for link in found if "pieces/" in link}
    assert pieces >= WITH_FERRIC_NITRATE


def test_a_word_that_no_piece_has_finds_none(visit) -> None:
    page = visit().open("index.html")
    page.locator("input[name=query]").click()
    page.locator("input[name=query]").press_sequentially("zzxqv")
    expect(page.locator(".md-search-result__meta")).to_contain_text("No matching")
    assert page.locator(".md-search-result__item").count() == 0
