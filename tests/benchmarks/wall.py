"""The wall and the search of a large library, as a browser opens them from a folder.

``python -m tests.benchmarks.wall SITE --pieces 3000`` copies a built demo, hangs so many pieces on
its wall and puts as many entries into its search, opens both in Chromium, and says what a first
view takes, how long the wall takes to answer a key, and how long the search to open. Times are of
this machine on this day: ratios between two runs are worth more than they are.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import statistics
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from urllib.parse import unquote, urlsplit

from playwright.sync_api import CDPSession, Page, sync_playwright

from builder.publish.search import SearchEntry, as_script, fill_index
from builder.publish.wall import SCRIPT, wall_script
from tests.publish.fixture import findings
from tests.publish.large_wall import hang_many, wall_html
from tests.publish.rendered import render_pages

WINDOW = (1280, 900)
_PAGE = re.compile(r'<div class="pat-page pat-wall">.*</div>\s*(?=</article>)', re.DOTALL)
_WORDS = ("verdigris", "SH-00042", "brown", "wax")


def make_site(demo: Path, folder: Path, pieces: int) -> Path:
    """A copy of a built demo whose wall and search are those of so many pieces."""
    site = folder / "site"
    shutil.copytree(demo, site, copy_function=os.link)
    drawn = sorted((site / "pictures").glob("tile-*.jpg"))
    tiles = hang_many(pieces)
    for place, tile in enumerate(tiles):
        if tile.shown:
            os.link(drawn[place % len(drawn)], site / tile.shown.src)
    page = (site / "wall.html").read_text(encoding="utf-8")
    large, found = _PAGE.subn(lambda _: wall_html(tiles), page)
    if found != 1:
        raise SystemExit("the page of the wall was not found in the demo's site")
    _write(site / "wall.html", large)
    _write(site / SCRIPT, wall_script(tiles))
    index = site / "search" / "search_index.json"
    filled = fill_index(index.read_text(encoding="utf-8"), list_entries(pieces))
    _write(index, filled)
    _write(index.with_suffix(".js"), as_script(filled))
    return site


def list_entries(pieces: int) -> list[tuple[str, SearchEntry]]:
    """Search entries of the demo's pieces, so often that there are as many as wanted, each under
    a number of its own: (address, entry)."""
    pages = [page for page in render_pages(findings()) if page.path.startswith("pieces/")]
    entries = []
    for place in range(pieces):
        number, model = f"SH-{place + 1:05}", pages[place % len(pages)]
        title = f"{number} {model.search.title.partition(' ')[2]}"
        entries.append((f"pieces/{number}.html", replace(model.search, title=title)))
    return entries


def _write(file: Path, text: str) -> None:
    file.unlink()  # it is the demo's own file under another name
    file.write_text(text, encoding="utf-8")


def weigh_first_view(page: Page, site: Path) -> dict[str, int]:
    """Bytes of what the page asked for, by kind, with pictures told apart by whether they are in
    view."""
    asked: list[str] = []
    page.on("requestfinished", lambda request: asked.append(request.url))
    page.goto((site / "wall.html").as_uri())
    page.wait_for_load_state("networkidle")
    in_view = page.evaluate(
        "[...document.images].filter(i => i.getBoundingClientRect().top < innerHeight)"
        ".map(i => i.src)"
    )
    weighed: dict[str, int] = {}
    for url in dict.fromkeys(asked):
        path = Path(unquote(urlsplit(url).path))
        kind = {".html": "page", ".css": "styles", ".js": "scripts"}.get(path.suffix, "pictures")
        if path == site / SCRIPT:
            kind = "data"
        elif kind == "pictures" and url not in in_view:
            kind = "pictures below"
        weighed[kind] = weighed.get(kind, 0) + path.stat().st_size
    return weighed


def time_keys(page: Page) -> list[float]:
    """Milliseconds from a key to the frame in which the wall has answered it."""
    page.locator("input[name=words]").focus()
    return [
        float(page.evaluate(_TIME_A_KEY, word[:length]))
        for word in _WORDS
        for length in range(1, len(word) + 1)
    ]


_TIME_A_KEY = """typed => new Promise(done => {
    const field = document.querySelector('input[name=words]');
    requestAnimationFrame(() => {
        const begun = performance.now();
        field.value = typed;
        field.dispatchEvent(new Event('input', {bubbles: true}));
        document.body.getBoundingClientRect();  // laid out as well
        done(performance.now() - begun);
    });
})"""


def time_scrolling(page: Page) -> list[float]:
    """Milliseconds that each of a hundred steps down the wall takes to be drawn and laid out."""
    steps = page.evaluate(
        """async () => {
            const took = [], step = document.documentElement.scrollHeight / 100;
            for (let i = 0; i < 100; i += 1) {
                scrollTo(0, i * step);
                const begun = performance.now();
                dispatchEvent(new Event('scroll'));
                document.body.getBoundingClientRect();
                took.push(performance.now() - begun);
                await new Promise(requestAnimationFrame);
            }
            return took;
        }"""
    )
    return [float(step) for step in steps]


def time_search(page: Page, site: Path) -> Iterator[tuple[str, float, float]]:
    """The search opened and asked: for each step what it was, its seconds on the clock until the
    first result stood there, and those the page's own thread was at work."""
    page.goto((site / "index.html").as_uri())
    page.wait_for_load_state("networkidle")
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    field = page.locator("input[name=query]")
    for typed in ("v", "verdigris", "SH", "SH-00042"):
        page.evaluate("document.querySelector('.md-search-result__list').textContent = ''")
        worked, begun = _work(session), time.perf_counter()
        field.click()
        field.fill(typed[:-1])  # which the theme does not hear: it listens to keys
        field.press_sequentially(typed[-1])
        page.wait_for_function(_FOUND, polling="raf")
        yield typed, time.perf_counter() - begun, _work(session) - worked


def _work(session: CDPSession) -> float:
    metrics = session.send("Performance.getMetrics")["metrics"]
    return next(float(m["value"]) for m in metrics if m["name"] == "TaskDuration")


_FOUND = "() => document.querySelector('.md-search-result__item')"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("site", type=Path, help="the demo, built")
    parser.add_argument("--pieces", type=int, default=3000)
    parser.add_argument("--chromium", default=shutil.which("chromium"))
    told = parser.parse_args()
    with (
        tempfile.TemporaryDirectory(dir=told.site.resolve().parent) as folder,
        sync_playwright() as playwright,
    ):
        site = make_site(told.site.resolve(), Path(folder), told.pieces)
        browser = playwright.chromium.launch(
            executable_path=told.chromium, args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page(viewport={"width": WINDOW[0], "height": WINDOW[1]})
        weighed = weigh_first_view(page, site)
        for kind, count in weighed.items():
            print(f"{kind:15}{count / 1000:8.0f} kB")
        later = ("data", "pictures below")
        first = sum(count for kind, count in weighed.items() if kind not in later)
        print(f"{'first view':15}{first / 1000:8.0f} kB, without data and pictures below")
        print(f"{'data a piece':15}{weighed['data'] / told.pieces:8.0f} bytes")
        _say("key", time_keys(page))
        page.reload()
        page.wait_for_load_state("networkidle")
        _say("scroll", time_scrolling(page))
        print(f"elements       {page.locator('[data-pat-wall] *').count():8}")
        index = site / "search" / "search_index.js"
        entries = len(json.loads(index.with_suffix(".json").read_text(encoding="utf-8"))["docs"])
        print(f"search index   {index.stat().st_size / 1000:8.0f} kB, {entries} entries")
        for typed, clock, work in time_search(page, site):
            print(f"search {typed:9}{clock:7.2f} s, {work:.2f} s of work")
        browser.close()


def _say(what: str, took: list[float]) -> None:
    took = sorted(took)
    print(
        f"{what:15}{statistics.median(took):8.1f} ms median, "
        f"{took[int(0.95 * (len(took) - 1))]:.1f} ms in nineteen of twenty, {took[-1]:.1f} ms most"
    )


if __name__ == "__main__":
    main()
