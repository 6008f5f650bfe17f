"""The quick pass on a library of real photographs, built by MkDocs as the preview builds it."""

from __future__ import annotations

import datetime as dt
import logging
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from builder.commands import building
from builder.pipeline import gather
from builder.previewing import showing
from builder.previewing.preview import Studio
from builder.previewing.splicing import mark_part
from builder.publish import pages
from builder.read import library as library_module
from builder.read.settings import read_settings_file
from tests.pipeline.small_library import copy_small_library

TODAY = dt.date(2026, 6, 1)
SIDECAR = "samples/SH-012/sample.yaml"
PAGE = "pieces/SH-012.html"


@pytest.fixture(autouse=True)
def quiet() -> Iterator[None]:
    level = logging.getLogger("mkdocs").level
    yield
    logging.getLogger("mkdocs").setLevel(level)


@pytest.fixture(scope="module")
def read_library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its photographs read, so that the tests need not."""
    root = copy_small_library(tmp_path_factory.mktemp("read") / "library")
    studio = studio_of(root)
    studio.build()
    studio.end()
    return root


@pytest.fixture
def studio(read_library: Path, tmp_path: Path) -> Iterator[Studio]:
    root = tmp_path / "library"
    shutil.copytree(read_library, root, copy_function=shutil.copy2)
    made = studio_of(root)
    made.build()
    yield made
    made.end()


def studio_of(root: Path) -> Studio:
    def load(folder: Path) -> tuple[Any, Any]:
        return building.load_mkdocs(root, TODAY, "", site_dir=str(folder))

    room = root.parent / "room"
    room.mkdir()
    return Studio(load, building.run_mkdocs, room)


def write(studio: Studio, old: str, new: str, file: str = SIDECAR) -> str:
    """Change a sidecar; its path."""
    path = root_of(studio) / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    return str(path)


def root_of(studio: Studio) -> Path:
    assert studio.shown
    return studio.shown.gathered.findings.library.root


def page(studio: Studio, address: str = PAGE) -> str:
    assert studio.shown
    return (studio.shown.folder / address).read_text("utf-8")


def test_a_quick_pass_parses_one_sidecar_renders_one_page_and_leaves_mkdocs_out(
    studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    for module, name in (
        (library_module, "read_sidecar"),
        (pages, "lay_out_piece"),
        (pages, "_overview_pages"),
    ):
        monkeypatch.setattr(module, name, _counted(getattr(module, name), name, done))
    studio.load = studio.make = _never
    assert studio.redraw([write(studio, "notes: ", "notes: Rained on. ")]) is True
    assert sorted(done) == ["lay_out_piece", "read_sidecar"]
    assert "Rained on." in page(studio)


def _counted(function: Any, name: str, done: list[str]) -> Any:
    def counted(*args: Any, **named: Any) -> Any:
        done.append(name)
        return function(*args, **named)

    return counted


def _never(*_: Any) -> Any:
    raise AssertionError("MkDocs ran")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("notes: ", "notes: Rained on, & left <so>. "),
        ("metal: copper", "metal: gilding metal"),  # its title, too, and what differs from it
    ],
)
def test_a_spliced_page_is_the_page_of_a_full_build_byte_for_byte(
    studio: Studio, tmp_path: Path, old: str, new: str
) -> None:
    studio.redraw([write(studio, old, new)])
    spliced = page(studio)
    studio.build()
    assert spliced == page(studio)
    config, plugin = building.load_mkdocs(
        root_of(studio), TODAY, "", site_dir=str(tmp_path / "site")
    )
    plugin.on_shutdown()
    building.run_mkdocs(config, plugin)
    opens, closes = mark_part("|").split("|")
    built = (tmp_path / "site" / PAGE).read_text("utf-8")
    built = re.sub(r'\n<meta http-equiv="Content-Security-Policy"[^>]*>', "", built)
    assert spliced.replace(opens, "").replace(closes, "") == built


def test_what_is_found_anew_is_what_would_be_found_from_nothing(studio: Studio) -> None:
    studio.redraw([write(studio, "metal: copper", "metal: gilding metal")])
    assert studio.shown
    root = root_of(studio)
    fresh = gather(root, read_settings_file(root), TODAY)
    assert studio.shown.gathered.findings == fresh.findings


def test_what_goes_by_the_saved_piece_is_drawn_with_it(studio: Studio) -> None:
    studio.redraw([write(studio, "metal: copper", "metal: gilding metal")])
    assert "gilding metal" in page(studio, "pieces/SH-014.html").lower()


def test_a_sidecar_that_cannot_be_used_leaves_its_last_good_page_and_says_so(
    studio: Studio, capsys: pytest.CaptureFixture[str]
) -> None:
    before = page(studio)
    path = write(studio, "notes: ", "notes: [")
    assert studio.redraw([path]) is False
    assert SIDECAR in capsys.readouterr().err
    assert "cannot be used as it stands" in page(studio)
    studio.build()
    assert "cannot be used as it stands" in page(studio)
    write(studio, "notes: [", "notes: ")
    assert studio.redraw([path]) is False
    assert page(studio) == before


def test_a_new_photograph_takes_a_full_pass(studio: Studio) -> None:
    path = write(studio, "notes: ", "notes: Again. ")
    photo = root_of(studio) / "samples" / "SH-012" / "SH-012_2025-01-14_recheck_front.jpg"
    photo.with_name("SH-012_2025-02-14_recheck_front.jpg").write_bytes(photo.read_bytes() + b" ")
    before = page(studio)
    assert studio.redraw([path]) is None
    assert page(studio) == before


def test_a_photograph_to_be_read_otherwise_takes_a_full_pass(studio: Studio) -> None:
    assert studio.redraw([write(studio, "size_mm: [", "size_mm: [1")]) is None


def test_another_number_takes_a_full_pass(studio: Studio) -> None:
    assert studio.redraw([write(studio, "piece: SH-012", "piece: SH-013")]) is None


def test_more_saved_at_once_than_a_few_are_left_to_the_full_pass(
    studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(showing, "FEW", 1)
    both = [
        write(studio, "notes: ", "notes: Both. ", f"samples/{number}/sample.yaml")
        for number in ("SH-012", "SH-014")
    ]
    assert studio.redraw(both) is None


def test_the_end_leaves_the_plugin_as_it_was(studio: Studio, tmp_path: Path) -> None:
    studio.end()
    _, plugin = building.load_mkdocs(root_of(studio), TODAY, "")
    assert not plugin.serving and plugin.recent is None


def test_a_full_pass_that_gives_way_leaves_the_site_that_is_shown(studio: Studio) -> None:
    last = studio.shown
    rooms = sorted(studio.folder.iterdir())

    def give_way() -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        studio.build(give_way)
    assert studio.shown is last
    assert sorted(studio.folder.iterdir()) == rooms


def test_a_full_pass_tells_whether_a_page_that_was_looked_at_is_another(studio: Studio) -> None:
    class Asked:
        root = ""
        asked = frozenset({PAGE})

    server: Any = Asked()
    studio.redraw([write(studio, "notes: ", "notes: Seen at once. ")])
    assert studio.rebuild(lambda: None, server) is False
    write(studio, "notes: ", "notes: Not drawn yet. ")
    assert studio.rebuild(lambda: None, server) is True
    assert studio.shown and server.root == str(studio.shown.folder)
