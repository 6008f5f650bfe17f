"""Pages cast from a mould are those that MkDocs makes of them one by one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builder import plugin
from builder.publish.moulds import PLACE, TITLE, Mould
from tests.benchmarks.grown import grow
from tests.publish.test_last_pages import build, sidecar

#: The demo's first pieces, sets of sisters among them.
PIECES = 18
SETTINGS = {
    "as it comes": "",
    "with an address": "site_url: https://example.org/finishes/\n",
    "with an address without a stroke": "site_url: https://example.org/finishes\n",
    "with a repository and an author": "repo_url: https://example.org/r\nsite_author: A. Smith\n",
    "with a foot and links": "copyright: ours\nextra: {social: [{icon: simple/git, link: x}]}\n",
}


def read_pages(root: Path) -> dict[str, str]:
    site = root / "site"
    return {
        page.relative_to(site).as_posix(): page.read_text("utf-8") for page in site.rglob("*.html")
    }


def read_map(root: Path) -> set[str]:
    """The addresses in the map of the site, in whatever order."""
    file = root / "site" / "sitemap.xml"
    return set(re.findall("<loc>(.*)</loc>", file.read_text("utf-8"))) if file.exists() else set()


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("cast") / "library"
    grow(root, PIECES, hollow=True, seen=True)
    odd = sidecar(root, "AA-012")
    odd.write_text(odd.read_text("utf-8") + 'metal: "<b>brass</b> & \\"co\\""\n', "utf-8")
    return root


@pytest.mark.parametrize("settings", SETTINGS)
def test_a_cast_page_is_what_the_site_generator_makes(
    library: Path, settings: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = library / "mkdocs.yml"
    before = file.read_text("utf-8")
    file.write_text(SETTINGS[settings] + before, "utf-8")
    try:
        build(library)
        cast, mapped = read_pages(library), read_map(library)
        monkeypatch.setattr(plugin, "surrounds_alike", lambda config: False)
        build(library)
        assert cast == read_pages(library)
        assert mapped == read_map(library)
    finally:
        file.write_text(before, "utf-8")


@pytest.mark.parametrize(
    "own",
    [
        pytest.param("hooks: [hook.py]\n", id="a hook"),
        pytest.param("extra: {analytics: {feedback: {title: Any use}}}\n", id="a page by address"),
    ],
)
def test_where_pages_could_be_seen_to_one_by_one_none_is_cast(library: Path, own: str) -> None:
    file, hook = library / "mkdocs.yml", library / "hook.py"
    before = file.read_text("utf-8")
    hook.write_text(
        "def on_page_content(html, page, **_):\n    return html + f'<p>{page.url}</p>'\n", "utf-8"
    )
    file.write_text(own + before, "utf-8")
    try:
        build(library)
        page = (library / "site" / "pieces" / "AA-014.html").read_text("utf-8")
        assert PLACE not in page
        assert ("<p>pieces/AA-014.html</p>" in page) == ("hooks" in own)
    finally:
        file.write_text(before, "utf-8")
        hook.unlink()


def test_a_title_cannot_leave_its_place() -> None:
    mould = Mould(f"<title>{TITLE}</title>{PLACE}", "")
    assert mould.cast("</title><b>", "part", "") == "<title>&lt;/title&gt;&lt;b&gt;</title>part"


def test_what_stands_in_a_page_is_not_taken_for_what_surrounds_it() -> None:
    mould = Mould(f'<link href="https://a/one.html">{TITLE}{PLACE}', "https://a/one.html")
    part = f'<a href="https://a/one.html">{TITLE}{PLACE}</a>'
    assert mould.cast("T", part, "https://a/2.html") == f'<link href="https://a/2.html">T{part}'
