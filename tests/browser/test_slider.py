"""The slider: by mouse, by touch, by keyboard; and what is seen really changes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page

from tests.browser.conftest import until

COMPARISON = "sisters/SH-014-SH-012.html"


def slider_of(page: Page) -> Locator:
    slider = page.locator("[data-pat-slider]").first
    slider.scroll_into_view_if_needed()
    return slider


def box_of(slider: Locator) -> dict[str, float]:
    box = slider.bounding_box()
    assert box is not None
    return dict(box)


def line_at(slider: Locator) -> float:
    """Where the dividing line stands, as a share of the picture's width."""
    return float(
        slider.evaluate("""slider => {
        const box = slider.getBoundingClientRect();
        const line = slider.querySelector('.pat-slider-line').getBoundingClientRect();
        return (line.x + line.width / 2 - box.x) / box.width;
    }""")
    )


def left_shown(slider: Locator) -> float:
    """The share of the left picture that its clip lets through, measured where a pointer would
    still hit it."""
    return float(
        slider.evaluate("""slider => {
        const left = slider.querySelector('.pat-slider-left'), box = slider.getBoundingClientRect();
        const over = [...slider.children].filter(child => child !== left);
        over.forEach(child => { child.style.pointerEvents = 'none'; });
        let hit = 0;
        for (let i = 0; i < 200; i += 1) {
            const x = box.x + box.width * (i + 0.5) / 200, y = box.y + box.height / 2;
            if (left.contains(document.elementFromPoint(x, y))) hit += 1;
        }
        over.forEach(child => { child.style.pointerEvents = ''; });
        return hit / 200;
    }""")
    )


def assert_cut_at(slider: Locator, share: float) -> None:
    # 1.5 pixels of a picture at least 150 px wide, and the rim that is clipped away anyhow.
    close = pytest.approx(share, abs=0.02)
    assert line_at(slider) == close
    assert left_shown(slider) == close


def test_it_begins_in_the_middle(visit) -> None:
    assert_cut_at(slider_of(visit().open(COMPARISON)), 0.5)


def test_the_mouse_drags_it(visit) -> None:
    page = visit().open(COMPARISON)
    slider = slider_of(page)
    box, before = box_of(slider), slider.screenshot()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] / 2, middle)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.3, middle, steps=5)
    assert_cut_at(slider, 0.3)
    page.mouse.move(box["x"] + box["width"] * 0.8, middle, steps=5)
    page.mouse.up()
    assert_cut_at(slider, 0.8)
    assert slider.screenshot() != before
    page.mouse.move(box["x"] + box["width"] * 0.1, middle, steps=5)  # let go: it stays
    assert_cut_at(slider, 0.8)


def test_a_finger_drags_it(visit) -> None:
    page = visit(390, 844, has_touch=True, is_mobile=True).open(COMPARISON)
    slider = slider_of(page)
    box = box_of(slider)
    hand = page.context.new_cdp_session(page)
    middle = box["y"] + min(box["height"], 300) / 2

    def touch(kind: str, *share: float) -> None:
        points = [{"x": box["x"] + box["width"] * s, "y": middle} for s in share]
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", 0.5)
    for step in (0.55, 0.6, 0.65, 0.7, 0.75):
        touch("touchMove", step)
    touch("touchEnd")
    assert_cut_at(slider, 0.75)
    touch("touchStart", 0.2)  # a tap, away from the line
    touch("touchEnd")
    assert_cut_at(slider, 0.2)


def test_a_finger_that_goes_up_and_down_scrolls_the_page(visit) -> None:
    page = visit(390, 844, has_touch=True, is_mobile=True).open(COMPARISON)
    slider = slider_of(page)
    box, before = box_of(slider), page.evaluate("scrollY")
    hand = page.context.new_cdp_session(page)
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for step in range(1, 11):
        hand.send(
            "Input.dispatchTouchEvent",
            {"type": "touchMove", "touchPoints": [{"x": x, "y": y - 15 * step}]},
        )
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    until(page, "before => scrollY > before + 40", arg=before)


def test_the_arrow_keys_move_it(visit) -> None:
    page = visit().open(COMPARISON)
    slider = slider_of(page)
    slider.locator("input").focus()
    for _ in range(10):
        page.keyboard.press("ArrowLeft")
    assert_cut_at(slider, 0.4)
    page.keyboard.press("ArrowRight")
    assert_cut_at(slider, 0.41)
    page.keyboard.press("End")
    assert_cut_at(slider, 1.0)
    page.keyboard.press("Home")
    assert_cut_at(slider, 0.0)


def test_its_ends_show_two_different_pictures(visit) -> None:
    page = visit().open(COMPARISON)
    slider = slider_of(page)
    slider.locator("input").focus()
    page.keyboard.press("End")
    left = slider.screenshot()
    page.keyboard.press("Home")
    assert slider.screenshot() != left


def test_it_says_what_it_does_and_where_it_stands(visit) -> None:
    slider = slider_of(visit().open(COMPARISON))
    control = slider.get_by_role("slider")
    assert "left picture" in (control.get_attribute("aria-label") or "")
    assert control.get_attribute("aria-valuetext") == "50 per cent of the left picture"


def test_both_cards_stay_in_view_beneath(visit) -> None:
    page = visit(1280, 1000).open(COMPARISON)
    strips = page.locator(".pat-slide").first.locator(".pat-card-strip")
    assert strips.count() == 2
    for strip in strips.all():
        strip.scroll_into_view_if_needed()
        until(page, "img => img.naturalWidth > 0", arg=strip.element_handle())
