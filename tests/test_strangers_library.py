"""A whole library from a stranger: nothing of it runs, nothing outside it is published."""

from __future__ import annotations

import base64
import hashlib
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.publish.pictures import place_pictures
from builder.read.places import read_places

SETTINGS = "site_name: A\ntheme:\n  name: material\nplugins:\n  - search\n  - patinarium\n"
HIDDEN = "the keys of the house"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "library"
    (root / "samples" / "A-1").mkdir(parents=True)
    (root / "docs").mkdir()
    (root / "mkdocs.yml").write_text(SETTINGS, encoding="utf-8")
    (root / "samples" / "A-1" / "sample.yaml").write_text("piece: A-1\n", encoding="utf-8")
    (tmp_path / "secret.txt").write_text(HIDDEN, encoding="utf-8")
    return root


def build(library: Path, command: str = "build") -> Result:
    return CliRunner().invoke(cli, [command, str(library)])


@pytest.mark.parametrize("command", ["build", "check", "preview"])
@pytest.mark.parametrize(
    "line",
    [
        "x: !!python/object/apply:os.mkdir [{ran}]\n",
        "x: !!python/name:os.mkdir\n",
        "x: !!python/module:antigravity\n",
        "x: !<tag:yaml.org,2002:python/object/apply:os.mkdir> [{ran}]\n",
        "INHERIT: other.yml\n",
    ],
)
def test_settings_that_would_run_a_program_are_refused_before_mkdocs_reads_them(
    library: Path, command: str, line: str
) -> None:
    ran = library.parent / "ran"
    with (library / "mkdocs.yml").open("a", encoding="utf-8") as settings:
        settings.write(line.format(ran=ran))
    (library / "other.yml").write_text(
        f"x: !!python/object/apply:os.mkdir [{ran}]\n", encoding="utf-8"
    )
    done = build(library, command)
    assert done.exit_code == 1
    assert "would run a program" in done.output or "INHERIT takes settings" in done.output
    assert not ran.exists()


def test_the_themes_own_names_are_no_programs(library: Path) -> None:
    with (library / "mkdocs.yml").open("a", encoding="utf-8") as settings:
        settings.write(
            "markdown_extensions:\n  - pymdownx.emoji:\n"
            "      emoji_index: !!python/name:material.extensions.emoji.twemoji\n"
        )
    assert build(library).exit_code == 0


@pytest.mark.parametrize(
    ("name", "to", "found"),
    [
        ("page.md", "secret.txt", "outside the library"),
        ("file.txt", "secret.txt", "outside the library"),
        ("folder", "", "outside the library"),
        ("again", "library/docs", "to a folder that it is in or near"),
        ("all", "library", "to a folder that it is in or near"),
        ("pieces", "library/samples", "to a folder with links to others"),
        ("gone", "library/nothing", "nowhere"),
    ],
)
def test_links_among_the_pages_are_not_followed_out_or_round(
    library: Path, name: str, to: str, found: str
) -> None:
    (library / "samples" / "loop").symlink_to(library, target_is_directory=True)
    (library / "docs" / name).symlink_to(library.parent / to)
    done = build(library)
    assert done.exit_code == 1
    assert f"docs/{name}: this is a link that leads {found}" in done.output
    assert not (library / "site").exists()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_among_the_pages_is_not_waited_for(library: Path) -> None:
    os.mkfifo(library / "docs" / "page.md")
    done = build(library)
    assert done.exit_code == 1
    assert "docs/page.md: this is no file" in done.output


def test_links_among_the_pieces_publish_nothing_from_outside(library: Path) -> None:
    (library / "samples" / "A-1" / "a.jpg").symlink_to(library.parent / "secret.txt")
    (library / "samples" / "A-2").symlink_to(library.parent, target_is_directory=True)
    assert build(library).exit_code == 0
    found = [file for file in (library / "site").rglob("*") if file.is_file()]
    assert [file for file in found if HIDDEN.encode() in file.read_bytes()] == []


def test_a_made_picture_that_is_a_link_is_not_published(tmp_path: Path) -> None:
    (tmp_path / "made").mkdir()
    (tmp_path / "secret.txt").write_text(HIDDEN, encoding="utf-8")
    (tmp_path / "made" / "0123456789abcdef.jpg").symlink_to(tmp_path / "secret.txt")
    assert place_pictures(["0123456789abcdef.jpg"], tmp_path / "made", tmp_path / "site") == 0
    assert list((tmp_path / "site").iterdir()) == []


@pytest.mark.parametrize(
    ("more", "runs"),
    [
        ("", False),
        ("hooks: [a.py]\n", True),
        ("theme:\n  name: material\n  custom_dir: over\n", True),
        ("plugins: [search, patinarium, macros]\n", True),
        ("plugins:\n  - search: {}\n  - patinarium: {}\n", False),
    ],
)
def test_what_a_build_of_a_library_would_run_is_known(library: Path, more: str, runs: bool) -> None:
    (library / "mkdocs.yml").write_text(SETTINGS + more, encoding="utf-8")
    assert read_places(library).runs_code is runs


def test_the_policy_of_the_pages_can_be_taken_off(library: Path) -> None:
    for policy, there in (("tight", True), ("none", False)):
        settings = SETTINGS.replace("patinarium", f"patinarium: {{policy: {policy}}}")
        (library / "mkdocs.yml").write_text(settings, encoding="utf-8")
        assert build(library).exit_code == 0
        page = (library / "site" / "index.html").read_text(encoding="utf-8")
        assert ("Content-Security-Policy" in page) is there


def test_a_script_in_a_page_of_the_makers_own_is_not_let_run(library: Path) -> None:
    script = "window.ran = 1"
    (library / "docs" / "own.md").write_text(f"# x\n\n<script>{script}</script>\n", "utf-8")
    assert build(library).exit_code == 0
    page = (library / "site" / "own.html").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert f"<script>{script}</script>" in page
    assert "sha256-" in page and digest not in page
