"""The policy of the pages is on, and nothing of them runs into it."""

from __future__ import annotations

import pytest

from tests.browser.conftest import until

WATCH = """
window.patHeld = [];
addEventListener("securitypolicyviolation", event =>
  window.patHeld.push(`${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}`));
"""


def held(page) -> list[str]:
    return page.evaluate("window.patHeld")


def test_no_page_of_the_site_runs_into_its_policy(visit, site) -> None:
    visitor = visit()
    visitor.page.add_init_script(WATCH)
    for file in sorted({*site.rglob("*.html")} - {site / "404.html"}):  # a server's alone
        page = visitor.open(file.relative_to(site).as_posix())
        page.mouse.wheel(0, 3000)
        assert held(page) == [], file
        assert visitor.errors == [], file


def test_searching_the_closer_look_and_the_schemes_keep_to_it(visit) -> None:
    visitor = visit()
    visitor.page.add_init_script(WATCH)
    page = visitor.open("pieces/SH-014.html")
    page.locator("label[for=__palette_1], label[for=__palette_0]").locator("visible=true").click()
    page.locator("input[name=query]").click()
    page.locator("input[name=query]").press_sequentially("SH-012")
    page.locator(".md-search-result__item").first.wait_for()
    page = visitor.open("pieces/SH-014.html")
    page.locator("a.pat-zoom").first.click()
    page.locator(".pswp__img").first.wait_for()
    assert held(page) == []
    assert visitor.errors == []


@pytest.mark.parametrize(
    ("what", "directive"),
    [
        ("let s = document.createElement('script'); s.textContent = 'window.patRan = 1';"
         " document.body.appendChild(s)", "script-src-elem"),
        ("document.body.insertAdjacentHTML('beforeend',"
         " '<img src=\"x:\" onerror=\"window.patRan = 1\">')", "script-src-attr"),
        ("let s = document.createElement('script'); s.src = 'https://example.invalid/x.js';"
         " document.body.appendChild(s)", "script-src-elem"),
        ("setTimeout('window.patRan = 1')", "script-src"),
        ("fetch('https://example.invalid/').catch(() => 0)", "connect-src"),
        ("let i = new Image(); i.src = 'https://example.invalid/x.png'", "img-src"),
        ("let f = document.createElement('iframe'); f.src = 'data:text/html,x';"
         " document.body.appendChild(f)", "frame-src"),
        ("let b = document.createElement('base'); b.href = 'https://example.invalid/';"
         " document.head.appendChild(b)", "base-uri"),
        ("let f = document.createElement('form'); f.action = 'https://example.invalid/';"
         " document.body.appendChild(f); f.submit()", "form-action"),
    ],
)  # fmt: skip
def test_what_a_stranger_would_do_is_held(visit, what: str, directive: str) -> None:
    visitor = visit()
    visitor.page.add_init_script(WATCH)
    page = visitor.open("safety.html")
    page.evaluate(what)
    until(page, "window.patHeld.length > 0")
    assert held(page)[0].split()[0] == directive
    assert page.evaluate("window.patRan") is None
    assert visitor.asked == []
