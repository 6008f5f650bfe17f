"""A whole site, built by MkDocs in strict mode from a library of drawn pictures."""

from __future__ import annotations

import datetime as dt
import json
import logging
import re
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort

from builder import plugin as plugin_module
from builder.errors import LibraryError, Problem, Weight
from builder.plugin import PatinariumPlugin
from builder.relate.findings import Findings
from tests.publish.fixture import findings, settings

NUMBERS = ("SH-012", "SH-014", "SH-024")
MKDOCS = """
site_name: Test & <b>library</b>
theme: {name: material, features: [navigation.tabs, search.highlight]}
plugins: [search]
markdown_extensions: [toc]
"""


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    before = logging.root.manager.disable
    logging.disable(logging.INFO)
    yield
    logging.disable(before)


def library(folder: Path, found: Findings, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A library's folder whose findings are ready made."""
    (folder / "docs").mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(MKDOCS, encoding="utf-8")
    (folder / "docs" / "notes.md").write_text("# Notes\n\nOf the maker’s own.\n", encoding="utf-8")
    made = folder / "made"
    gathered = SimpleNamespace(findings=found, pictures=made, opened=0, kept=0, marks={})
    monkeypatch.setattr(plugin_module, "gather", lambda *_, **__: gathered)
    monkeypatch.setattr(plugin_module, "read_settings_file", lambda _: settings())
    return folder


def build_site(folder: Path, audience: str = "") -> tuple[Path, PatinariumPlugin]:
    config = load_config(str(folder / "mkdocs.yml"), strict=True)
    plugin = PatinariumPlugin()
    plugin.audience = audience
    config.plugins["patinarium"] = plugin
    build(config)
    return plugin.site, plugin


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("library")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("NO_MKDOCS_2_WARNING", "1")
        found = findings(folder / "made", NUMBERS)
        yield build_site(library(folder, found, patch))[0]


def texts(site: Path) -> dict[str, str]:
    return {
        file.relative_to(site).as_posix(): file.read_text(encoding="utf-8")
        for file in sorted(site.rglob("*.html"))
    }


def test_a_strict_build_makes_every_page(site: Path) -> None:
    pages = set(texts(site))
    assert {
        "index.html", "wall.html", "sealed-against-bare.html", "ageing.html", "due.html",
        "next-tests.html", "did-not-work.html", "how-we-measure.html", "safety.html",
        "glossary.html", "data.html", "what-one-change-does.html", "repeats.html",
        "pieces/SH-014.html", "sisters/SH-014-SH-012.html", "notes.html",
    } <= pages  # fmt: skip


def test_no_page_loads_the_searchs_index_before_it_is_asked_for(site: Path) -> None:
    # The theme does so where search.highlight is set, as it is in this library's settings.
    for path, html in texts(site).items():
        assert "navigation.tabs" in html, path
        assert "search.highlight" not in html, path


def test_every_local_link_of_every_page_leads_somewhere(site: Path) -> None:
    for path, html in texts(site).items():
        if path == "404.html":
            continue  # its addresses are a server's
        for link in re.findall(r'(?:href|src)="([^"#?]+)', html):
            if not link.startswith(("data:", "mailto:")):
                target = (site / path).parent / link
                assert target.exists() or link in (".", ".."), (path, link)


def test_no_page_asks_for_anything_from_elsewhere(site: Path) -> None:
    for path, html in texts(site).items():
        asked = re.findall(
            r'<(?:script|link|img|iframe)[^>]*(?:src|href)="(?:https?:)?//[^"]*', html
        )
        assert asked == [], path


def test_the_searchs_worker_is_the_sites_own(site: Path) -> None:
    assert (site / "patinarium" / "worker.js").is_file()
    assert 'src="patinarium/worker.js"' in texts(site)["index.html"]


def test_every_page_says_what_it_may_run_before_it_runs_anything(site: Path) -> None:
    for path, html in texts(site).items():
        policy = html.index('<meta http-equiv="Content-Security-Policy"')
        assert policy < html.index("<script"), path
        assert policy < html.index("<link"), path


def test_pieces_stay_out_of_the_navigation(site: Path) -> None:
    navigation = re.findall(r"<nav.*?</nav>", texts(site)["safety.html"], re.S)
    assert navigation
    assert not any("pieces/" in part for part in navigation)


def test_the_search_holds_one_entry_a_piece_on_a_server_and_from_a_folder(site: Path) -> None:
    text = (site / "search" / "search_index.json").read_text(encoding="utf-8")
    places = [doc["location"] for doc in json.loads(text)["docs"]]
    assert places.count("pieces/SH-014.html") == 1
    assert len(places) == len(set(places))
    script = (site / "search" / "search_index.js").read_text(encoding="utf-8")
    assert script == f"var __index = {text}"


def test_the_invented_notice_stands_on_every_page(site: Path) -> None:
    for path, html in texts(site).items():
        assert path == "404.html" or "pat-invented" in html, path


def test_data_files_are_written(site: Path) -> None:
    names = {file.name for file in (site / "data").iterdir()}
    assert names == {
        "pieces.csv", "readings.csv", "verdicts.csv", "sisters.csv", "pairs.csv", "library.json",
        "series.csv", "effects.csv", "repeats.csv", "provenance.jsonld", "next_tests.csv",
    }  # fmt: skip


def test_two_builds_give_the_same_bytes(
    site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = findings(tmp_path / "again" / "made", NUMBERS)
    again, _ = build_site(library(tmp_path / "again", found, monkeypatch))

    def contents(folder: Path) -> dict[str, bytes]:
        files = (file for file in folder.rglob("*") if file.is_file())
        return {file.relative_to(folder).as_posix(): file.read_bytes() for file in files}

    one, two = contents(site), contents(again)
    assert one.keys() == two.keys()
    assert [name for name in one if one[name] != two[name]] == []


def test_nothing_of_this_machine_is_published(site: Path) -> None:
    for file in site.rglob("*"):
        if file.suffix in {".html", ".json", ".csv", ".js"}:
            assert str(site.parent) not in file.read_text(encoding="utf-8"), file


def test_a_failed_gathering_leaves_the_last_site_and_prints_no_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = library(tmp_path / "lib", findings(None, ("SH-012",)), monkeypatch)
    kept = folder / "site" / "index.html"
    kept.parent.mkdir()
    kept.write_text("the last good one", encoding="utf-8")
    problem = Problem("mkdocs.yml", 3, "no settings", "settings", "write them", Weight.STOPS)

    def fail(*_: Any, **__: Any) -> None:
        raise LibraryError(problem)

    monkeypatch.setattr(plugin_module, "gather", fail)
    with pytest.raises(Abort):
        build_site(folder)
    assert kept.read_text(encoding="utf-8") == "the last good one"
    assert [path.name for path in folder.iterdir() if "next" in path.name] == []


def test_a_page_of_the_makers_own_goes_before_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = library(tmp_path / "lib", findings(None, ("SH-012",)), monkeypatch)
    (folder / "docs" / "safety.md").write_text("# Safety\n\nOur own rules.\n", encoding="utf-8")
    site, _ = build_site(folder)
    assert "Our own rules." in (site / "safety.html").read_text(encoding="utf-8")


NAV = """
site_author: QQ-AUTHOR
nav:
  - Home: index.md
  - Due: due.md
  - The wall: wall.md
  - QQ-TITLE: notes.md
  - Method: [how-we-measure.md, glossary.md]
"""


def test_a_site_for_clients_stands_beside_the_usual_one_and_lacks_what_they_are_not_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = findings(tmp_path / "lib" / "made", NUMBERS)
    folder = library(tmp_path / "lib", found, monkeypatch)
    (folder / "mkdocs.yml").write_text(MKDOCS + NAV, encoding="utf-8")
    (folder / "docs" / "QQ-FILE.txt").write_text("QQ-WORDS", encoding="utf-8")
    usual, _ = build_site(folder)
    theirs, plugin = build_site(folder, "clients")
    assert (usual.name, theirs.name) == ("site", "site-for-clients")
    assert plugin.told is not None and plugin.told.audience.name == "clients"
    pages = texts(theirs)
    assert "due.html" not in pages and "notes.html" not in pages and "glossary.html" in pages
    assert not [path for path, html in pages.items() if "QQ-" in html]
    assert not [file for file in theirs.rglob("*") if "QQ-" in file.name]
    assert not (theirs / "data").exists()
    assert "due.html" in texts(usual) and "QQ-AUTHOR" in texts(usual)["index.html"]


def test_a_site_built_for_nobody_in_particular_is_the_students(
    site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not [path for path, html in texts(site).items() if "R.T." in html]
    monkeypatch.setenv("PATINARIUM_FOR", "private")
    own, _ = build_site(library(tmp_path / "lib", findings(None, ("SH-012",)), monkeypatch))
    assert own.name == "site-for-private"
    assert "R.T." in texts(own)["pieces/SH-012.html"]


def test_an_audience_that_is_not_known_stops_the_build_and_names_those_that_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = library(tmp_path / "lib", findings(None, ("SH-012",)), monkeypatch)
    config = load_config(str(folder / "mkdocs.yml"))
    config.plugins["patinarium"] = plugin = PatinariumPlugin()
    plugin.audience = "client"
    with pytest.raises(Abort):
        build(config)
    assert "students, clients, private" in str(plugin.failed)


@pytest.mark.parametrize("told", ["2025-06-01", None])
def test_the_day_is_injected_and_else_today(
    told: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    if told:
        monkeypatch.setenv("PATINARIUM_TODAY", told)
    plugin = PatinariumPlugin()
    plugin.settings = settings()
    expected = dt.date.fromisoformat(told) if told else dt.datetime.now(tz=dt.UTC).date()
    assert plugin._today(settings()) == expected


def test_the_preview_watches_samples_and_templates(tmp_path: Path) -> None:
    watched: list[str] = []
    plugin = PatinariumPlugin()
    plugin.root, plugin.settings = tmp_path, settings()
    plugin.on_serve(SimpleNamespace(watch=watched.append), config=SimpleNamespace(), builder=build)
    assert str(tmp_path / "samples") in watched
    assert any("site_templates" in path for path in watched)
