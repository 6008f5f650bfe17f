"""Narrow screens and paper."""

from __future__ import annotations

import pytest

from tests.browser.conftest import until

PAGES = (
    "index.html",
    "wall.html",
    "every-piece.html",
    "pieces/SH-014.html",
    "pieces/SH-024.html",
    "sisters/SH-014-SH-012.html",
    "sisters/SH-024-left-SH-024-centre.html",
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
    "sidecar.html",
    "figures.html",
    "404.html",
)
PRINTED = (
    "pieces/SH-014.html",
    "pieces/SH-024.html",
    "sisters/SH-014-SH-012.html",
    "next-tests.html",
)
A4_PX = (718, 1047)  # 210 x 297 mm less 10 mm a side, at the 96 px an inch of CSS

# What reaches past the window, unless something around it scrolls or cuts it off on purpose.
_TOO_WIDE = """() => [...document.querySelectorAll('body *')].filter(e => {
    const box = e.getBoundingClientRect();
    if (!box.width || !box.height || box.right <= innerWidth + 1) return false;
    if (getComputedStyle(e).position === 'fixed') return false;
    for (let p = e.parentElement; p && p !== document.body; p = p.parentElement)
        if (getComputedStyle(p).overflowX !== 'visible') return false;
    return true;
}).map(e => e.tagName + '.' + e.className)"""


@pytest.mark.parametrize("path", PAGES)
def test_a_page_holds_in_360_pixels(visit, path) -> None:
    page = visit(360, 740, has_touch=True).open(path)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360, page.evaluate(_TOO_WIDE)
    assert page.evaluate(_TOO_WIDE) == []


def test_a_row_that_goes_on_says_so_until_its_end_is_seen(visit) -> None:
    page = visit(390, 844, has_touch=True).open("what-one-change-does.html")
    rows = page.locator(".pat-strip")
    over = rows.evaluate_all("rows => rows.map(row => row.scrollWidth - row.clientWidth > 2)")
    assert True in over and False in over
    words = page.locator(".pat-strip + .pat-sideways")
    assert [one.is_visible() for one in words.all()] == over
    row = rows.nth(over.index(True))
    assert row.get_attribute("data-more") == "right"
    row.evaluate("row => { row.scrollLeft = row.scrollWidth; }")
    until(page, "row => row.dataset.more === 'left '", arg=row.element_handle())
    page.emulate_media(media="print")
    assert not any(one.is_visible() for one in words.all())


@pytest.mark.parametrize("path", PRINTED)
def test_a_printed_page_keeps_to_the_paper_and_leaves_the_navigation_off(visit, path) -> None:
    page = visit(*A4_PX).open(path)
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= A4_PX[0]
    assert page.evaluate(_TOO_WIDE) == []
    for name in (".md-header", ".md-tabs", ".md-footer"):
        assert not page.locator(name).first.is_visible()
    assert page.locator(".pat-page h1").is_visible()


@pytest.mark.parametrize("path", PRINTED)
def test_every_picture_is_on_the_paper_though_nobody_scrolled_to_it(visit, path) -> None:
    page = visit(*A4_PX).open(path)
    waiting = page.evaluate("[...document.images].filter(img => !img.complete).length")
    paper = page.pdf(format="A4")
    wanted = page.evaluate("""[...document.querySelectorAll('.pat-page img')]
        .filter(img => img.getBoundingClientRect().width > 0).map(img => img.src)""")
    assert waiting > 0  # else this page shows nothing about pictures that load late
    # An image of PDF is a stream whose dictionary says so (ISO 32000-2, 8.9.5).
    assert paper.count(b"/Subtype /Image") >= len(set(wanted))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PRINTED)
def test_paper_is_white_and_its_words_dark_whatever_the_screen_was(visit, path, scheme) -> None:
    page = visit(*A4_PX, color_scheme=scheme).open(path)
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    # Words that stand on the pictures' grey are white; every other word is printed on the paper.
    pale = page.evaluate("""[...document.querySelectorAll('.pat-page *')]
        .filter(e => e.getClientRects().length && !e.closest('.pat-stage, .pat-strip, .pat-slide'))
        .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
        .filter(e => getComputedStyle(e).color.match(/[0-9.]+/g).slice(0, 3).some(c => c > 110))
        .map(e => e.tagName + '.' + e.className + ' ' + getComputedStyle(e).color)""")
    assert pale == []


def test_a_printed_slider_is_both_pictures_side_by_side(visit) -> None:
    page = visit(*A4_PX).open("sisters/SH-014-SH-012.html")
    page.emulate_media(media="print")
    slider = page.locator("[data-pat-slider]").first
    left = slider.locator(".pat-slider-left img").bounding_box()
    right = slider.locator(".pat-slider-right img").bounding_box()
    assert left is not None
    assert right is not None
    assert left["x"] + left["width"] <= right["x"]
    assert left["width"] == pytest.approx(right["width"], abs=1)
    shown = slider.locator(".pat-slider-left").evaluate("e => getComputedStyle(e).clipPath")
    assert shown == "none"
