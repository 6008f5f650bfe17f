"""Codes read from pictures. Outside check: segno makes them (ISO/IEC 18004)."""

from __future__ import annotations

import numpy as np
import pytest
import segno
import zxingcpp
from PIL import Image

from builder.look.codes import find_barcodes, read_codes
from builder.records.jig import A4, read_mark, write_label, write_marks
from tests.look.sheet_drawing import draw_sheet, look, photograph

# The decoder's own corners are whole pixels, and a little off in a blurred picture.
ABOUT_PX = 3.0


def corners_of(box: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    left, top, right, bottom = box
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def test_all_four_marks_are_read_with_their_corners_in_order() -> None:
    view = look(turn=94.0, tilt=12.0, towards=60.0)
    codes = read_codes(photograph(view))
    assert [code.text for code in codes] == list(write_marks(A4, 1))
    for code, box in zip(codes, A4.marks, strict=True):
        assert np.abs(code.corners - view.show(corners_of(box))).max() < ABOUT_PX


@pytest.mark.parametrize("stops", [-1.5, 1.5])
def test_marks_are_read_a_stop_and_a_half_off(stops: float) -> None:
    picture = photograph(look(width=1400, tilt=20.0), stops=stops, quality=70, noise=0.008)
    assert len({code.text for code in read_codes(picture)}) == 4


def test_a_label_is_read_beside_the_marks() -> None:
    sheet = draw_sheet(thing=False).copy()
    made = segno.make(write_label("SH-002"), error="m", micro=False)
    modules = np.array([list(row) for row in made.matrix]).repeat(5, 0).repeat(5, 1)
    sheet[750 : 750 + len(modules), 1000 : 1000 + len(modules)] = np.where(modules, 0.04, 0.85)
    texts = [code.text for code in read_codes(photograph(look(), sheet=sheet))]
    assert write_label("SH-002") in texts and len(texts) == 5


def test_a_large_picture_is_read_and_its_corners_are_in_its_own_pixels() -> None:
    view = look(width=1000, fill=0.95)
    small = photograph(view, blur=0.4)
    codes = read_codes(small.repeat(4, axis=0).repeat(4, axis=1))
    assert codes
    for code in codes:
        mark = read_mark(code.text)
        assert mark is not None
        true = 4 * view.show(corners_of(A4.marks[mark.corner]))
        assert np.abs(code.corners - true).max() < 4 * ABOUT_PX


def test_a_code_that_is_seen_by_several_looks_is_given_once() -> None:
    sheet = draw_sheet().copy()
    sheet[: (30 * 5), : (30 * 5)] = 0.85  # three marks are left, so every look is taken
    texts = [code.text for code in read_codes(photograph(look(), sheet=sheet))]
    assert texts == list(write_marks(A4, 1))[1:]


@pytest.mark.parametrize("shape", [(1, 1, 3), (40, 3, 3), (200, 300, 3)])
def test_pictures_without_codes_give_none(shape: tuple[int, int, int]) -> None:
    noise = np.random.default_rng(4).integers(0, 256, shape, dtype=np.uint8)
    assert read_codes(noise) == ()


def test_a_decoder_that_breaks_counts_as_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    def break_down(*_: object, **__: object) -> None:
        raise RuntimeError("index out of range")

    monkeypatch.setattr(zxingcpp, "read_barcodes", break_down)
    assert read_codes(np.full((50, 50, 3), 200, dtype=np.uint8)) == ()


def test_a_code_with_far_more_text_than_ours_is_left_out() -> None:
    modules = np.array([list(row) for row in segno.make("X" * 300).matrix])
    picture = np.pad(modules, 4).repeat(6, 0).repeat(6, 1)
    rgb = np.repeat(((1 - picture) * 255)[..., None], 3, axis=2).astype(np.uint8)
    assert read_codes(rgb) == ()


@pytest.mark.parametrize("quarters", [0, 1])
@pytest.mark.parametrize(("kind", "text"), [("EAN13", "4006381333931"), ("Code128", "ZX-99817")])
def test_a_barcode_is_found_and_what_it_says_let_go(kind: str, text: str, quarters: int) -> None:
    # Drawn by the decoder's own writer. ISO/IEC 15420 and 15417.
    made = zxingcpp.create_barcode(text, getattr(zxingcpp.BarcodeFormat, kind))
    bars = np.asarray(zxingcpp.write_barcode_to_image(made, scale=3))
    picture = np.full((600, 800), 200, dtype=np.uint8)
    picture[100 : 100 + bars.shape[0], 200 : 200 + bars.shape[1]] = bars
    (corners,) = find_barcodes(Image.fromarray(np.rot90(picture, quarters)))
    middle = corners.mean(axis=0)
    x, y = (200 + bars.shape[1] / 2) / 800, (100 + bars.shape[0] / 2) / 600
    assert np.abs(middle - ((x, y), (y, 1 - x))[quarters]).max() < 0.05


def test_no_barcode_is_found_in_a_sheet() -> None:
    assert find_barcodes(Image.fromarray(photograph(look())).convert("L")) == ()
