"""What strangers' notes may cost: each limit is met by refusal, and is a setting."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from unittest.mock import patch

import pytest

from builder.errors import CardError, LibraryError
from builder.read import cards, photo_notes
from builder.read.cards import read_card_file
from builder.read.library import read_library
from builder.read.settings import read_settings
from builder.records.library import Library
from builder.records.settings import Limits, Settings

PIECE = "piece: A-1\nmetal: copper\n"
USUAL = Limits()
DAY = dt.date(2025, 1, 1)


def read(root: Path, text: str = PIECE, photos: int = 0, limits: Limits = USUAL) -> Library:
    folder = root / "samples" / "A-1"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "sample.yaml").write_text(text, encoding="utf-8")
    for number in range(photos):
        (folder / f"IMG_{number:04}.jpg").write_bytes(b"")
    return read_library(root, Settings(limits=limits), DAY)


def said(library: Library) -> str:
    return "\n".join(map(str, library.problems))


def test_a_long_text_repeated_is_counted_as_often_as_it_stands_there(tmp_path: Path) -> None:
    text = PIECE + "notes: &a " + "x" * 5000 + "\ncolour_words:\n" + "  - *a\n" * 300
    library = read(tmp_path, text)
    assert "more than 1000000 characters, repeats written out" in said(library)
    assert library.entries == ()


def test_one_text_has_its_limit(tmp_path: Path) -> None:
    text = PIECE + "notes: " + "x" * 101
    assert "a text of 101 characters; expected at most 100" in said(
        read(tmp_path, text, limits=Limits(text_characters=100))
    )
    assert read(tmp_path, text, limits=Limits(text_characters=101)).entries


def test_values_and_depth_are_settings(tmp_path: Path) -> None:
    text = PIECE + "colour_words: [a, b, c]\n"
    assert "more than 5 values" in said(read(tmp_path, text, limits=Limits(sidecar_values=5)))
    assert "nested more than 2 deep" in said(read(tmp_path, text, limits=Limits(sidecar_depth=2)))


def test_half_a_sign_is_refused(tmp_path: Path) -> None:
    library = read(tmp_path, PIECE + 'notes: "\\ud800"\n')
    assert library.entries == ()


def test_pictures_beyond_the_limit_are_left_out_and_said(tmp_path: Path) -> None:
    library = read(tmp_path, photos=5, limits=Limits(photos=3))
    assert [photo.path[-8:] for photo in library.photos] == ["0000.jpg", "0001.jpg", "0002.jpg"]
    assert "there are 5 pictures in this folder; expected at most 3" in said(library)


def test_folders_beyond_the_limit_are_left_out_and_said(tmp_path: Path) -> None:
    for number in range(4):
        (tmp_path / "samples" / f"B-{number}").mkdir(parents=True)
    library = read(tmp_path, limits=Limits(pieces=1))
    assert [entry.piece.piece for entry in library.entries] == ["A-1"]
    assert "there are more than 1 folders" in said(library)


def test_what_was_meant_is_looked_for_a_few_times_only(tmp_path: Path) -> None:
    notes = "photos:\n" + "".join(f"  - MIG_{number}.jpg\n" for number in range(300))
    with patch.object(photo_notes, "suggest", wraps=photo_notes.suggest) as suggest:
        read(tmp_path, PIECE + notes, photos=20)
    assert sum(bool(call.args[1]) for call in suggest.call_args_list) == 50


def test_patches_there_twice_are_counted_once_through(tmp_path: Path) -> None:
    rows = "A1 50 0 0\n" * 2000
    (tmp_path / "card.txt").write_text(
        "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
        f"BEGIN_DATA\n{rows}END_DATA\n",
        encoding="utf-8",
    )
    with (
        patch.object(cards, "Counter", wraps=cards.Counter) as counter,
        pytest.raises(CardError, match="A1 is there twice"),
    ):
        read_card_file(tmp_path / "card.txt", "card.txt", None, 1_000_000)
    assert counter.call_count == 1


@pytest.mark.parametrize(
    ("options", "found"),
    [
        ({"setups": {f"s{number}": "" for number in range(101)}}, "there are 101 set-ups"),
        ({"web_widths": list(range(100, 113))}, "at most 12 whole numbers"),
        ({"rechecks": ["1 d"] * 101}, "at most 100 times"),
        ({"today": "9999-12-31"}, "a date from 1900 to 2199"),
        ({"limits": {"text_characters": "0"}}, "a whole number from 1"),
    ],
)
def test_settings_have_their_limits_too(
    tmp_path: Path, options: dict[str, object], found: str
) -> None:
    with pytest.raises(LibraryError, match=found):
        read_settings(options, tmp_path)


def test_every_limit_is_a_setting(tmp_path: Path) -> None:
    names = vars(Limits())
    told = read_settings({"limits": dict.fromkeys(names, "7")}, tmp_path).limits
    assert set(vars(told).values()) == {7}
