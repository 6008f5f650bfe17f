"""Labels are read back from paper, whatever the piece is called."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from builder.errors import PrintError
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.jig import A4, JIGS, Jig, read_label
from builder.records.library import Library
from builder.sheets.labels import (
    HEIGHT_MM,
    WIDTH_MM,
    Label,
    choose_labels,
    draw_label,
    lay_out_labels,
)
from builder.sheets.lettering import CAP, measure_words, spell
from builder.sheets.printing import print_labels
from builder.sheets.shapes import Code, Words
from tests.pipeline.small_library import copy_small_library
from tests.sheets.raster import page_sizes, rasterise, read_codes

NAMES = ["SH-014", "1", "A.B-c_d", "TP-001_second-batch.of.the-autumn", "W" * 60, "Grün-07"]
BOTH = pytest.mark.parametrize("paper", JIGS, ids=lambda jig: jig.name)


@pytest.fixture
def library(tmp_path: Path) -> Library:
    root = copy_small_library(tmp_path / "library")
    return read_library(root, read_settings_file(root), dt.date(2026, 6, 1))


@BOTH
def test_every_label_is_read_back_by_its_number(paper: Jig) -> None:
    labels = [Label(f"{name[:56]}{copy}" if copy else name) for copy in range(3) for name in NAMES]
    pdf = print_labels(labels, paper, ("pdf",))[0].content
    pages = rasterise(pdf)
    read = [read_label(text) for page in pages for text in read_codes(page)]
    assert sorted(filter(None, read)) == sorted(label.piece for label in labels)
    assert len(pages) == 2
    # Standing paper: ISO 216, ANSI/ASME Y14.1
    assert page_sizes(pdf)[0] == pytest.approx(
        (paper.height * 72 / 25.4, paper.width * 72 / 25.4), abs=0.001
    )


@BOTH
def test_a_label_fits_its_place_on_the_sheet(paper: Jig) -> None:
    left, top, right, bottom = paper.label
    assert right - left >= WIDTH_MM and bottom - top >= HEIGHT_MM


@pytest.mark.parametrize("name", [*NAMES, "-".join(["ab"] * 20), "m" * 15])
def test_no_word_leaves_its_label_or_meets_the_code(name: str) -> None:
    shapes = list(draw_label(Label(name, "phosphor bronze " * 9), (0.0, 0.0)))
    code = next(shape for shape in shapes if isinstance(shape, Code))
    words = [shape for shape in shapes if isinstance(shape, Words)]
    assert "".join(word.text for word in words[:-1]) == name
    # the quiet zone of four modules: ISO/IEC 18004
    modules = 21 + 4 * 40
    quiet = min(code.box[0], code.box[1], HEIGHT_MM - code.box[3])
    assert quiet >= 4 * (code.box[2] - code.box[0]) / modules
    for word in words:
        assert word.at[0] > code.box[2] + 2.0
        assert word.at[0] + measure_words(word.text, word.size, word.bold) <= WIDTH_MM - 3.0
        assert word.at[1] - CAP * word.size > 2.0 and word.at[1] < HEIGHT_MM - 3.0


def test_labels_do_not_overlap_and_stay_on_the_paper() -> None:
    for sheet in lay_out_labels([Label(f"P-{n}") for n in range(30)], A4):
        boxes = np.array([s.box for s in sheet.shapes if isinstance(s, Code)])
        middles = (boxes[:, :2] + boxes[:, 2:]) / 2
        apart = np.abs(middles[:, None] - middles[None])
        beside = (apart[..., 0] > WIDTH_MM - 1e-6) | (apart[..., 1] > HEIGHT_MM - 1e-6)
        assert (beside | np.eye(len(boxes), dtype=bool)).all()
        assert boxes.min() > 5 and (boxes[:, 2:] < [sheet.width - 5, sheet.height - 5]).all()


def test_a_librarys_labels_carry_metal_and_method(library: Library) -> None:
    chosen = choose_labels(library)
    assert [label.piece for label in chosen] == ["SH-012", "SH-014"]
    assert chosen[0].words == "copper, buried in damp sawdust"


def test_the_pieces_named_come_in_their_order_whatever_their_capitals(library: Library) -> None:
    assert [one.piece for one in choose_labels(library, ("sh-014", "SH-012"))] == [
        "SH-014",
        "SH-012",
    ]


def test_every_unknown_piece_is_named_with_what_to_do(library: Library) -> None:
    with pytest.raises(PrintError) as caught:
        choose_labels(library, ("SH-012", "SH-12", "teapot"))
    first, second = map(str, caught.value.problems)
    assert "“SH-12”" in first and "did you mean “SH-012”?" in first
    assert "“teapot”" in second and "patinarium check" in second


def test_letters_the_printer_has_not_are_said_as_near_as_may_be() -> None:
    assert spell("Grün – “x” 45°") == "Grün – “x” 45°"
    assert spell("Łódź ž") == "?ódz ž"  # ž is in the font's own set (cp1252), ź is z with an accent
    assert spell("漆") == "?"


def test_a_fraction_or_a_minus_never_becomes_another_number() -> None:
    assert spell("2½ tsp") == "2½ tsp"
    assert spell("2⅓ tsp") == "2 1/3 tsp"
    assert spell("⅔ cup, −5 °C") == "2/3 cup, -5 °C"
    assert spell("1⁄2") == "1/2"


def test_the_same_labels_give_the_same_bytes() -> None:
    labels = [Label(name, "copper") for name in NAMES]
    assert print_labels(labels, A4, ("pdf", "svg")) == print_labels(labels, A4, ("pdf", "svg"))
