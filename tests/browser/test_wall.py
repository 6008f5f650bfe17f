"""The wall: filters, orders, an address that keeps them, and tiles for what is in view alone."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from playwright.sync_api import Locator, Page, expect

from builder.publish.wall import MOST_PRINTED, SCRIPT, wall_script
from tests.browser.conftest import until
from tests.publish.large_wall import hang_many, wall_html

BRASS = ["SH-009"]  # from the demo's own records: the one piece of brass
WHOLE = 6000  # px: a window in which all of the demo's wall is in view
MANY = 10_000
MOST_ELEMENTS = 600  # of a wall, however many pieces there are: what a screen shows and a margin
NUMBERED = re.compile(r"SH-\d{5}")
ROOT = Path(__file__).resolve().parents[2]


def numbers(page: Page) -> list[str]:
    """The numbers of the pieces drawn, in their order."""
    drawn = page.locator("[data-pat-wall] > li .pat-number")
    return [text.strip() for text in drawn.all_inner_texts()]


def every(site: Path) -> int:
    return len(list((site / "pieces").glob("*.html")))


def focused(page: Page) -> str:
    number: str = page.evaluate("document.activeElement.querySelector('.pat-number').textContent")
    return number


@pytest.fixture
def many(visit: Callable[..., Any], site: Path, tmp_path: Path) -> Callable[..., Page]:
    """Opens a wall of ten thousand pieces, whose pictures are those of the demo."""
    pictures = tuple(
        f"{(site / 'pictures').as_uri()}/{file.name}"
        for file in sorted((site / "pictures").glob("tile-*.jpg"))
    )
    tiles = hang_many(MANY, pictures)
    assets = (ROOT / "site_templates" / "assets").as_uri()
    styles = "".join(
        f'<link rel="stylesheet" href="{assets}/{name}.css">' for name in ("scheme", "pages")
    )
    html = wall_html(tiles).replace('src="patinarium/wall.js"', f'src="{assets}/wall.js"')
    (tmp_path / "wall.html").write_text(
        f'<!doctype html><html lang="en"><title>Wall</title>{styles}<body>{html}',
        encoding="utf-8",
    )
    script = tmp_path / SCRIPT
    script.parent.mkdir()
    script.write_text(wall_script(tiles), encoding="utf-8")

    def begin(hash_: str = "", **options: Any) -> Page:
        visitor = visit(**options)
        visitor.page.goto((tmp_path / "wall.html").as_uri() + hash_)
        page: Page = visitor.page
        return page

    return begin


def filters(page: Page) -> list[Locator]:
    return page.locator("[data-pat-filter] select:not([name=sort])").all()


# -------------------------------------------------------------------------- filters and orders


def test_a_filter_narrows_the_wall_and_says_how_many_are_left(visit, site) -> None:
    page = visit(height=WHOLE).open("wall.html")
    assert len(numbers(page)) == every(site)
    page.locator("select[name=metal]").select_option("brass")
    assert numbers(page) == BRASS
    expect(page.locator("[data-pat-count]")).to_have_text(f"1 of {every(site)} pieces")


def test_what_is_filtered_stands_in_the_address_and_survives_a_reload(visit) -> None:
    page = visit().open("wall.html")
    page.locator("select[name=metal]").select_option("brass")
    assert page.url.endswith("wall.html#metal=brass")
    page.reload()
    assert numbers(page) == BRASS
    assert page.locator("select[name=metal]").input_value() == "brass"


def test_an_address_with_a_filter_opens_the_wall_filtered(visit) -> None:
    assert numbers(visit().open("wall.html#metal=brass")) == BRASS


def test_every_choice_of_every_filter_shows_as_many_as_it_promises(visit) -> None:
    page = visit(height=WHOLE).open("wall.html")
    for field in filters(page):
        for choice in field.locator("option").all()[1:]:
            field.select_option(choice.get_attribute("value"))
            promised = choice.inner_text().rpartition("(")[2].rstrip(")")
            assert len(numbers(page)) == int(promised), choice.inner_text()
        field.select_option("")


def test_filters_work_together_and_an_empty_wall_says_so(visit, site) -> None:
    page = visit(height=WHOLE).open("wall.html")
    page.locator("select[name=metal]").select_option("brass")
    page.locator("select[name=outcome]").select_option("success")
    assert numbers(page) == []
    expect(page.locator("[data-pat-none]")).to_be_visible()
    page.get_by_role("button", name="show all").click()
    assert len(numbers(page)) == every(site)
    assert page.url.endswith("wall.html")


def test_words_find_numbers_metals_and_looks_and_stand_in_the_address(visit) -> None:
    page = visit(height=WHOLE).open("wall.html")
    field = page.get_by_label("Number or word")
    field.press_sequentially("sh-014")
    assert numbers(page) == ["SH-014"]
    field.fill("BOTTLE dark")  # the maker's own words for SH-014, in any order
    assert numbers(page) == ["SH-014"]
    field.press("Enter")
    assert page.url.endswith("#words=BOTTLE+dark")
    page.reload()
    assert numbers(page) == ["SH-014"]
    field.fill("zzxqv")
    expect(page.locator("[data-pat-none]")).to_be_visible()
    page.get_by_role("button", name="show all").click()
    assert field.input_value() == ""


def test_orders_put_the_same_pieces_otherwise(visit) -> None:
    page = visit(height=WHOLE).open("wall.html")
    by_number = numbers(page)
    assert by_number == sorted(by_number)
    rows = page.evaluate("patWall.rows")
    for order, key in (("hue", 6), ("lightness", 7), ("date", 8)):
        page.locator("select[name=sort]").select_option(order)
        now = numbers(page)
        assert now == [row[0] for row in sorted(rows, key=lambda row, key=key: row[key])]
        assert now != by_number
    assert page.url.endswith("#sort=date")


def test_the_filters_are_used_from_the_keyboard(visit) -> None:
    page = visit().open("wall.html")
    page.locator("select[name=metal]").focus()
    page.keyboard.press("b")
    assert numbers(page) == BRASS


def test_a_tile_hung_by_the_script_is_as_one_in_the_page(visit) -> None:
    page = visit().open("wall.html")
    tile = page.locator("[data-pat-wall] > li").first
    by_page = tile.evaluate(_STRUCTURE)
    page.locator("select[name=metal]").select_option("brass")
    page.get_by_role("button", name="show all").click()
    assert page.locator("[data-pat-wall] > li").first.evaluate(_STRUCTURE) == by_page


_STRUCTURE = """li => [...li.querySelectorAll('*')].map(e => [
    e.tagName, e.className, e.getAttribute('href'), e.getAttribute('src'), e.getAttribute('alt'),
    e.width, e.height, e.children.length ? '' : e.textContent,
    parseFloat(e.style.getPropertyValue('--of-mat') || '0').toFixed(1),
])"""


# ------------------------------------------------------------------------------ ten thousand


@pytest.mark.parametrize("size", [(1280, 900), (390, 844)])
def test_of_ten_thousand_only_what_is_in_view_is_drawn(many, size) -> None:
    page = many(width=size[0], height=size[1])
    expect(page.locator("[data-pat-count]")).to_have_text("10,000 of 10,000 pieces")
    seen = []
    height = page.evaluate("document.documentElement.scrollHeight")
    for share in (0, 0.3, 0.8, 1, 0.5, 0):
        page.evaluate("y => scrollTo(0, y)", share * height)
        until(page, _COVERED)
        assert page.locator("[data-pat-wall] *").count() < MOST_ELEMENTS
        drawn = numbers(page)
        assert drawn == sorted(drawn)
        seen.append(drawn[0])
    assert seen[0] == seen[-1] == "SH-00001"
    assert seen[0] < seen[1] < seen[4] < seen[2] < seen[3]
    assert "SH-10000" > seen[3] > "SH-09900"


#: Whether tiles stand in all of the window that the wall takes.
_COVERED = """() => {
    const wall = document.querySelector('[data-pat-wall]').getBoundingClientRect();
    const from = document.querySelector('[data-pat-above]').getBoundingClientRect().top;
    const to = document.querySelector('[data-pat-below]').getBoundingClientRect().bottom;
    return wall.top <= Math.max(0, from) + 1 && wall.bottom >= Math.min(innerHeight, to) - 1;
}"""


def test_a_filter_counts_all_that_are_not_drawn(many) -> None:
    page = many("#metal=brass")
    promised = page.locator("select[name=metal] option:checked").inner_text()
    brass = int(promised.rpartition("(")[2].rstrip(")"))
    expect(page.locator("[data-pat-count]")).to_have_text(f"{brass} of 10,000 pieces")
    assert page.locator("[data-pat-wall] > li").first.get_attribute("aria-setsize") == str(brass)


def test_the_keyboard_goes_from_tile_to_tile_past_what_was_drawn(many) -> None:
    page = many()
    page.locator("[data-pat-wall] a").first.focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        until(page, _COVERED)
    assert focused(page) == "SH-00041"
    for _ in range(40):
        page.keyboard.press("Shift+Tab")
        until(page, _COVERED)
    assert focused(page) == "SH-00001"


@pytest.mark.parametrize("key", ["Tab", "Shift+Tab"])
def test_the_keyboard_finds_its_place_again_after_scrolling(many, key) -> None:
    page = many()
    page.locator("[data-pat-wall] a").nth(3).focus()
    page.evaluate("scrollTo(0, 200000)")
    until(page, _COVERED)
    assert focused(page) == "SH-00004"
    page.keyboard.press(key)
    assert focused(page) == ("SH-00005" if key == "Tab" else "SH-00003")
    expect(page.locator("[data-pat-wall] a:focus")).to_be_in_viewport()


def test_a_tile_that_the_keyboard_has_left_is_seen_again_when_scrolled_to(many) -> None:
    page = many()
    page.locator("[data-pat-wall] a").nth(3).focus()
    page.evaluate("scrollTo(0, 200000)")
    until(page, _COVERED)
    page.get_by_label("Number or word").evaluate("field => field.focus({preventScroll: true})")
    page.evaluate("scrollTo(0, 0)")
    until(page, _COVERED)
    assert numbers(page)[3] == "SH-00004"
    assert page.locator("[data-pat-wall] > li.pat-left").count() == 0


def test_coming_back_finds_the_place(many, site) -> None:
    page = many()
    page.evaluate("scrollTo(0, 200000)")
    until(page, _COVERED)
    before = page.evaluate(_FIRST_IN_VIEW)
    page.goto((site / "every-piece.html").as_uri())
    page.go_back()
    until(page, _COVERED)
    expect(page.get_by_text(before, exact=True)).to_be_in_viewport()


def test_a_narrower_window_keeps_the_place(many) -> None:
    page = many()
    page.evaluate("scrollTo(0, 200000)")
    until(page, _COVERED)
    before = int(page.evaluate(_FIRST_IN_VIEW)[3:])
    page.set_viewport_size({"width": 700, "height": 900})
    until(page, _COVERED)
    after = int(page.evaluate(_FIRST_IN_VIEW)[3:])
    assert abs(after - before) <= 6  # a row


_FIRST_IN_VIEW = """() => [...document.querySelectorAll('[data-pat-wall] > li')]
    .find(e => e.getBoundingClientRect().bottom > 0).querySelector('.pat-number').textContent"""


def test_an_items_place_among_all_is_told_to_those_who_hear_the_wall(many) -> None:
    page = many()
    page.evaluate("scrollTo(0, 100000)")
    until(page, _COVERED)
    for item in page.locator("[data-pat-wall] > li").all():
        number = item.locator(".pat-number").inner_text()
        assert item.get_attribute("aria-posinset") == str(int(number[3:]))
        assert item.get_attribute("aria-setsize") == str(MANY)


def test_no_fault_is_found_by_axe_amid_ten_thousand(many, axe) -> None:
    page = many()
    page.locator("[data-pat-wall] a").first.focus()
    page.evaluate("scrollTo(0, 100000)")
    until(page, _COVERED)
    page.evaluate(axe.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run('[data-pat-wall]', {resultTypes: ['violations']})")
    assert json.dumps([v["id"] for v in found["violations"]]) == "[]"


def test_paper_takes_the_filtered_tiles_or_says_that_it_is_cut(many) -> None:
    page = many()
    words = printed(page)
    assert f"The first {MOST_PRINTED} of 10,000 pieces" in words
    assert len(set(NUMBERED.findall(words))) == MOST_PRINTED
    expect(page.locator("[data-pat-cut]")).to_be_hidden()
    page.locator("select[name=metal]").select_option("brass")
    brass = int((page.locator("[data-pat-count]").inner_text()).split()[0])
    page.get_by_label("Number or word").fill("SH-000")
    few = int((page.locator("[data-pat-count]").inner_text()).split()[0])
    assert 0 < few < brass
    words = printed(page)
    assert "pieces. Paper" not in words
    assert len(set(NUMBERED.findall(words))) == few


def printed(page: Page) -> str:
    with pypdfium2.PdfDocument(io.BytesIO(page.pdf(format="A4"))) as sheets:
        return "\n".join(sheet.get_textpage().get_text_range() for sheet in sheets)
