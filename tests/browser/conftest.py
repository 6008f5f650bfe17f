"""The demo's site as a visitor opens it: from its folder, in Chromium, with no network at all."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, ViewportSize, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
LOCAL = ("file:", "data:", "blob:", "about:")
LAUNCH = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",  # no name leads anywhere
)
PATIENCE_S = 900  # a cold build reads every photograph, on a small machine, for two workers at once


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.parents:
            item.add_marker("browser")


@dataclass
class Visit:
    """A page, with what it asked for outside its folder and what its console complained of."""

    page: Page
    site: Path
    asked: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        file, hash_sign, wanted = path.partition("#")
        self.page.goto(f"{(self.site / file).as_uri()}{hash_sign}{wanted}")
        return self.page


def until(page: Page, holds: str, arg: Any = None) -> None:
    """Wait until the script ``holds``. The browser driver's own way of waiting evaluates text in
    the page, which the pages' policy forbids."""
    waited_until = time.monotonic() + 30
    while not page.evaluate(holds, arg):
        assert time.monotonic() < waited_until, f"it never came to {holds}"
        page.wait_for_timeout(20)


def missing(what: str) -> None:
    """Leave a test out where a tool is not to be had; where every change is checked, fail."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is needed for the browser tests")
    pytest.skip(f"{what} was not found")


def once(folder: Path, make: Callable[[], str]) -> str:
    """What ``make`` answers, made by whichever of several workers comes first.

    ``make`` answers with an empty text, or with what went wrong.
    """
    answer = folder / "answer"
    try:
        folder.mkdir(parents=True)
    except FileExistsError:
        waited_until = time.monotonic() + PATIENCE_S
        while not answer.is_file():
            if time.monotonic() > waited_until:
                pytest.fail(f"nothing came of {folder.name} in {PATIENCE_S} s")
            time.sleep(0.2)
        return answer.read_text(encoding="utf-8")
    said = "it was broken off"
    try:
        said = make()
    finally:
        half_written = folder / "answer.new"
        half_written.write_text(said, encoding="utf-8")
        half_written.replace(answer)
    return said


def run(command: list[str], folder: Path) -> str:
    """Run a command; an empty text if it went well, else what it said."""
    done = subprocess.run(  # noqa: S603  # our own commands, no text from outside
        command, cwd=folder, capture_output=True, text=True, check=False, encoding="utf-8"
    )
    return "" if done.returncode == 0 else f"{done.stdout[-2000:]}{done.stderr[-2000:]}" or "failed"


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of this run that all its workers see."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own


@pytest.fixture(scope="session")
def site(shared: Path) -> Path:
    """The demo, built once a run, into the git-ignored folders where any build puts it."""
    command = [sys.executable, "-c", "from builder.cli import main; main()", "build", str(ROOT)]
    if said := once(shared / "demo-built", lambda: run(command, ROOT)):
        pytest.fail(f"the demo did not build: {said}")
    return ROOT / "site"


@pytest.fixture(scope="session")
def site_for_clients(shared: Path) -> Path:
    """The demo as clients are given it, as a folder and as a zip file beside it."""
    code = "from builder.cli import main; main()"
    command = [sys.executable, "-c", code, "build", str(ROOT), "--for", "clients", "--zip"]
    if said := once(shared / "demo-for-clients-built", lambda: run(command, ROOT)):
        pytest.fail(f"the demo did not build: {said}")
    return ROOT / "site-for-clients"


@pytest.fixture(scope="session")
def axe(shared: Path) -> Path:
    """axe-core's script at the version of `package-lock.json`, kept from run to run."""
    npm = shutil.which("npm")
    kept = Path.home() / ".cache" / "patinarium-tests" / "axe"
    script = kept / "node_modules" / "axe-core" / "axe.min.js"
    names = ("package.json", "package-lock.json")

    def fetch() -> str:
        fresh = all(
            (kept / n).is_file() and (kept / n).read_bytes() == (HERE / n).read_bytes()
            for n in names
        )
        if fresh and script.is_file():
            return ""
        if npm is None:
            return "no npm"
        kept.mkdir(parents=True, exist_ok=True)
        for name in names:
            shutil.copyfile(HERE / name, kept / name)
        return run([npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"], kept)

    said = once(shared / "axe-fetched", fetch)
    if said == "no npm":
        missing("npm, which fetches axe-core,")
    if said:
        pytest.fail(f"axe-core could not be fetched: {said}")
    return script


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    names = ("chromium", "chromium-browser", "google-chrome")
    found = os.environ.get("PATINARIUM_CHROMIUM") or next(
        filter(None, map(shutil.which, names)), ""
    )
    if not found:
        missing("Chromium")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found, args=list(LAUNCH))
        yield opened
        opened.close()


@pytest.fixture
def visit(browser: Browser, site: Path) -> Iterator[Callable[..., Visit]]:
    """Makes a fresh visitor; any request that would leave the folder is refused and noted."""
    contexts: list[BrowserContext] = []

    def begin(width: int = 1280, height: int = 900, **options: Any) -> Visit:
        context = browser.new_context(viewport=ViewportSize(width=width, height=height), **options)
        contexts.append(context)
        made = Visit(context.new_page(), site)

        def judge(route: Route) -> None:
            if route.request.url.startswith(LOCAL):
                route.continue_()
            else:
                made.asked.append(route.request.url)
                route.abort()

        context.route("**/*", judge)
        made.page.on("websocket", lambda socket: made.asked.append(socket.url))
        made.page.on("pageerror", lambda error: made.errors.append(str(error)))
        made.page.on("console", lambda m: made.errors.append(m.text) if m.type == "error" else None)
        return made

    yield begin
    for context in contexts:
        context.close()
