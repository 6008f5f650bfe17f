"""A piece that is as another, but."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.collect.new_piece import plan_piece
from builder.collect.sidecar_making import make_sidecar
from builder.errors import LibraryError
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.library import Library
from tests.collect.test_planned_folders import notes  # noqa: F401

LATER = dt.date(2027, 1, 1)


@pytest.fixture
def library(notes: Path) -> Library:  # noqa: F811
    return read_library(notes, read_settings_file(notes), LATER)


def test_it_says_what_differs_and_leaves_the_days_to_be_filled(library: Library) -> None:
    piece = plan_piece(
        library, "SH-031", "SH-012", ["exposure=14d", "sealant=none", "why=twice as long"]
    )
    assert piece.file == "samples/SH-031/sample.yaml"
    assert piece.text == (
        "piece: SH-031\nsame_as: SH-012\nchange:\n  exposure: 14d\n  sealant: none\n"
        "  started:                   # the day it is begun\n"
        "  batch:                     # when the mixture was made\n"
        "why: twice as long\n"
    )
    make_sidecar(library.root, piece.file, piece.text)
    again = read_library(library.root, library.settings, LATER)
    entry = next(e for e in again.entries if e.piece.piece == "SH-031")
    assert entry.piece.exposure.value is not None
    assert entry.piece.exposure.value.number == 14 * 86_400
    assert entry.piece.metal.written == "copper" and not entry.piece.started.written
    # Without a day it is planned, and nothing is to be put right.
    assert not [p for p in again.problems if p.file == piece.file]


def test_a_sealants_day_is_not_taken_over(library: Library) -> None:
    text = plan_piece(library, "SH-031", "SH-014", []).text
    assert "sealant: {kind: microcrystalline wax, coats: 2" in text
    assert "2024-10-16" not in text


def test_lists_and_mappings_are_written_in_brackets(library: Library) -> None:
    changes = ["sealant={kind: shellac, coats: 2}", "Ingredients=[{name: salt, amount: 5 g}]"]
    text = plan_piece(library, "SH-031", "SH-012", changes).text
    assert "  sealant: {kind: shellac, coats: 2}\n" in text
    assert "  ingredients: [{name: salt, amount: 5 g}]\n" in text


def test_words_that_cannot_be_converted_are_kept_and_told(library: Library) -> None:
    piece = plan_piece(library, "SH-031", "SH-012", ["exposure=overnight"])
    assert "exposure: overnight" in piece.text
    assert [problem.found for problem in piece.problems] == ["exposure is “overnight”"]


@pytest.mark.parametrize(
    ("number", "like", "changes", "said"),
    [
        ("SH-012", "SH-012", [], "there is a piece of this number (samples/SH-012/sample.yaml)"),
        ("sh-012", "SH-012", [], "there is a piece of this number"),
        ("../x", "SH-012", [], "this can be no number"),
        ("SH-031", "SH-O12", [], "did you mean “SH-012”"),
        ("SH-031", "sh-12", [], "did you mean “SH-012”"),
        ("SH-031", "SH-012", ["exposre=7 d"], "did you mean “exposure”"),
        ("SH-031", "SH-012", ["sealant.coats=2"], "say the whole: sealant={coats: …}"),
        ("SH-031", "SH-012", ["exposure"], "has no “=”"),
        ("SH-031", "SH-012", ["piece=X"], "no field that can change"),
        ("SH-031", "SH-012", ["sealant={knd: wax}"], "“knd” is no known key of sealant"),
        ("SH-031", "SH-012", ["sealant={kind: wax"], "is not closed"),
        ("SH-031", "SH-012 attempt 9", [], "which one is meant"),
    ],
)
def test_what_cannot_be_meant_is_refused_and_nothing_written(
    library: Library, number: str, like: str, changes: list[str], said: str
) -> None:
    before = sorted(library.root.rglob("*"))
    with pytest.raises(LibraryError) as caught:
        plan_piece(library, number, like, changes)
    assert said in str(caught.value)
    assert sorted(library.root.rglob("*")) == before


def test_all_that_is_wrong_is_said_at_once(library: Library) -> None:
    with pytest.raises(LibraryError) as caught:
        plan_piece(library, "SH-012", "X", ["exposre=7 d"])
    assert len(caught.value.problems) == 3


def test_a_sidecar_that_is_there_is_never_written_over(library: Library) -> None:
    file = "samples/SH-012/sample.yaml"
    before = (library.root / file).read_bytes()
    with pytest.raises(LibraryError, match="cannot be made"):
        make_sidecar(library.root, file, "piece: SH-012\n")
    assert (library.root / file).read_bytes() == before
    assert not list((library.root / "samples" / "SH-012").glob(".*"))
