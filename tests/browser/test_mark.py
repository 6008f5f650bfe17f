"""The marking page by mouse, by finger and by keyboard; what it says and what it writes.

Contrast and names: axe-core, which checks against the Web Content Accessibility Guidelines 2.2.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, ViewportSize

from builder.read.settings import read_settings_file
from builder.records.photo import Quad
from tests.collect.marked_library import PIECE, SETTINGS, SIZE, OpenPage, make_library, marking

SEVERE = ("serious", "critical")
PIXEL = 1.0  # of the screen: as near as a mouse can be let go
STEP = 0.0005  # of the picture's longer side: what one press of an arrow key says it does
ROUNDING = 0.000_06  # four decimals


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return make_library(tmp_path)


@pytest.fixture
def opened(library: Path) -> Iterator[OpenPage]:
    with marking(library) as page:
        yield page


@pytest.fixture
def look(browser: Browser, opened: OpenPage) -> Iterator[Callable[..., Page]]:
    """Opens the page; at the end nothing was asked for elsewhere and nothing was complained of."""
    contexts: list[BrowserContext] = []
    asked: list[str] = []
    errors: list[str] = []

    def begin(width: int = 1280, height: int = 860, **options: Any) -> Page:
        context = browser.new_context(viewport=ViewportSize(width=width, height=height), **options)
        contexts.append(context)
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url))
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda m: errors.append(m.text) if m.type == "error" else None)
        page.goto(opened.address)
        page.locator("[data-picture]").evaluate("picture => picture.decode()")
        return page

    yield begin
    for context in contexts:
        context.close()
    assert [url for url in asked if not url.startswith(opened.address)] == []
    assert [words for words in errors if "409" not in words] == []  # a refusal that a test is about


def corner(page: Page, key: str, at: int) -> Locator:
    return page.locator(f".corner[data-of='{key}'][data-at='{at}']")


def point(page: Page, x: float, y: float) -> tuple[float, float]:
    """Where a place of the picture, fractions, is on the screen."""
    box = page.locator("[data-picture]").bounding_box()
    assert box is not None
    return box["x"] + x * box["width"], box["y"] + y * box["height"]


def drag(page: Page, key: str, at: int, x: float, y: float) -> None:
    box = corner(page, key, at).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(*point(page, (x + 0.5) / 2, y), steps=3)
    page.mouse.move(*point(page, x, y))
    page.mouse.up()


def save(page: Page) -> str:
    # By force: the driver would wait for a button that says it cannot save yet.
    page.get_by_role("button", name="Save").click(force=True)
    return hear(page)


def hear(page: Page) -> str:
    """What the page says of a saving."""
    said = page.locator("[data-said]").filter(has_text=re.compile("^(Wrote|Not saved|Cannot)"))
    return said.text_content() or ""


def written(library: Path, key: str = "piece_at") -> Quad:
    setup = read_settings_file(library).setup_named("bench")
    assert setup is not None
    quad: Quad | None = getattr(setup, key)
    assert quad is not None
    return quad


def test_corners_dragged_to_a_piece_are_written_where_it_lies(look, library) -> None:
    page = look()
    width = page.locator("[data-picture]").evaluate("e => e.getBoundingClientRect().width")
    for at, (x, y) in enumerate(PIECE):
        drag(page, "piece_at", at, x, y)
    assert save(page) == (
        "Wrote piece_at to mkdocs.yml:10 and card_at to mkdocs.yml:11, set-up “bench”."
    )
    for found, wanted in zip(written(library), PIECE, strict=True):
        assert found == pytest.approx(wanted, abs=PIXEL / width)
    text = (library / "mkdocs.yml").read_text(encoding="utf-8")
    assert [line for line in text.splitlines() if "_at:" not in line] == [
        line for line in SETTINGS.splitlines() if "_at:" not in line
    ]
    assert text.count("# by eye") == 1


def test_a_corner_taken_beside_its_middle_does_not_jump(look) -> None:
    page = look()
    box = corner(page, "piece_at", 0).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 8, box["y"] + 8)
    page.mouse.down()
    page.mouse.move(box["x"] + 8, box["y"] + 8)
    page.mouse.up()
    assert corner(page, "piece_at", 0).bounding_box() == box


def test_a_finger_moves_a_corner(look, library) -> None:
    page = look(375, 760, has_touch=True, is_mobile=True)
    start, end = point(page, 0.5, 0.2), point(page, 0.55, 0.2)
    # A touch as the browser itself reports it (Chrome DevTools protocol, Input.dispatchTouchEvent).
    touch = page.context.new_cdp_session(page)

    def send(kind: str, *points: tuple[float, float]) -> None:
        places = [{"x": x, "y": y} for x, y in points]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})

    send("touchStart", start)
    for part in (0.3, 0.7, 1.0):
        send("touchMove", (start[0] + (end[0] - start[0]) * part, start[1]))
    assert page.locator("[data-loupe]").is_visible()
    send("touchEnd")
    assert not page.locator("[data-loupe]").is_visible()
    save(page)
    width = page.locator("[data-picture]").evaluate("e => e.getBoundingClientRect().width")
    assert written(library)[1] == pytest.approx((0.55, 0.2), abs=2 * PIXEL / width)


def test_arrow_keys_move_a_corner_and_its_place_is_spoken(look, library) -> None:
    page = look()
    handle = corner(page, "piece_at", 0)
    assert handle.get_attribute("aria-label") == (
        "Piece, left top: 20.0 % across, 20.0 % down"
    )  # fmt: skip
    page.keyboard.press("Tab")
    assert handle.evaluate("e => e === document.activeElement")
    assert page.locator("[data-loupe]").is_visible()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    spoken = page.get_by_role("log").text_content()
    # The picture is three wide and two high: as many pixels down are half as much again of it.
    x, y = 0.2 + 4 * STEP, 0.2 + 10 * STEP * 1.5
    assert spoken == f"Piece, left top: {100 * x:.1f} % across, {100 * y:.1f} % down"
    assert handle.get_attribute("aria-label") == spoken
    page.keyboard.press("Tab")
    assert corner(page, "piece_at", 1).evaluate("e => e === document.activeElement")
    save(page)
    assert written(library)[0] == pytest.approx((x, y), abs=4 * ROUNDING)


def test_all_can_be_reached_and_saved_by_keyboard(look, library) -> None:
    page = look()
    reached = []
    for _ in range(20):
        page.keyboard.press("Tab")
        reached.append(page.evaluate(
            "(e => e.getAttribute('aria-label') || e.textContent || e.type)(document.activeElement)"
        ))  # fmt: skip
        if reached[-1] == "Save":
            break
    assert [words.split(":")[0] for words in reached] == [
        *(f"{name}, {at}" for name in ("Piece", "Card")
          for at in ("left top", "right top", "right bottom", "left bottom")),
        "Smaller", "Larger", "Fit", "checkbox", "Turn the card a quarter", "Save",
    ]  # fmt: skip
    page.keyboard.press("Enter")
    assert hear(page).startswith("Wrote")
    assert "0.2000, 0.2000" in (library / "mkdocs.yml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("moves", "words"),
    [
        ({0: (0.55, 0.25), 1: (0.15, 0.25)}, "cross"),
        ({2: (0.25, 0.3)}, "pushed in"),
        ({1: (0.2, 0.8), 3: (0.5, 0.2)}, "wrong way round"),
        ({1: (0.2, 0.2)}, "too close"),
    ],
)
def test_corners_that_make_no_place_are_said_and_not_saved(look, library, moves, words) -> None:
    page = look()
    for at, (x, y) in moves.items():
        drag(page, "piece_at", at, x, y)
    verdict = page.locator("[data-verdict='piece_at']")
    assert words in (verdict.text_content() or "")
    assert page.get_by_role("button", name="Save").get_attribute("aria-disabled") == "true"
    said = save(page)
    assert said.startswith("Cannot be saved yet. Piece: ")
    assert words in said
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS


def test_a_corner_stays_inside_the_photograph(look, library) -> None:
    page = look()
    drag(page, "piece_at", 0, -0.02, -0.02)
    assert "stays inside" in (page.locator("[data-said]").text_content() or "")
    assert "0.0 % across, 0.0 % down" in (
        corner(page, "piece_at", 0).get_attribute("aria-label") or ""
    )
    page.get_by_role("button", name="As they were").click()
    assert "20.0 % across" in (corner(page, "piece_at", 0).get_attribute("aria-label") or "")


def test_a_picture_larger_than_the_window_is_dragged_as_exactly(look, library) -> None:
    page = look()
    before = page.locator("[data-picture]").bounding_box()
    corner(page, "piece_at", 0).focus()
    for _ in range(3):
        page.get_by_role("button", name="Larger").click()
    after = page.locator("[data-picture]").bounding_box()
    assert before is not None
    assert after is not None
    assert after["width"] == pytest.approx(before["width"] * 1.5**3, rel=0.01)
    corner(page, "piece_at", 0).focus()
    page.keyboard.press("ArrowLeft")  # brings it into view
    box = corner(page, "piece_at", 0).bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 22, box["y"] + 22)
    page.mouse.down()
    page.mouse.move(box["x"] + 22 + 30, box["y"] + 22 + 12, steps=3)
    page.mouse.up()
    save(page)
    moved = (0.2 - STEP + 30 / after["width"], 0.2 + 12 / after["height"])
    assert written(library)[0] == pytest.approx(moved, abs=PIXEL / after["width"])


def test_the_small_squares_lie_in_the_middles_of_the_cards_patches(look) -> None:
    page = look()
    drawn = page.locator("[data-outline='card_at'] .thin.over").get_attribute("d") or ""
    squares = [part.removeprefix("M").split("L") for part in drawn.split("Z") if part]
    middles = [
        [
            sum(float(place.split()[axis]) for place in square) / 4 / size
            for axis, size in enumerate(SIZE)
        ]
        for square in squares
    ]
    # A card of two by two from 0.6, 0.2 to 0.9, 0.5.
    wanted = [[0.675, 0.275], [0.825, 0.275], [0.675, 0.425], [0.825, 0.425]]
    assert middles == [pytest.approx(middle, abs=1e-4) for middle in wanted]


def test_a_turned_card_begins_at_its_next_corner(look, library) -> None:
    page = look()
    before = written(library, "card_at")
    page.get_by_role("button", name="Turn the card a quarter").click()
    save(page)
    assert written(library, "card_at") == (before[3], *before[:3])


def test_without_a_card_its_corners_are_left_as_they_are(look, library) -> None:
    page = look()
    page.get_by_label("A card lies in the picture").uncheck()
    assert not corner(page, "card_at", 0).is_visible()
    drag(page, "piece_at", 0, 0.22, 0.22)
    assert save(page) == "Wrote piece_at to mkdocs.yml:10, set-up “bench”."
    assert "card_at: [[0.6, 0.2], [0.9, 0.2], [0.9, 0.5], [0.6, 0.5]]" in (
        (library / "mkdocs.yml").read_text(encoding="utf-8")
    )


def test_settings_changed_meanwhile_are_said_and_kept(look, library) -> None:
    page = look()
    (library / "mkdocs.yml").write_text(SETTINGS + "# mine\n", encoding="utf-8")
    said = save(page)
    assert said.startswith("Not saved. mkdocs.yml: the file has changed since")
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS + "# mine\n"
    page.reload()
    assert save(page).startswith("Wrote piece_at")


def test_done_asks_once_about_corners_not_saved_and_then_ends(look, opened, library) -> None:
    page = look()
    drag(page, "piece_at", 0, 0.3, 0.3)
    page.get_by_role("button", name="Done").click()
    assert "not saved" in (page.locator("[data-said]").text_content() or "")
    assert opened.thread.is_alive()
    page.get_by_role("button", name="Done").click()
    page.get_by_text("Done. This window can be closed.").wait_for()
    opened.thread.join(30)
    assert not opened.thread.is_alive()
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS


def test_two_saves_from_one_page_are_both_written(look, library) -> None:
    page = look()
    drag(page, "piece_at", 0, 0.22, 0.22)
    save(page)
    corner(page, "piece_at", 0).press("Shift+ArrowLeft")
    assert page.locator("[data-said]").text_content() == ""
    assert save(page).startswith("Wrote piece_at")
    assert written(library)[0][0] == pytest.approx(0.22 - 10 * STEP, abs=PIXEL / 400)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("wrong", [False, True])
def test_no_fault_is_found_by_axe(look, browser, axe, scheme, wrong, opened) -> None:
    page = look(color_scheme=scheme, bypass_csp=True)  # the page lets in no script but its own
    if wrong:
        drag(page, "piece_at", 1, 0.2, 0.2)
        save(page)
    page.add_script_tag(path=str(axe))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert found["testEngine"]["name"] == "axe-core"
    assert [
        f"{v['id']} ({v['impact']}): {node['target']} {node['failureSummary']}"
        for v in found["violations"]
        for node in v["nodes"]
    ] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), [(360, 740), (740, 360), (1280, 860)])
def test_it_holds_in_any_window_on_an_untinted_grey(look, width, height, scheme) -> None:
    page = look(width, height, color_scheme=scheme)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    ground = page.locator(".view").evaluate("e => getComputedStyle(e).backgroundColor")
    assert ground == "rgb(118, 118, 118)"  # L* 50: 119 in sRGB (IEC 61966-2-1 and CIE 15)
    paper = page.locator("body").evaluate("e => getComputedStyle(e).backgroundColor")
    assert paper == ("rgb(24, 24, 24)" if scheme == "dark" else "rgb(252, 252, 252)")
    picture = page.locator("[data-picture]").bounding_box()
    view = page.locator(".view").bounding_box()
    assert picture is not None
    assert view is not None
    assert picture["x"] >= view["x"]
    assert picture["x"] + picture["width"] <= view["x"] + view["width"]
    assert picture["y"] + picture["height"] <= view["y"] + view["height"]
    assert picture["width"] / picture["height"] == pytest.approx(1.5, rel=0.02)
    save_box = page.get_by_role("button", name="Save").bounding_box()
    assert save_box is not None
    assert save_box["height"] >= 44  # WCAG 2.2, 2.5.5 Target Size (Enhanced)
