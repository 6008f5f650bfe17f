"""Nothing leaves the folder, and nothing is found wrong on the way."""

from __future__ import annotations

import re

import pytest

from builder.publish.wall import FIRST
from tests.browser.conftest import until

PAGES = (
    "index.html",
    "wall.html",
    "every-piece.html",
    "pieces/SH-014.html",
    "pieces/SH-024.html",
    "sisters/SH-014-SH-012.html",
    "sealed-against-bare.html",
    "ageing.html",
    "due.html",
    "what-one-change-does.html",
    "repeats.html",
    "next-tests.html",
    "did-not-work.html",
    "how-we-measure.html",
    "safety.html",
    "glossary.html",
    "data.html",
    "first-page.html",
)


@pytest.mark.parametrize("path", PAGES)
def test_a_page_asks_for_nothing_outside_its_folder_and_reports_no_error(visit, path) -> None:
    visitor = visit()
    page = visitor.open(path)
    page.mouse.wheel(0, 4000)
    page.wait_for_load_state("networkidle")
    assert visitor.asked == []
    assert visitor.errors == []


def test_a_request_that_would_leave_is_seen_by_these_tests(visit) -> None:
    visitor = visit(bypass_csp=True)  # or it would be held before it was asked for
    visitor.open("index.html").evaluate(
        "new Promise(done => { const i = new Image(); i.onerror = done;"
        " i.src = 'https://example.invalid/x.png'; })"
    )
    assert visitor.asked == ["https://example.invalid/x.png"]


def test_every_picture_of_the_wall_comes_when_it_is_scrolled_to(visit, site) -> None:
    page = visit().open("wall.html")
    come = set()
    for place in range(0, page.evaluate("document.documentElement.scrollHeight"), 400):
        page.evaluate("y => scrollTo(0, y)", place)
        until(page, _PICTURES_IN_VIEW_CAME)
        come |= set(page.locator("[data-pat-wall] img").evaluate_all("all => all.map(i => i.src)"))
    assert len(come) == len(list((site / "pieces").glob("*.html")))


_PICTURES_IN_VIEW_CAME = """() => [...document.querySelectorAll('.pat-grid-wall img')].every(i => {
    const box = i.getBoundingClientRect();
    return box.bottom < 0 || box.top > innerHeight || (i.complete && i.naturalWidth > 0);
})"""


def test_without_scripts_the_wall_shows_its_first_pieces_and_leads_to_all(visit, site) -> None:
    visitor = visit(java_script_enabled=False)
    page = visitor.open("wall.html")
    tiles = page.locator("[data-pat-wall] > li").all()
    assert len(tiles) == FIRST
    assert all(tile.is_visible() for tile in tiles)
    assert not page.locator("[data-pat-filter]").is_visible()
    every = len(list((site / "pieces").glob("*.html")))
    cut = page.locator("noscript .pat-cut")
    assert cut.is_visible()
    assert cut.inner_text().startswith(f"The first {FIRST} of {every} pieces.")
    page.get_by_role("link", name="as a plain list").click()
    links = page.locator(".pat-pieces a")
    assert links.count() == every
    links.last.click()
    assert page.url.endswith(f"pieces/SH-{every:03}.html")


def test_without_scripts_the_slider_is_two_pictures_side_by_side(visit) -> None:
    page = visit(java_script_enabled=False).open("sisters/SH-014-SH-012.html")
    slider = page.locator("[data-pat-slider]").first
    left = slider.locator(".pat-slider-left img").bounding_box()
    right = slider.locator(".pat-slider-right img").bounding_box()
    assert left is not None
    assert right is not None
    assert left["x"] + left["width"] <= right["x"]
    assert re.fullmatch(
        "none", slider.locator(".pat-slider-left").evaluate("e => getComputedStyle(e).clipPath")
    )
