"""What the marking page is given and what becomes of its answers; the browser's own part is tested
in a browser."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

import numpy as np
import pytest
from PIL import Image

from builder.collect.mark_messages import START, Picture, describe_setup, read_corners
from builder.collect.marking import Marking, choose_setup, mark_photo, show_picture
from builder.errors import LibraryError, PatinariumError, PictureError
from builder.read.settings import read_settings_file
from builder.records.photo import Quad
from builder.records.settings import Limits, Settings, SetUp
from tests.collect.marked_library import SETTINGS, SIZE, draw_bench, make_library, marking

PICTURE = Picture("a.jpg", 900, 600, b"")
GOOD = [[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]]
JPEG_LOSS = 12  # of 255: two codings at quality 82 and above, on flat areas


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return make_library(tmp_path / "library")


def told_by(page: str) -> dict[str, Any]:
    found = re.search(r'id="told">(.*?)</script>', page, re.DOTALL)
    assert found
    return dict(json.loads(found[1]))


def send(address: str, message: dict[str, Any]) -> dict[str, Any]:
    request = Request(  # noqa: S310  # the address is our own server's
        address, json.dumps(message).encode(), {"Content-Type": "application/json"}
    )
    with urlopen(request, timeout=30) as answer:  # noqa: S310
        return dict(json.loads(answer.read()))


def read(address: str) -> bytes:
    with urlopen(address, timeout=30) as answer:  # noqa: S310
        return bytes(answer.read())


def test_a_marking_writes_says_where_and_ends(library: Path) -> None:
    with marking(library) as page:
        told = told_by(read(page.address).decode())
        answer = send(page.address, {"seen": told["seen"], "piece_at": GOOD})
        assert answer["said"] == "Wrote piece_at to mkdocs.yml:10, set-up “bench”."
        again = {"seen": answer["seen"], "card_at": GOOD}
        assert "card_at to mkdocs.yml:11" in send(page.address, again)["said"]
        send(page.address, {"done": True})
        page.thread.join(30)
        assert not page.thread.is_alive()
    assert page.failed == []
    assert answer["said"] in page.said
    text = (library / "mkdocs.yml").read_text(encoding="utf-8")
    changed = [new for new, old in zip(text.splitlines(), SETTINGS.splitlines(), strict=True)
               if new != old]  # fmt: skip
    corners = "[[0.1000, 0.1000], [0.9000, 0.1000], [0.9000, 0.9000], [0.1000, 0.9000]]"
    assert [line.strip() for line in changed] == [
        f"piece_at: {corners}  # by eye",
        f"card_at: {corners}",
    ]


def test_the_picture_shown_is_upright(library: Path) -> None:
    with marking(library) as page:
        shown = Image.open(io.BytesIO(read(page.address + "picture.jpg")))
    assert shown.size == SIZE
    difference = np.abs(np.asarray(shown, float) - np.asarray(draw_bench(), float))
    assert np.median(difference) < JPEG_LOSS
    assert np.percentile(difference, 95) < JPEG_LOSS


def test_a_page_ended_without_saving_writes_nothing(library: Path) -> None:
    with marking(library) as page:
        pass
    assert page.said[-1] == "Stopped. Nothing was written."
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS


def test_a_name_cannot_end_the_script_it_is_told_in(library: Path) -> None:
    marked = Marking(library, "</script><b>", PICTURE)
    page = marked.fill_page('<script id="told">%(told)s</script>')
    assert page.count("</script>") == 1
    assert told_by(page)["setup"] == "</script><b>"


def test_any_picture_may_be_marked_and_names_are_looked_for_in_the_library(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = tmp_path / "elsewhere.png"
    Image.new("RGB", (40, 30)).save(elsewhere)
    assert show_picture(library, elsewhere, Limits()).width == 40
    monkeypatch.chdir(tmp_path)
    assert show_picture(library, Path("bench.jpg"), Limits()).width == SIZE[0]


@pytest.mark.parametrize(
    ("photo", "why"),
    [
        ("nowhere.jpg", "there is no such file"),
        ("mkdocs.yml", "expected a JPEG|a JPEG, HEIC"),
        (".", "cannot be read|leads out"),
        ("..", "cannot be read|leads out"),
    ],
)
def test_what_is_no_picture_is_said(library: Path, photo: str, why: str) -> None:
    with pytest.raises(PictureError, match=why):
        mark_photo(library, library / photo, "bench", 0, False, print)


# ------------------------------------------------------------------ which set-up


def setups(*names: str, usual: str = "") -> Settings:
    return Settings(setups=tuple(SetUp(name) for name in names), default_setup=usual)


@pytest.mark.parametrize(
    ("settings", "wanted", "new", "chosen"),
    [
        (setups(), "", False, "bench"),
        (setups(), "window", False, "window"),
        (setups("a"), "", False, "a"),
        (setups("a", "b", usual="b"), "", False, "b"),
        (setups("a", "b", usual="b"), "a", False, "a"),
        (setups("a"), "c", True, "c"),
        (setups("a b"), " a  b ", False, "a b"),
    ],
)
def test_the_setup_is_the_one_named_or_the_usual_one(settings, wanted, new, chosen) -> None:
    assert choose_setup(settings, wanted, new) == chosen


@pytest.mark.parametrize(
    ("settings", "wanted", "why"),
    [
        (setups("bench plates", "bells"), "bench plate", "did you mean “bench plates”.*--new"),
        (setups("bells"), "zzz", "one of: “bells”.*--new"),
        (setups("a", "b"), "", "name it with --setup, one of: “a”, “b”"),
        (setups("a", "b", usual="none"), "", "none is the usual one"),
        (setups(), "None", "cannot be named “none”"),
    ],
)
def test_a_setup_that_is_not_there_is_said(settings, wanted, why) -> None:
    with pytest.raises(LibraryError, match=why):
        choose_setup(settings, wanted)


# ------------------------------------------------------------------ messages


def test_a_setup_with_a_jig_sheet_is_not_marked_over() -> None:
    settings = Settings(setups=(SetUp("jig", sheet="A4"), SetUp("stand")), default_setup="jig")
    for wanted in ("", "jig"):
        with pytest.raises(LibraryError, match="has a jig sheet"):
            choose_setup(settings, wanted)
    with pytest.raises(LibraryError, match="there is a set-up “stand” already"):
        choose_setup(settings, "stand", new=True)
    assert choose_setup(settings, "stand") == "stand"
    assert choose_setup(settings, "loft", new=True) == "loft"


def test_the_page_is_told_of_the_corners_and_the_cards_patches(library: Path) -> None:
    settings = read_settings_file(library)
    bench, shelf = (settings.setup_named(name) for name in ("bench", "shelf"))
    assert bench is not None
    assert shelf is not None
    told = describe_setup(bench, PICTURE, "d")
    assert (told["rows"], told["columns"]) == (2, 2)
    assert told["patches"] == [[0, 0], [0, 1], [1, 0], [1, 1]]
    assert told["piece_at"] == bench.piece_at
    assert told["has_card"]
    told = describe_setup(shelf, PICTURE, "d")
    assert (told["piece_at"], told["patches"]) == (START["piece_at"], [])
    assert not told["has_card"]


@pytest.mark.parametrize("key", START)
def test_the_corners_to_begin_with_can_be_saved(key: str) -> None:
    sent = [list(corner) for corner in START[key]]
    assert read_corners(sent, key, PICTURE) == START[key]


def test_corners_are_rounded_as_they_are_written() -> None:
    sent = [[1e-9, 0], [0.99999, 0.00004], [1, 1], [0, 0.123449]]
    quad: Quad = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 0.1234))
    assert read_corners(sent, "piece_at", PICTURE) == quad


@pytest.mark.parametrize(
    "sent",
    [
        [[0.1, 0.1], [0.9, 0.9], [0.9, 0.1], [0.1, 0.9]],  # crossed
        [[0.1, 0.1], [0.1, 0.9], [0.9, 0.9], [0.9, 0.1]],  # the wrong way round
        [[0.1, 0.1], [0.9, 0.1], [0.3, 0.3], [0.1, 0.9]],  # pushed in
        [[0.5, 0.5]] * 4,
        [[0.5, 0.5], [0.5001, 0.5], [0.5001, 0.5001], [0.5, 0.5001]],  # too small
        [[-0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],  # outside
        [[0.1, 0.1], [1.1, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [[float("nan"), 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [[float("inf"), 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [[10**400, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [[True, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [["0.1", 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]],
        [[0.1, 0.1], [0.9, 0.1], [0.9, 0.9]],
        [0.1, 0.1, 0.9, 0.9],
        "piece",
        {},
    ],
)
def test_corners_that_make_no_place_are_refused(sent: Any) -> None:
    with pytest.raises(LibraryError, match="nothing was written"):
        read_corners(sent, "piece_at", PICTURE)


@pytest.mark.parametrize(
    "message",
    [{}, {"piece_at": None}, {"seen": 3, "piece_at": GOOD}, {"seen": "", "card_at": "x"}],
)
def test_a_message_that_says_too_little_writes_nothing(library: Path, message) -> None:
    with pytest.raises(PatinariumError):
        Marking(library, "bench", PICTURE).take(message, print)
    assert (library / "mkdocs.yml").read_text(encoding="utf-8") == SETTINGS
