"""The printed sheet, read from its raster by others' readers, is what its description says."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest
import segno

from builder.records.jig import (
    A4,
    JIGS,
    LETTER,
    MARK_MODULES,
    Jig,
    read_mark,
    write_marks,
)
from builder.sheets.codes import draw_mark, trace_borders
from builder.sheets.jig_sheet import draw_jig
from builder.sheets.printing import print_jig
from builder.sheets.shapes import Code, Words
from builder.sheets.svg import write_svg
from tests.sheets.raster import PX_PER_MM, Grey, cut, page_sizes, rasterise, read_codes

PLACE_MM = 0.2  # two pixels and a half at 300 dpi; the reader answers in whole pixels
RULER_MM = 0.05  # half a pixel: middles of ticks are found to better than one
EDGE_MM = 1.5 / PX_PER_MM  # to the pixel, and one over the page, which is drawn on whole pixels
POINT_TOLERANCE = 0.001  # the file's numbers have six decimals; the reader's are single precision
SVG = "{http://www.w3.org/2000/svg}"
BOTH = pytest.mark.parametrize("jig", JIGS, ids=lambda jig: jig.name)


def ink_bounds(page: Grey, box: tuple[float, float, float, float]) -> tuple[float, ...]:
    """Left, top, right and bottom of what is dark in a box and a millimetre round it, mm."""
    left, top, right, bottom = box
    dark = cut(page, (left - 1, top - 1, right + 1, bottom + 1)) < 128
    columns, rows = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
    x, y = round((left - 1) * PX_PER_MM), round((top - 1) * PX_PER_MM)
    ends = (x + columns[0], y + rows[0], x + columns[-1] + 1, y + rows[-1] + 1)
    return tuple(float(end) / PX_PER_MM for end in ends)


def drawn(jig: Jig, number: int = 1) -> Grey:
    return rasterise(print_jig(jig, number, ("pdf",))[0].content)[0]


@pytest.mark.parametrize(
    ("jig", "size"),
    [
        (A4, (297 * 72 / 25.4, 210 * 72 / 25.4)),  # ISO 216: 210 by 297 mm
        (LETTER, (11 * 72, 8.5 * 72)),  # ANSI/ASME Y14.1, size A: 8.5 by 11 inch
    ],
    ids=["A4", "Letter"],
)
def test_the_page_is_exactly_as_large_as_the_paper(jig: Jig, size: tuple[float, float]) -> None:
    assert page_sizes(print_jig(jig, 1, ("pdf",))[0].content) == [
        pytest.approx(size, abs=POINT_TOLERANCE)
    ]


@BOTH
@pytest.mark.parametrize("number", [0, 1, 9999])
def test_every_mark_is_read_back_where_it_is_said_to_be(jig: Jig, number: int) -> None:
    page = drawn(jig, number)
    codes = read_codes(page)
    assert sorted(codes) == sorted(write_marks(jig, number))
    for text, corners in codes.items():
        mark = read_mark(text)
        assert mark is not None and (mark.jig, mark.number) == (jig, number)
        left, top, right, bottom = jig.marks[mark.corner]
        # The fourth corner has no pattern to hold on to: the reader guesses it.
        said = [(left, top), (right, top), (left, bottom)]
        assert np.abs(corners[[0, 1, 3]] - said).max() < PLACE_MM, text
        assert ink_bounds(page, jig.marks[mark.corner]) == pytest.approx(
            (left, top, right, bottom), abs=EDGE_MM
        )


@BOTH
def test_a_mark_is_a_version_1_code_of_level_q(jig: Jig) -> None:
    for text in write_marks(jig, 9999):
        # 16 signs: ISO/IEC 18004, capacity of version 1-Q in the alphanumeric mode
        assert re.fullmatch(r"[0-9A-Z $%*+\-./:]{1,16}", text)
        assert segno.make(text, version=1, error="q", boost_error=False).designator == "1-Q"


def test_a_text_too_long_for_a_mark_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        draw_mark("JIG1/LETTER/0001/1", (0, 0, 18, 18))


@BOTH
def test_the_rulers_measure_100_mm(jig: Jig) -> None:
    page = drawn(jig)
    for box, turned in ((jig.ruler, False), (jig.ruler_up, True)):
        left, top, right, bottom = box
        # A strip through the long ticks alone, with a millimetre of paper at both ends.
        strip = (
            cut(page, (right - 2.8, top - 1, right - 2.4, bottom + 1)).T
            if turned
            else cut(page, (left - 1, top + 2.4, right + 1, top + 2.8))
        )
        ink = 255.0 - strip.mean(axis=0)
        runs = np.flatnonzero(np.diff(np.concatenate(([0], ink > 20, [0]))))
        ticks = [
            float(np.average(np.arange(a, b), weights=ink[a:b]))
            for a, b in zip(runs[::2], runs[1::2], strict=True)
        ]
        assert len(ticks) == 11
        whole = (ticks[-1] - ticks[0]) / PX_PER_MM
        assert whole == pytest.approx(100.0, abs=RULER_MM)
        for one, other in pairwise(ticks):
            assert (other - one) / PX_PER_MM == pytest.approx(10.0, abs=2 * RULER_MM)


@BOTH
def test_the_white_margin_is_white(jig: Jig) -> None:
    page = drawn(jig)
    white = np.ones(page.shape, dtype=bool)
    # The place has thin outlines, their pens 0.3 mm wide.
    left, top, right, bottom = jig.place
    for box in (*jig.printed, (left - 0.5, top - 0.5, right + 0.5, bottom + 0.5)):
        a, b, c, d = (round(edge * PX_PER_MM) for edge in box)
        white[b:d, a:c] = False
    assert white.mean() > 0.2
    assert page[white].min() == 255


@BOTH
def test_every_disc_is_where_it_is_said_to_be(jig: Jig) -> None:
    page = drawn(jig)
    for x, y in jig.dots:
        ink = 255.0 - cut(page, (x - 4, y - 4, x + 4, y + 4))
        rows, columns = np.indices(ink.shape) + 0.5
        at = [(ink * axis).sum() / ink.sum() / PX_PER_MM for axis in (columns, rows)]
        assert at == pytest.approx([4.0, 4.0], abs=EDGE_MM)
        # a disc of 5 mm
        assert ink.sum() / 255 / PX_PER_MM**2 == pytest.approx(np.pi * 2.5**2, rel=0.01)


@BOTH
def test_no_hairline_of_paper_runs_through_a_mark(jig: Jig) -> None:
    """Each finder pattern's inner square, 3 modules wide, is black throughout at any scale."""
    pdf = print_jig(jig, 1, ("pdf",))[0].content
    for dpi in (97, 143, 300):
        page = rasterise(pdf, dpi)[0]
        left = jig.marks[0][0]  # as far from the top
        module = 18.0 / MARK_MODULES
        px = dpi / 25.4
        a, b = (int(np.ceil((left + m * module) * px)) + 1 for m in (2, 0))
        c = int((left + 5 * module) * px) - 1
        assert b < a < c
        assert page[a:c, a:c].max() == 0


@BOTH
def test_the_svg_has_the_same_marks_and_its_size_in_millimetres(jig: Jig) -> None:
    text = print_jig(jig, 7, ("svg",))[0].content.decode("utf-8")
    root = ET.fromstring(text)  # noqa: S314  # our own
    assert root.get("width") == f"{jig.width:g}mm"
    assert root.get("height") == f"{jig.height:g}mm"
    assert root.get("viewBox") == f"0 0 {jig.width:g} {jig.height:g}"
    assert root.findtext(f"{SVG}title") and root.findtext(f"{SVG}desc")
    paths = [p for p in root.iter(f"{SVG}path") if p.find(f"{SVG}title") is not None]
    assert [p.findtext(f"{SVG}title") for p in paths] == list(write_marks(jig, 7))
    for path, box in zip(paths, jig.marks, strict=True):
        numbers = np.array(re.findall(r"[\d.]+", path.get("d") or ""), dtype=float).reshape(-1, 2)
        # to a thousandth of a millimetre, as written
        assert [*numbers.min(axis=0), *numbers.max(axis=0)] == pytest.approx(box, abs=0.001)
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)|url\(|@import|<image", text)


@BOTH
def test_the_sheet_says_its_size_its_number_and_how_to_check_it(jig: Jig) -> None:
    words = " ".join(s.text for s in draw_jig(jig, 42).shapes if isinstance(s, Words))
    for wanted in (jig.name, "number 0042", "exactly 100 mm", "100 %", "fit to page", "45°"):
        assert wanted in words


def test_the_borders_of_a_pattern_enclose_its_dark_cells_and_no_other() -> None:
    rng = np.random.default_rng(3)
    for _ in range(20):
        matrix = rng.integers(0, 2, (9, 9))
        loops = list(trace_borders(matrix.tolist()))
        for y, x in np.ndindex(matrix.shape):
            crossings = sum(
                (a[1] > y + 0.5) != (b[1] > y + 0.5) and a[0] > x + 0.5
                for loop in loops
                for a, b in zip(loop, (*loop[1:], loop[0]), strict=True)
            )
            assert crossings % 2 == matrix[y, x]


@BOTH
def test_the_same_sheet_gives_the_same_bytes(jig: Jig) -> None:
    assert print_jig(jig, 3, ("pdf", "svg")) == print_jig(jig, 3, ("pdf", "svg"))
    assert print_jig(jig, 3, ("pdf",)) != print_jig(jig, 4, ("pdf",))


def test_a_code_is_one_outline_in_every_format() -> None:
    sheet = draw_jig(A4, 1)
    codes = [shape for shape in sheet.shapes if isinstance(shape, Code)]
    assert len(codes) == 4
    assert write_svg(sheet).count('fill-rule="evenodd"') == 4
