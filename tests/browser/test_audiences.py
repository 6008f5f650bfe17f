"""The demo's site for clients, as one of them opens it from a stick."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import ROOT, once, run

PAGES = (
    "index.html", "wall.html", "find-a-colour.html", "ageing.html", "sealed-against-bare.html",
    "pieces/SH-014.html", "pieces/SH-024.html", "sisters/SH-014-SH-012.html", "glossary.html",
)  # fmt: skip
SEVERE = ("serious", "critical")


@pytest.fixture(scope="module")
def site(shared: Path) -> Path:
    code = "from builder.cli import main; main()"
    command = [sys.executable, "-c", code, "build", str(ROOT), "--for", "clients"]
    if said := once(shared / "demo-for-clients-built", lambda: run(command, ROOT)):
        pytest.fail(f"the demo did not build: {said}")
    return ROOT / "site-for-clients"


@pytest.mark.parametrize("path", PAGES)
def test_a_page_opens_without_a_fault_and_asks_for_nothing(
    visit: Any, axe: Path, path: str
) -> None:
    made = visit(reduced_motion="reduce")
    page = made.open(path)
    page.wait_for_load_state("networkidle")
    assert (made.errors, made.asked) == ([], [])
    page.evaluate(axe.read_text(encoding="utf-8"))
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
