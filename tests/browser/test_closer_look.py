"""A click opens the whole photograph, Escape closes it."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import until


@pytest.mark.parametrize("path", ["pieces/SH-014.html", "ageing.html"])
def test_a_click_opens_the_whole_photograph_and_escape_closes_it(visit, path) -> None:
    visitor = visit()
    page = visitor.open(path)
    link = page.locator("a.pat-zoom").first
    link.click()
    closer = page.locator(".pswp--open")
    expect(closer).to_be_visible()
    current = closer.locator(".pswp__item[aria-hidden=false]")
    picture = current.locator("img.pswp__img:not(.pswp__img--placeholder)")
    expect(picture).to_be_visible()
    assert picture.evaluate("img => img.src") == link.evaluate("link => link.href")
    until(page, "img => img.naturalWidth > 0", arg=picture.element_handle())
    caption = link.get_attribute("data-caption") or ""
    assert caption
    expect(page.locator(".pat-closer-words")).to_have_text(caption)
    page.keyboard.press("Escape")
    expect(page.locator(".pswp")).to_have_count(0)
    assert visitor.asked == []
    assert visitor.errors == []


def test_it_is_opened_from_the_keyboard_and_gives_the_focus_back(visit) -> None:
    page = visit(reduced_motion="reduce").open("pieces/SH-014.html")
    link = page.locator("a.pat-zoom").first
    link.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".pswp--open")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator(".pswp")).to_have_count(0)
    expect(link).to_be_focused()


def test_without_scripts_the_click_leads_to_the_photograph(visit, site) -> None:
    page = visit(java_script_enabled=False).open("pieces/SH-014.html")
    page.locator("a.pat-zoom").first.click()
    assert page.url.startswith((site / "pictures").as_uri())
