"""The demo's site for clients, as one of them opens it from a stick."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from playwright.sync_api import expect

PAGES = (
    "index.html", "wall.html", "finishes.html", "find-a-colour.html", "ageing.html",
    "sealed-against-bare.html", "pieces/SH-014.html", "pieces/SH-024.html",
    "sisters/SH-014-SH-012.html", "glossary.html",
)  # fmt: skip
SEVERE = ("serious", "critical")


@pytest.fixture(scope="module")
def site(site_for_clients: Path) -> Path:
    return site_for_clients


@pytest.mark.parametrize("path", PAGES)
def test_a_page_opens_without_a_fault_and_asks_for_nothing(
    visit: Any, axe: Path, path: str
) -> None:
    made = visit(reduced_motion="reduce")
    page = made.open(path)
    page.wait_for_load_state("networkidle")
    assert (made.errors, made.asked) == ([], [])
    page.evaluate(axe.read_text(encoding="utf-8"))  # as a script the policy would hold it
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert [v["id"] for v in found["violations"] if v["impact"] in SEVERE] == []


def test_a_client_finds_a_finish_by_its_colour_and_by_words(visit: Any) -> None:
    page = visit().open("find-a-colour.html")
    page.locator("input[name=written]").fill("#4b7f70")
    page.keyboard.press("Enter")
    expect(page.locator("[data-pat-found] .pat-number").first).to_have_text("SH-014")
    page.locator("[data-pat-found] a").first.click()
    expect(page.locator("h1 .pat-number")).to_have_text("SH-014")
    expect(page.locator("body")).not_to_contain_text("sawdust")


def test_the_wall_is_filtered_by_what_a_client_is_shown(visit: Any) -> None:
    page = visit().open("wall.html")
    names = page.locator("[data-pat-filter] select").evaluate_all("all => all.map(s => s.name)")
    assert names == ["metal", "sealant", "verdict", "age", "sort"]
    page.locator("select[name=sealant]").select_option("shellac")
    assert page.locator("[data-pat-wall] > li:visible").count() > 0


def test_every_finish_prints_on_one_sheet_with_its_grey_mats(visit: Any, site: Path) -> None:
    """A4 by ISO 216 is 210 mm by 297 mm. The mats are printed though backgrounds are not asked for;
    their grey is #767676."""
    made = visit()
    finishes = sorted(path.name for path in (site / "pieces").glob("*.html"))
    assert len(finishes) > 20
    for name in finishes:
        page = made.open(f"pieces/{name}")
        page.wait_for_load_state("networkidle")
        printed = pypdfium2.PdfDocument(io.BytesIO(page.pdf(prefer_css_page_size=True)))
        assert len(printed) == 1, f"{name} takes {len(printed)} sheets"
        points = printed[0].get_size()
        assert [round(side / 72 * 25.4) for side in points] == [210, 297]
        colours = printed[0].render(scale=0.5).to_pil().convert("RGB").getcolors(1 << 20)
        assert max(n for n, rgb in colours if rgb == (0x76, 0x76, 0x76)) > 1000
    text = printed[0].get_textpage().get_text_range()
    assert all(words in text for words in ("Care", "The range it comes in", "noise"))
    assert "What was seen by eye" not in text


def test_a_finish_is_found_from_the_list_and_fits_a_phone(visit: Any) -> None:
    page = visit(width=390).open("finishes.html")
    page.get_by_role("link", name="SH-014").click()
    expect(page.locator("h1 .pat-number")).to_have_text("SH-014")
    expect(page.get_by_text("expect it to stay so")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") == 390
