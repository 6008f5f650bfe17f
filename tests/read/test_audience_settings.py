"""The audiences of the settings."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from builder.errors import LibraryError
from builder.read.library import read_library
from builder.read.settings import read_settings
from builder.records.audiences import BUILT_IN, Audience


def audiences(written: Any) -> dict[str, Audience]:
    settings = read_settings({"audiences": written}, Path())
    return {audience.name: audience for audience in settings.audiences}


def test_without_a_word_there_are_three() -> None:
    assert read_settings({}, Path()).audiences == BUILT_IN


def test_an_audience_of_ones_own_begins_as_the_most_careful() -> None:
    gallery = audiences({"Gallery": {"show": "method"}})["gallery"]
    assert gallery.sees("method") and not gallery.sees("notes")
    assert gallery.like == "clients"


def test_parts_pages_and_things_may_be_named() -> None:
    guild = audiences({"guild": {"like": "students", "hide": ["recipe", "data", "ledger"]}})[
        "guild"
    ]
    assert not any(map(guild.sees, ("ingredients.name", "exposure", "data", "ledger")))
    assert guild.sees("notes")


def test_a_built_in_one_may_be_shown_more_or_less() -> None:
    assert audiences({"clients": {"show": ["colour_words"]}})["clients"].sees("colour_words")
    assert not audiences({"students": {"hide": ["cause"]}})["students"].sees("cause")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ({"private": {}}, "private"), ({"public": {}}, "public"), ({"a b": {}}, "a b"),
        ({"x": "clients"}, "keys: like, show, hide"), ({"x": {"like": "me"}}, "one of: students"),
        ({"x": {"shwo": []}}, "shwo"), ({"x": {"show": ["methd"]}}, "method"), ("me", "audiences"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_stops_the_run_and_is_named(written: Any, said: str) -> None:
    with pytest.raises(LibraryError, match=said):
        audiences(written)


def test_an_audience_of_ones_own_may_be_shared_with(tmp_path: Path) -> None:
    piece = tmp_path / "samples" / "P-1"
    piece.mkdir(parents=True)
    (piece / "sample.yaml").write_text(
        "piece: P-1\nmetal: copper\nmethod: dip\nstarted: 2024-10-01\nshare: {notes: guild}\n"
    )
    for written, entries in (({}, 0), ({"guild": {}}, 1)):
        settings = read_settings({"audiences": written}, tmp_path)
        library = read_library(tmp_path, settings, dt.date(2025, 1, 1))
        assert len(library.entries) == entries
