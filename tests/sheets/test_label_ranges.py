"""Labels for pieces that are not made yet."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.errors import PrintError
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.library import Library
from builder.sheets.label_ranges import MOST_LABELS, choose_with_ranges
from builder.sheets.labels import Label, choose_labels
from tests.pipeline.small_library import copy_small_library


@pytest.fixture
def library(tmp_path: Path) -> Library:
    root = copy_small_library(tmp_path / "library")
    return read_library(root, read_settings_file(root), dt.date(2026, 6, 1))


def test_a_range_gives_every_number_with_room_to_write(library: Library) -> None:
    chosen = choose_with_ranges(library, ("SH-031..SH-060",))
    assert [label.piece for label in chosen] == [f"SH-{number:03d}" for number in range(31, 61)]
    assert {label.words for label in chosen} == {""}


def test_pieces_of_a_range_that_are_there_carry_their_words(library: Library) -> None:
    chosen = choose_with_ranges(library, ("SH-014", "sh-011..013"))
    assert chosen == (
        Label("SH-014", "copper, buried in damp sawdust"),
        Label("sh-011"),
        Label("SH-012", "copper, buried in damp sawdust"),
        Label("sh-013"),
    )


def test_figures_grow_as_the_first_is_written(library: Library) -> None:
    assert [one.piece for one in choose_with_ranges(library, ("P9..P11",))] == ["P9", "P10", "P11"]
    assert [one.piece for one in choose_with_ranges(library, ("P.098..101",))] == [
        *("P.098", "P.099", "P.100", "P.101")
    ]


def test_without_a_range_it_is_the_pieces_as_ever(library: Library) -> None:
    assert choose_with_ranges(library) == choose_labels(library)
    with pytest.raises(PrintError, match="did you mean “SH-012”"):
        choose_with_ranges(library, ("SH-0122", "SH-031..SH-032"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("SH-031..TP-060", "no range"),
        ("SH-..SH-", "no range"),
        ("SH-060..SH-031", "backwards"),
        ("Grün-1..Grün-2", "no piece can have"),
        ("../1..../2", "no piece can have"),
        ("1..999999999", f"at most {MOST_LABELS}"),
    ],
)
def test_what_is_no_range_is_said_with_what_to_write(
    library: Library, text: str, said: str
) -> None:
    with pytest.raises(PrintError, match=said):
        choose_with_ranges(library, (text,))


def test_many_ranges_together_are_counted(library: Library) -> None:
    with pytest.raises(PrintError, match="several goes"):
        choose_with_ranges(library, ("A1..A1500", "B1..B1500"))
