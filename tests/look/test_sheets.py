"""The sheet found in pictures drawn from its description alone, under a known lens."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from builder.look.codes import Code, read_codes
from builder.look.sheets import FoundSheet, NoMarksError, SheetError, find_sheet
from builder.measure.fitness import BENT_MM
from builder.records.jig import A4, LETTER, Jig
from tests.look.sheet_drawing import PX_PER_MM, View, draw_sheet, look, photograph

# Root mean square over the sheet, of pixels; half of what the plan asks for.
CLOSE_PX = 0.05
# Under a bending lens, each mark is still laid as a plane.
CLOSE_BENT_PX = 0.1
FLAT_MM = 0.04
Picture = NDArray[np.uint8]


def places(jig: Jig = A4) -> NDArray[np.float64]:
    along, down = np.linspace(6, jig.width - 6, 9), np.linspace(6, jig.height - 6, 9)
    return np.stack(np.meshgrid(along, down), axis=-1).reshape(-1, 2)


def error_px(sheet: FoundSheet, view: View, jig: Jig = A4) -> float:
    off = sheet.to_picture(places(jig)) - view.show(places(jig), jig)
    return float(np.sqrt((off**2).sum(axis=1).mean()))


@cache
def plain() -> Picture:
    return photograph(look())


def find(picture: Picture, size: str = "", number: int | None = None) -> FoundSheet:
    return find_sheet(picture, read_codes(picture), size, number)


def covered(*corners: int, jig: Jig = A4) -> Picture:
    """A sheet some of whose marks lie under grey cloth."""
    sheet = draw_sheet(jig).copy()
    for corner in corners:
        left, top, right, bottom = (round(edge * PX_PER_MM) for edge in jig.marks[corner])
        sheet[top:bottom, left:right] = 0.3
    return photograph(look(jig), jig, sheet=sheet)


@pytest.mark.parametrize("jig", [A4, LETTER])
def test_a_flat_sheet_is_found_to_a_twentieth_of_a_pixel(jig: Jig) -> None:
    view = look(jig, tilt=18.0, towards=40.0, turn=7.0)
    sheet = find(photograph(view, jig, number=42), jig.name, 42)
    assert (sheet.jig, sheet.number, sheet.marks, sheet.discs) == (jig, 42, 4, 12)
    assert error_px(sheet, view, jig) < CLOSE_PX
    assert sheet.off_mm < FLAT_MM


@pytest.mark.parametrize("bend", [-0.1, -0.03, 0.03, 0.1])
def test_a_lens_that_bends_lines_is_allowed_for(bend: float) -> None:
    view = look(width=1400, tilt=10.0, towards=200.0, bend=bend, fill=0.75)
    sheet = find(photograph(view))
    assert sheet.discs == 12
    assert error_px(sheet, view) < CLOSE_BENT_PX
    assert sheet.lens.bend == pytest.approx(bend, abs=0.002)


def test_pixels_lead_back_to_the_millimetres_they_came_from() -> None:
    sheet = find(photograph(look(tilt=15.0, bend=-0.05)))
    assert np.allclose(sheet.to_sheet(sheet.to_picture(places())), places(), atol=1e-6)


def test_a_quad_is_given_as_fractions_of_the_picture() -> None:
    view = look(turn=3.0)
    left, top, right, bottom = A4.place
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    assert np.allclose(
        np.array(find(photograph(view)).quad(corners)) * view.size, view.show(corners), atol=0.1
    )


def test_the_scale_is_that_of_the_middle_of_the_place() -> None:
    view = look(tilt=12.0, towards=90.0)
    square = view.show(np.array(A4.middle) + np.array([(0, 0), (1.0, 0), (0, 1.0)]))
    (ax, ay), (bx, by) = square[1] - square[0], square[2] - square[0]
    scale = abs(ax * by - ay * bx) ** -0.5
    assert find(photograph(view)).mm_per_px == pytest.approx(scale, rel=1e-3)


def test_a_softer_picture_has_wider_edges() -> None:
    sharp, soft = (find(photograph(look(), blur=blur)) for blur in (0.5, 1.2))
    # Ten to ninety per cent of a Gaussian edge is 2.563 of its deviations (normal distribution).
    assert soft.blur_mm / soft.mm_per_px == pytest.approx(2.563 * 1.2, rel=0.2)
    assert sharp.blur_mm < 0.8 * soft.blur_mm


@pytest.mark.parametrize("corner", range(4))
def test_three_marks_suffice(corner: int) -> None:
    sheet = find(covered(corner))
    assert sheet.marks == 3
    assert error_px(sheet, look()) < CLOSE_PX


@pytest.mark.parametrize("corners", [(0, 1), (0, 2), (1, 2)])
def test_two_marks_do_not(corners: tuple[int, int]) -> None:
    with pytest.raises(SheetError, match="only two of the sheet’s four corner marks"):
        find(covered(*corners))


def test_one_mark_does_not() -> None:
    with pytest.raises(SheetError, match="only one of the sheet’s four corner marks"):
        find(covered(0, 1, 2))


def test_a_mark_that_was_not_read_is_found_from_the_others() -> None:
    codes = read_codes(plain())
    sheet = find_sheet(plain(), codes[:2])
    assert sheet.marks == 4
    assert error_px(sheet, look()) < CLOSE_PX


def test_a_mark_half_under_a_thing_does_not_pull_the_sheet_aside() -> None:
    sheet = draw_sheet().copy()
    sheet[:60, :] = 0.3  # to 12 mm from the edge: a fifth of the upper marks, and the upper discs
    found = find(photograph(look(), sheet=sheet))
    assert error_px(found, look()) < 4 * CLOSE_PX


def test_no_marks_are_an_error_of_their_own() -> None:
    with pytest.raises(NoMarksError, match="no corner mark"):
        find(np.full((300, 400, 3), 180, dtype=np.uint8))


@pytest.mark.parametrize(
    ("size", "number", "said"),
    [
        ("Letter", None, "of size A4; the set-up names one of size Letter"),
        ("A4", 7, "is number 1; the set-up names number 7"),
    ],
)
def test_another_sheet_than_the_set_up_names_is_refused(
    size: str, number: int | None, said: str
) -> None:
    with pytest.raises(SheetError, match=said):
        find(plain(), size, number)


def test_a_sheet_of_another_layout_is_refused() -> None:
    codes = [Code(code.text.replace("JIG1", "JIG2"), code.corners) for code in read_codes(plain())]
    with pytest.raises(SheetError, match="layout 2; layout 1 is the one known"):
        find_sheet(plain(), codes)


def test_two_sheets_are_refused() -> None:
    other = photograph(look(), number=2)
    both = np.concatenate([plain(), other], axis=1)
    with pytest.raises(SheetError, match="two jig sheets, A4 number 1 and A4 number 2"):
        find(both)


def test_two_prints_of_one_sheet_are_refused() -> None:
    with pytest.raises(SheetError, match="the same corner mark is there twice"):
        find(np.concatenate([plain(), plain()], axis=1))


def test_a_mirrored_picture_is_refused() -> None:
    with pytest.raises(SheetError, match="mirror image"):
        find(np.ascontiguousarray(plain()[:, ::-1]))


def test_marks_that_were_moved_are_refused() -> None:
    sheet = draw_sheet().copy()
    left, top, right, bottom = (round(edge * PX_PER_MM) for edge in A4.marks[2])
    mark = sheet[top:bottom, left:right].copy()
    sheet[top - 10 : bottom + 10, left - 10 : right + 10] = 0.85
    sheet[top - 150 : bottom - 150, left - 100 : right - 100] = mark
    with pytest.raises(SheetError, match="do not lie as those of one flat sheet"):
        find(photograph(look(), sheet=sheet))


def test_a_sheet_that_stands_up_three_millimetres_is_seen_to_be_bent() -> None:
    sheet = find(photograph(look(tilt=8.0, rise=3.0)))
    assert sheet.off_mm > BENT_MM


@pytest.mark.parametrize("error", [SheetError("a", "b", "c"), NoMarksError("a", "b", "c")])
def test_an_error_is_one_sentence_of_three_parts(error: SheetError) -> None:
    assert str(error) == "a; b; c"


def hard_views(count: int, width: int) -> tuple[int, list[float], list[float]]:
    """How many sheets were found, their errors in pixels and their ``off_mm``."""
    chance = np.random.default_rng(20)
    errors, offs = [], []
    for seed in range(count):
        view = look(
            width=width,
            tilt=chance.uniform(0, 20),
            towards=chance.uniform(0, 360),
            turn=chance.choice([0, 180]) + chance.uniform(-10, 10),
            fill=chance.uniform(0.8, 0.95),
            bend=chance.uniform(-0.04, 0.04),
        )
        picture = photograph(
            view,
            blur=chance.uniform(0.4, 1.0),
            noise=chance.uniform(0.002, 0.01),
            stops=chance.uniform(-1.5, 1.5),
            quality=int(chance.integers(70, 96)),
            uneven=chance.uniform(0, 0.25),
            seed=seed,
        )
        try:
            sheet = find(picture)
        except SheetError:
            continue
        errors.append(error_px(sheet, view))
        offs.append(sheet.off_mm)
    return len(errors), errors, offs


def test_sheets_are_found_in_hard_views() -> None:
    # The larger set, some hundreds at 1600 and 4000 pixels, is in tests/benchmarks/marks.py.
    found, errors, offs = hard_views(12, 1400)
    assert found == 12
    assert max(errors) < CLOSE_BENT_PX
    assert max(offs) < BENT_MM / 2
