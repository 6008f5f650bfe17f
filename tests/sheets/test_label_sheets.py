"""Labels come out on paper where the sheet has them, to a tenth of a millimetre."""

from __future__ import annotations

import numpy as np
import pytest

from builder.errors import PrintError
from builder.records.jig import write_label
from builder.sheets.label_sheets import READY, LabelSheet, lay_sheet, list_ready
from builder.sheets.labels import Label, draw_label
from builder.sheets.printing import print_labels
from builder.sheets.shapes import Code
from tests.sheets.raster import page_sizes, rasterise, read_codes

#: A reader's corners of a code at 300 dots to the inch lie within a dot and a half.
WITHIN_MM = 0.13
EACH = pytest.mark.parametrize("on", READY, ids=lambda on: f"{on.paper}-{on.name}-{on.count}")

#: Left and top margin as published for such sheets. 63.5 × 38.1:
#: printreadykit.pages.dev/label-templates/address-labels (7.2 and 15.15 mm, gap 2.5); 66.7 × 25.4:
#: wiki.trackandtrace.tools/t3-labels/label-templates (3/16 and 1/2 inch, 2 5/8 wide, gap 1/8).
PUBLISHED = {
    (63.5, 38.1): ((7.2, 15.15), (2.5, 0.0), 21),
    (66.7, 25.4): ((25.4 * 3 / 16, 25.4 / 2), (25.4 / 8, 0.0), 30),
}


def test_known_sheets_lie_as_is_published_of_them() -> None:
    for size, (corner, gap, count) in PUBLISHED.items():
        on = lay_sheet("Letter" if count == 30 else "A4", size)
        assert on.ready and on.count == count
        assert on.corner == pytest.approx(corner, abs=0.06)
        assert on.gap == pytest.approx(gap, abs=0.01)


@EACH
def test_a_known_sheet_is_asked_for_by_its_size_alone(on: LabelSheet) -> None:
    size = tuple(float(side) for side in on.name.split("x"))
    assert lay_sheet(on.paper, (size[0], size[1])) is on
    assert f"{on.name} ({on.count})" in list_ready()


@EACH
def test_every_label_of_a_known_sheet_is_read_back_from_its_place(on: LabelSheet) -> None:
    labels = [Label(f"SH-{number:03d}") for number in range(1, on.count + 1)]
    pdf = print_labels(labels, on, ("pdf",))[0].content
    assert page_sizes(pdf) == [
        pytest.approx((on.width * 72 / 25.4, on.height * 72 / 25.4), abs=0.001)
    ]
    (page,) = rasterise(pdf)
    found = read_codes(page)
    assert len(found) == on.count
    code = next(s for s in draw_label(labels[0], (0.0, 0.0), on.size) if isinstance(s, Code))
    for place, label in enumerate(labels):
        row, column = divmod(place, on.columns)
        # From the right and from below: the sheet lies in the middle of its paper.
        x = on.width - on.corner[0] - on.size[0]
        x -= (on.columns - 1 - column) * (on.size[0] + on.gap[0])
        y = on.height - on.corner[1] - on.size[1] - (on.rows - 1 - row) * on.size[1]
        left, top = x + code.box[0], y + code.box[1]
        corner = found[write_label(label.piece)].min(axis=0)
        assert np.abs(corner - (left, top)).max() < WITHIN_MM


def test_any_size_with_its_margins_and_gaps_holds_what_arithmetic_says() -> None:
    on = lay_sheet("A4", (50.0, 25.0), (5.0, 11.0), (0.0, 0.0))
    assert (on.columns, on.rows, on.corner) == (4, 11, (5.0, 11.0))  # 200 / 50, 275 / 25
    assert on.end == pytest.approx((205.0, 286.0))
    apart = lay_sheet("A4", (50.0, 25.0), gap=(3.0, 2.0))
    assert (apart.columns, apart.rows) == (3, 10)  # 156 of 194, 268 of 281
    assert apart.corner == pytest.approx((27.0, 14.5))


def test_a_margin_measured_a_little_wide_loses_no_row() -> None:
    exact = lay_sheet("A4", (48.5, 25.4), (8.0, 21.5))
    rough = lay_sheet("A4", (48.5, 25.4), (8.3, 22.0))
    assert (exact.columns, exact.rows) == (rough.columns, rough.rows) == (4, 10)


def test_an_offset_moves_every_label_by_just_that() -> None:
    on = lay_sheet("A4", (63.5, 38.1))
    labels = [Label(f"P-{number}") for number in range(21)]
    # Thirty dots to the right and fifteen up, at 300 to the inch.
    plain, moved = (
        rasterise(print_labels(labels, at, ("pdf",))[0].content)[0]
        for at in (on, on.shift((2.54, -1.27)))
    )
    apart = np.abs(np.roll(plain, (-15, 30), axis=(0, 1)).astype(int) - moved)
    assert apart.max() <= 8 and (plain != moved).any()  # of 255: edges are rounded otherwise


def test_an_offset_that_leaves_the_paper_is_refused() -> None:
    with pytest.raises(PrintError, match="over the edge"):
        lay_sheet("A4", (38.1, 21.2)).shift((-5.0, 0.0))


def test_a_label_larger_than_the_paper_is_refused_with_what_to_do() -> None:
    with pytest.raises(PrintError, match="--margin"):
        lay_sheet("Letter", (210.0, 50.0))
