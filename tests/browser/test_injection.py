"""What a stranger writes into any field is shown as it was written, and nothing of it runs.

A small library is built whose every text field, setting and picture name holds hostile words; each
page is opened from its folder. The pages' policy is put aside here: the words must be inert by
themselves.
"""

from __future__ import annotations

import csv
import io
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from PIL import Image
from playwright.sync_api import Browser

from builder.read.fields import find_record, is_list, list_fields
from builder.records.piece import Piece
from tests.browser.conftest import LOCAL, ROOT

#: Each has a mark of its own, put in at {}, by which it is found again on the pages.
PAYLOADS = (
    "{}<script>patRan('script')</script>",
    "{}</script><script>patRan('end')</script>",
    '{}"><img src=x onerror="patRan(1)">',
    "{}' onmouseover='patRan(2)' autofocus onfocus='patRan(2)' x='",
    "{}<svg onload=patRan(3)><style>*{{display:none}}</style>",
    "{}<!-- <iframe srcdoc='<script>parent.patRan(4)</script>'>",
    "{}{{{{7*7}}}} {{% raw %}}{{{{ config }}}}",
    "{}[a](javascript:patRan(5)) **b** ![](x)",
    "{}javascript:patRan(6)//%0a`${{patRan(6)}}`",
    "{}&lt;b&gt; &amp;amp; &#x3c;script&#x3e;",
    "{}\u2028patRan(7)\u2029 \u202egpj",
    "{};background:url(https://example.invalid/{});}}</style>",
    '=HYPERLINK("https://example.invalid/","{}")',
    "{}\\u003cscript\\u003e \\x3c \\' \\\" ]]> \\",
)
_WATCH = """
window.patRuns = [];
window.patRan = what => window.patRuns.push(String(what));
"""
_SHOWN = """
[document.documentElement.textContent, document.title, ...[...document.querySelectorAll("*")]
  .flatMap(element => [...element.attributes].map(one => one.value))].join("\\n")
"""
#: Fields whose words choose what is shown, and those that stand for a number.
_CHOOSING = {"piece", "same_as", "sister", "attempt", "change", "share", "setup", "file", "starred",
             "state", "light", "at", "piece_at", "card_at", "side"}  # fmt: skip

_TOLD = {"outcome", "started", "finished", "checks.date", "checks.state"}
#: Initials and bottles are for the maker; captions stand under pictures that are not followed.
_NOT_SHOWN = {"checks.by", "ingredients.brand_note", "caption 0", "caption 1"}


class Pen:
    """Writes a payload into each field, one after the other, and keeps what it wrote."""

    def __init__(self) -> None:
        self.written: dict[str, str] = {}

    def write(self, place: str) -> str:
        number = len(self.written)
        text = PAYLOADS[number % len(PAYLOADS)].format(f"Q{number}z", number)
        self.written[place] = text
        return text

    def fill(self, record: Any, place: str = "") -> dict[str, Any]:
        tree: dict[str, Any] = {}
        for key, field in list_fields(record).items():
            if key in _CHOOSING:
                continue
            inner = find_record(field)
            value = self.fill(inner, f"{place}{key}.") if inner else self.write(f"{place}{key}")
            tree[key] = [value] if is_list(field) else value
        return tree


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """The built site of such a library, and what was written by place."""
    root, pen = tmp_path_factory.mktemp("hostile"), Pen()
    piece = root / "samples" / "A-1"
    piece.mkdir(parents=True)
    (root / "docs").mkdir()
    tree = {"piece": "A-1", **pen.fill(Piece)}
    tree["outcome"], tree["started"], tree["finished"] = "failure", "2024-10-01", "2024-10-08"
    tree["checks"][0]["date"], tree["checks"][0]["state"] = "2024-10-20", "recheck"
    name = "2024-10-09 <img src=x onerror=patRan(8)> {{7*7}} & 'q' [a](b).jpg"
    names = (name, "2024-10-20_recheck_front =1+1;`x`.jpg")
    tree["photos"] = [
        {"file": file, "caption": pen.write(f"caption {number}")}
        for number, file in enumerate(names)
    ]
    del tree["zones"]
    for file in names:
        Image.new("RGB", (64, 48), (90, 140, 120)).save(piece / file, "JPEG")
    pen.written["photo name"] = name
    for place in [*pen.written]:  # written over above, so that there is a story to tell
        if place in _TOLD or place.startswith(("zones.", "photos.")):
            del pen.written[place]
    (piece / "sample.yaml").write_text(yaml.safe_dump(tree, allow_unicode=True), encoding="utf-8")
    zone = {"name": pen.write("zone"), "sealant": pen.write("zone's sealant")}
    again = {"piece": "A-2", "metal": "copper", "ingredients": [pen.write("second")],
             "zones": [zone]}  # fmt: skip
    (root / "samples" / "A-2").mkdir()
    (root / "samples" / "A-2" / "sample.yaml").write_text(yaml.safe_dump(again), encoding="utf-8")
    stand = pen.write("set-up")
    settings = {
        "site_name": pen.write("site name"),
        "theme": {"name": "material"},
        "plugins": [
            "search",
            {
                "patinarium": {
                    "policy": "none",
                    "invented": pen.write("invented"),
                    "threshold": 2.0,
                    "threshold_source": pen.write("threshold source"),
                    "default_setup": stand,
                    "setups": {stand: {"piece_at": [0.2, 0.2, 0.8, 0.8]}},
                }
            },
        ],
    }
    (root / "mkdocs.yml").write_text(yaml.safe_dump(settings, allow_unicode=True), encoding="utf-8")
    command = [sys.executable, "-c", "from builder.cli import main; main()", "build", str(root),
               "--for", "private"]  # fmt: skip
    done = subprocess.run(  # noqa: S603
        command, cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-3000:]
    return root / "site-for-private", pen.written


@pytest.fixture(scope="module")
def pages(browser: Browser, hostile: tuple[Path, dict[str, str]]) -> Iterator[dict[str, str]]:
    """What every page shows, its attributes' words and captions too, by its path; with what ran,
    was asked for or complained of under ``wrong``."""
    site, _ = hostile
    context = browser.new_context()
    page, wrong, shown = context.new_page(), [], {}
    page.add_init_script(_WATCH)
    page.on("dialog", lambda dialog: (wrong.append(f"dialog {dialog.message}"), dialog.dismiss()))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request",
        lambda asked: None if asked.url.startswith(LOCAL) else wrong.append(asked.url),
    )
    for file in sorted({*site.rglob("*.html")} - {site / "404.html"}):
        page.goto(file.as_uri())
        page.wait_for_load_state("load")
        page.evaluate("document.querySelectorAll('*').forEach(e => e.dispatchEvent("
                      "new MouseEvent('mouseover')))")  # fmt: skip
        shown[file.relative_to(site).as_posix()] = page.evaluate(_SHOWN)
        wrong += [f"{file.name} ran {what}" for what in page.evaluate("window.patRuns")]
    shown["wrong"] = "\n".join(wrong)
    yield shown
    context.close()


def test_nothing_runs_and_nothing_is_asked_for(pages: dict[str, str]) -> None:
    assert pages["wrong"] == ""


def test_every_word_is_there_as_it_was_written(
    hostile: tuple[Path, dict[str, str]], pages: dict[str, str]
) -> None:
    site, written = hostile
    table = (site / "data" / "pieces.csv").read_text(encoding="utf-8")
    rows = csv.reader(io.StringIO(table, newline=""))
    data = "\n".join(cell for row in rows for cell in row)
    everywhere = " ".join(" ".join(pages.values()).split())
    lost = {
        place: text
        for place, text in written.items()
        if place not in _NOT_SHOWN and " ".join(text.split()) not in everywhere and text not in data
    }
    assert not lost, " | ".join(sorted(lost))


def test_search_shows_the_words_and_runs_none(
    browser: Browser, hostile: tuple[Path, dict[str, str]]
) -> None:
    site, written = hostile
    page = browser.new_page()
    page.add_init_script(_WATCH)
    page.goto((site / "index.html").as_uri())
    page.locator(".md-search__input").fill("A-1")
    page.locator(".md-search-result__item").first.wait_for()
    said = " ".join(page.locator(".md-search-result__list").text_content().split())
    assert " ".join(written["metal"].split()) in said
    assert page.evaluate("window.patRuns") == []
    page.close()


def test_no_cell_of_the_tables_begins_a_formula(hostile: tuple[Path, dict[str, str]]) -> None:
    site, _ = hostile
    for table in (site / "data").glob("*.csv"):
        text = table.read_text(encoding="utf-8")
        assert not re.search(r'(?:^|,|")=HYPERLINK', text, re.MULTILINE), table.name


def test_every_kind_of_payload_was_tried(hostile: tuple[Path, dict[str, str]]) -> None:
    _, written = hostile
    assert len(written) > 3 * len(PAYLOADS)
