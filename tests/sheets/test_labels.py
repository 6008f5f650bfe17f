"""Labels are read back from paper, whatever the piece is called."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from builder.errors import PrintError
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.jig import JIGS, Jig, read_label
from builder.records.library import Library
from builder.sheets.label_sheets import JIG_LABEL_MM, READY, LabelSheet, lay_sheet
from builder.sheets.labels import (
    LEAST_MODULE_MM,
    Label,
    choose_labels,
    draw_label,
    lay_out_labels,
)
from builder.sheets.lettering import CAP, measure_words, spell
from builder.sheets.printing import print_labels
from builder.sheets.shapes import QUIET, Code, Line, Words
from tests.pipeline.small_library import copy_small_library
from tests.sheets.raster import PX_PER_MM, page_sizes, rasterise, read_codes

NAMES = ["SH-014", "1", "A.B-c_d", "TP-001_second-batch.of.the-autumn", "W" * 60, "Grün-07"]
WIDTH_MM, HEIGHT_MM = JIG_LABEL_MM
SIZES = [*dict.fromkeys(one.size for one in READY), (50.0, 25.0), (30.0, 40.0), (44.5, 12.7)]
BOTH = pytest.mark.parametrize("paper", JIGS, ids=lambda jig: jig.name)


@pytest.fixture
def library(tmp_path: Path) -> Library:
    root = copy_small_library(tmp_path / "library")
    return read_library(root, read_settings_file(root), dt.date(2026, 6, 1))


@BOTH
def test_every_label_is_read_back_by_its_number(paper: Jig) -> None:
    labels = [Label(f"{name[:56]}{copy}" if copy else name) for copy in range(3) for name in NAMES]
    pdf = print_labels(labels, lay_sheet(paper.name), ("pdf",))[0].content
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
    assert "".join(word.text for word in words if word.bold) == name
    # the quiet zone of four modules: ISO/IEC 18004
    modules = 21 + 4 * 40
    quiet = min(code.box[0], code.box[1], HEIGHT_MM - code.box[3])
    assert quiet >= 4 * (code.box[2] - code.box[0]) / modules
    for word in words:
        assert word.at[0] > code.box[2] + 2.0
        assert word.at[0] + measure_words(word.text, word.size, word.bold) <= WIDTH_MM - 3.0
        assert word.at[1] - CAP * word.size > 2.0 and word.at[1] < HEIGHT_MM - 3.0


def test_labels_do_not_overlap_and_stay_on_the_paper() -> None:
    for sheet in lay_out_labels([Label(f"P-{n}") for n in range(30)], lay_sheet("A4")):
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
    on = lay_sheet("A4")
    assert print_labels(labels, on, ("pdf", "svg")) == print_labels(labels, on, ("pdf", "svg"))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(f"{side:g}" for side in size))
@pytest.mark.parametrize("words", ["", "phosphor bronze, buried in damp sawdust", None])
def test_on_a_label_of_any_size_nothing_leaves_it_or_meets_the_code(
    size: tuple[float, float], words: str | None
) -> None:
    shapes = list(draw_label(Label("SH-031", words), (0.0, 0.0), size))
    code = next(shape for shape in shapes if isinstance(shape, Code))
    quiet = 4 * (code.box[2] - code.box[0]) / 21  # ISO/IEC 18004, version 1
    assert min(code.box[0], code.box[1], size[0] - code.box[2], size[1] - code.box[3]) >= quiet
    small = [shape for shape in shapes if isinstance(shape, Words) and shape.grey == QUIET]
    assert all(word.size >= 1.8 - 1e-9 for word in small)  # five points
    assert len(small) <= 2 and bool(small) is bool(words)
    for word in (shape for shape in shapes if isinstance(shape, Words)):
        right = word.at[0] + measure_words(word.text, word.size, word.bold)
        top = word.at[1] - CAP * word.size
        assert word.at[0] >= 1.0 and right <= size[0] - 1.0 + 1e-9
        assert top >= 1.0 and word.at[1] + 0.22 * word.size <= size[1] - 0.5  # Helvetica's descent
        assert word.at[0] >= code.box[2] + quiet - 1e-9 or top >= code.box[3] + quiet - 1e-9


def test_a_long_small_line_is_parted_before_it_is_cut() -> None:
    words = "phosphor bronze, buried in damp sawdust"
    shapes = draw_label(Label("SH-031", words), (0.0, 0.0), (63.5, 38.1))
    lines = [s.text for s in shapes if isinstance(s, Words) and s.grey == QUIET]
    assert lines == ["phosphor bronze, buried", "in damp sawdust"]


def test_a_code_at_its_finest_is_read_where_the_jig_sheet_fills_a_picture() -> None:
    # 4000 pixels (twelve megapixels, 4 : 3) over the 297 mm of A4, ISO 216.
    on = next(lay for lay in map(_tiny, np.arange(8.0, 40.0, 0.5)) if lay)
    pdf = print_labels([Label("SH-031")], on, ("pdf",))[0].content
    (page,) = rasterise(pdf, dpi=4000 / 297 * 25.4)
    assert list(map(read_label, read_codes(page))) == ["SH-031"]


def _tiny(side: float) -> LabelSheet | None:
    """A sheet of square labels of that side, where their code is not refused as too fine."""
    on = lay_sheet("A4", (side, side))
    try:
        lay_out_labels([Label("SH-031")], on)
    except PrintError:
        return None
    return on


def test_a_code_too_fine_to_be_read_is_refused_by_the_pieces_number() -> None:
    with pytest.raises(PrintError, match=f"“{'W' * 60}”.*{LEAST_MODULE_MM:g} mm"):
        lay_out_labels([Label("SH-1"), Label("W" * 60)], lay_sheet("A4", (30.0, 12.0)))


def test_a_part_used_sheet_is_begun_at_the_label_that_is_next() -> None:
    on = lay_sheet("A4", (38.1, 21.2))
    labels = [Label(f"SH-{number:03d}") for number in range(31, 91)]
    first, second = rasterise(print_labels(labels, on, ("pdf",), start=12)[0].content)
    assert len(read_codes(first)) == 65 - 11 and len(read_codes(second)) == 60 - 54
    middle = read_codes(first)["PIECE/SH-031"].mean(axis=0)
    left, top = on.corner[0] + 1 * (38.1 + 2.5), on.corner[1] + 2 * 21.2  # twelfth of rows of five
    assert left < middle[0] < left + 38.1 / 2 and top < middle[1] < top + 21.2
    assert (first[: round(top * PX_PER_MM)] == 255).all()  # nothing on labels that are gone


@pytest.mark.parametrize("start", [0, 66])
def test_there_is_no_label_before_the_first_or_after_the_last(start: int) -> None:
    with pytest.raises(PrintError, match="from 1 to 65"):
        lay_out_labels([Label("SH-1")], lay_sheet("A4", (38.1, 21.2)), start)


def test_cut_marks_stand_at_every_edge_outside_the_labels() -> None:
    on = lay_sheet("A4", (50.0, 25.0), gap=(3.0, 2.0))
    (sheet,) = lay_out_labels([Label(f"P-{n}") for n in range(on.count)], on)
    marks = [s.points for s in sheet.shapes if isinstance(s, Line) and s.pen.grey == QUIET]
    upright = {round(a[0], 3) for a, b in marks if a[0] == b[0]}
    # Three across of 50 with 3 between, in the middle of 210: by hand.
    assert upright == {27.0, 77.0, 80.0, 130.0, 133.0, 183.0}
    lying = {round(a[1], 3) for a, b in marks if a[1] == b[1]}
    assert len(lying) == 2 * on.rows
    for points in marks:
        for x, y in points:
            inside = 27.0 - 0.99 < x < 183.0 + 0.99 and on.corner[1] - 0.99 < y < on.end[1] + 0.99
            assert not inside and 0 <= x <= 210 and 0 <= y <= 297


def test_ready_cut_sheets_carry_nothing_but_labels_unless_marks_are_asked_for() -> None:
    on = lay_sheet("A4", (63.5, 38.1))
    bare, marked = (
        rasterise(print_labels([Label("SH-1")] * 21, on, ("pdf",), marks=marks)[0].content)[0]
        for marks in (None, True)
    )
    margin = np.ones(bare.shape, dtype=bool)
    left, top, right, bottom = (round(edge * PX_PER_MM) for edge in (*on.corner, *on.end))
    margin[top:bottom, left:right] = False
    assert (bare[margin] == 255).all() and (marked[margin] < 255).any()


def test_without_a_second_line_the_number_has_the_label_to_itself() -> None:
    tall, low = (
        max(s.size for s in draw_label(Label("SH-1", words), (0.0, 0.0)) if isinstance(s, Words))
        for words in (None, "copper")
    )
    shapes = list(draw_label(Label("SH-1", None), (0.0, 0.0)))
    assert tall >= low and not any(isinstance(shape, Line) for shape in shapes)
