"""The wall: filters, orders, and an address that keeps them."""

from __future__ import annotations

from itertools import pairwise

from playwright.sync_api import Page, expect

BRASS = ["SH-009"]  # from the demo's own records: the one piece of brass


def numbers(page: Page) -> list[str]:
    """The numbers of the pieces shown, in their order."""
    shown = page.locator("[data-pat-wall] > li:not([hidden]) .pat-number")
    return [text.strip() for text in shown.all_inner_texts()]


def test_a_filter_narrows_the_wall_and_says_how_many_are_left(visit, site) -> None:
    page = visit().open("wall.html")
    every = len(list((site / "pieces").glob("*.html")))
    assert len(numbers(page)) == every
    page.locator("select[name=metal]").select_option("brass")
    assert numbers(page) == BRASS
    hidden = page.locator("[data-pat-wall] > li[hidden]")
    assert hidden.count() == every - 1
    assert not hidden.first.is_visible()
    expect(page.locator("[data-pat-count]")).to_have_text(f"1 of {every} pieces")


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
    page = visit().open("wall.html")
    for field in page.locator("[data-pat-filter] select:not([name=sort])").all():
        for choice in field.locator("option").all()[1:]:
            field.select_option(choice.get_attribute("value"))
            promised = choice.inner_text().rpartition("(")[2].rstrip(")")
            assert len(numbers(page)) == int(promised), choice.inner_text()
        field.select_option("")


def test_filters_work_together_and_an_empty_wall_says_so(visit, site) -> None:
    page = visit().open("wall.html")
    page.locator("select[name=metal]").select_option("brass")
    page.locator("select[name=outcome]").select_option("success")
    assert numbers(page) == []
    expect(page.locator("[data-pat-none]")).to_be_visible()
    page.get_by_role("button", name="show all").click()
    assert len(numbers(page)) == len(list((site / "pieces").glob("*.html")))
    assert page.url.endswith("wall.html")


def test_orders_put_the_same_pieces_otherwise(visit) -> None:
    page = visit().open("wall.html")
    by_number = numbers(page)
    assert by_number == sorted(by_number)
    for order, key in (("hue", "hue"), ("lightness", "lightness"), ("date", "date")):
        page.locator("select[name=sort]").select_option(order)
        now = numbers(page)
        assert sorted(now) == by_number
        assert now != by_number
        values = [
            tile.get_attribute(f"data-{key}") or ""
            for tile in page.locator("[data-pat-wall] > li").all()
        ]
        if key == "date":
            assert all(later >= earlier for later, earlier in pairwise(values))
        else:
            assert all(float(a) <= float(b) for a, b in pairwise(values))
    assert page.url.endswith("#sort=date")


def test_the_filters_are_used_from_the_keyboard(visit) -> None:
    page = visit().open("wall.html")
    page.locator("select[name=metal]").focus()
    page.keyboard.press("b")
    assert numbers(page) == BRASS
