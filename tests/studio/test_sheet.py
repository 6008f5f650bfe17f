"""The printed sheet: everything stands where its description says."""

from __future__ import annotations

import numpy as np
import pytest
import zxingcpp

from builder.records.jig import DOT_MM, write_label, write_marks
from tests.studio.pieces import read_pieces
from tests.studio.sheet import print_sheet, print_slip
from tests.studio.stand import JIG, LABEL_SIZE_MM, SHEET_NUMBER

PX = 6.0
#: mm. Edges are drawn by the part of each pixel they cover; what is left is rounding.
TRUE_MM = 0.02


def _ink_in(x: float, y: float, half: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ink round a point, and each pixel's place, mm."""
    ink = print_sheet(PX)
    rows = slice(round((y - half) * PX), round((y + half) * PX))
    columns = slice(round((x - half) * PX), round((x + half) * PX))
    own_y, own_x = np.mgrid[rows, columns]
    return ink[rows, columns], (own_x + 0.5) / PX, (own_y + 0.5) / PX


def test_the_sheet_is_an_a4_lying_wide() -> None:
    # ISO 216: 210 × 297 mm.
    assert print_sheet(PX).shape == (210 * PX, 297 * PX)


@pytest.mark.parametrize("dot", JIG.dots)
def test_every_disc_has_its_middle_and_its_area(dot: tuple[float, float]) -> None:
    ink, x, y = _ink_in(*dot, DOT_MM / 2 + 0.5)
    assert float((ink * x).sum() / ink.sum()) == pytest.approx(dot[0], abs=TRUE_MM)
    assert float((ink * y).sum() / ink.sum()) == pytest.approx(dot[1], abs=TRUE_MM)
    assert float(ink.sum()) / PX**2 == pytest.approx(np.pi * DOT_MM**2 / 4, rel=0.01)


def test_every_mark_is_read_and_says_which_it_is() -> None:
    page = np.round(255 * (1 - print_sheet(PX))).astype(np.uint8)
    read = {code.text for code in zxingcpp.read_barcodes(page)}
    assert read == set(write_marks(JIG, SHEET_NUMBER))


@pytest.mark.parametrize("corner", range(4))
def test_a_mark_fills_its_box(corner: int) -> None:
    left, top, right, bottom = JIG.marks[corner]
    ink = print_sheet(PX)
    rows = ink[:, round(left * PX) - 12 : round(right * PX) + 12]
    rows = rows[round(top * PX) - 12 : round(bottom * PX) + 12]
    # ISO/IEC 18004: three finder patterns reach the corners of a code, left top among them.
    module = (right - left) / 21
    finder = rows[12 : 12 + round(7 * module * PX), 12 : 12 + round(7 * module * PX)]
    assert float(rows[:12].max()) < 0.1 and float(rows[:, :12].max()) < 0.1
    assert float(finder[0].mean()) > 0.9 and float(finder[:, 0].mean()) > 0.9


def test_the_label_says_the_number_and_fits_the_sheets_frame() -> None:
    ink = print_slip(read_pieces()["SH-014"], PX)
    page = np.round(255 * (1 - ink)).astype(np.uint8)
    (code,) = zxingcpp.read_barcodes(np.pad(page, 30, constant_values=255))
    assert code.text == write_label("SH-014")
    left, top, right, bottom = JIG.label
    assert LABEL_SIZE_MM[0] <= right - left and LABEL_SIZE_MM[1] <= bottom - top
