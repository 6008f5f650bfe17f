"""A contact sheet on paper: one scale, a neutral ground, nothing out of its place."""

from __future__ import annotations

import datetime as dt
import io

import numpy as np
import pytest
from PIL import Image

from builder.records.jig import A4, JIGS, LETTER, Jig
from builder.sheets.contact_sheet import MAT, ContactSheet, Shot, Tile, lay_out_contact
from builder.sheets.lettering import CAP, measure_words
from builder.sheets.printing import print_contact
from builder.sheets.shapes import Mat, Photo, Sheet, Words
from tests.sheets.raster import cut, page_sizes, rasterise, read_pictures

DAY = dt.date(2026, 3, 1)
BOTH = pytest.mark.parametrize("paper", JIGS, ids=lambda jig: jig.name)
SIZES = ((50.0, 75.0), (100.0, 150.0), (60.0, 60.0), (140.0, 20.0))


def jpeg(wide: int, high: int) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (wide, high), (200, 30, 30)).save(stream, "JPEG", quality=95)
    return stream.getvalue()


def shot(size: tuple[float, float] | None, under: str = "2026-02-28") -> Shot:
    wide, high = (round(2 * side) for side in size) if size else (80, 60)
    return Shot(jpeg(wide, high), wide, high, size, "a piece", under)


def contact(tiles: list[Tile], **changes: str) -> ContactSheet:
    return ContactSheet(changes.pop("title", "A library"), DAY, tuple(tiles), "latest", **changes)


def tiles(count: int, shots: int = 1) -> list[Tile]:
    lines = ("phosphor bronze", "straw, a pink tinge in places", "Cannot tell yet")
    return [
        Tile(f"SH-{n:03d}", lines, tuple(shot(SIZES[n % len(SIZES)]) for _ in range(shots)))
        for n in range(count)
    ]


def of(kind: type[Mat] | type[Photo], sheet: Sheet) -> list[tuple[float, float, float, float]]:
    return [shape.box for shape in sheet.shapes if isinstance(shape, kind)]


@BOTH
@pytest.mark.parametrize("shots", [1, 2])
def test_all_pieces_are_at_the_one_scale_that_is_said(paper: Jig, shots: int) -> None:
    (sheet,) = lay_out_contact(contact(tiles(5, shots)), paper)
    ratios = [
        size[side] / (box[side + 2] - box[side])
        for place, box in enumerate(of(Photo, sheet))
        for side, size in ((side, SIZES[place // shots % len(SIZES)]) for side in (0, 1))
    ]
    said = next(s.text for s in sheet.shapes if isinstance(s, Words) and "1 : " in s.text)
    assert ratios == pytest.approx([float(said.rpartition("1 : ")[2])] * len(ratios))


@BOTH
@pytest.mark.parametrize("shots", [1, 2])
def test_every_picture_lies_on_a_mat_and_no_mat_on_another(paper: Jig, shots: int) -> None:
    for sheet in lay_out_contact(contact(tiles(20, shots)), paper):
        mats = np.array(of(Mat, sheet))
        assert mats[:, :2].min() >= 12 - 1e-9
        assert mats[:, 2].max() <= sheet.width - 12 + 1e-9
        for place, (left, top, right, bottom) in enumerate(of(Photo, sheet)):
            mat = mats[place // shots]
            assert mat[0] < left and mat[1] < top and right < mat[2] and bottom < mat[3]
        for one in range(len(mats)):
            for other in range(one):
                apart = (mats[one, :2] >= mats[other, 2:]) | (mats[other, :2] >= mats[one, 2:])
                assert apart.any()


def test_pages_are_numbered_and_carry_title_and_day() -> None:
    pages = lay_out_contact(contact(tiles(33), title="Sparrowhithe", note="All invented."), A4)
    assert len(pages) == 3  # sixteen a page
    for number, sheet in enumerate(pages, start=1):
        words = {shape.text for shape in sheet.shapes if isinstance(shape, Words)}
        assert {"Sparrowhithe", "2026-03-01", f"page {number} of 3", "All invented."} <= words


@BOTH
def test_on_paper_the_ground_is_neutral_mid_grey_and_the_picture_is_itself(paper: Jig) -> None:
    file = print_contact(contact(tiles(3)), paper, "x.pdf")
    (sheet,) = lay_out_contact(contact(tiles(3)), paper)
    (page,) = rasterise(file.content)
    # Standing paper: ISO 216, ANSI/ASME Y14.1
    assert page_sizes(file.content)[0] == pytest.approx(
        (paper.height * 72 / 25.4, paper.width * 72 / 25.4), abs=0.001
    )
    left, top, right, _ = of(Mat, sheet)[0]
    rim = cut(page, (left + 0.3, top + 0.3, right - 0.3, top + 1.5))
    # sRGB 119 is L* 50.0 (IEC 61966-2-1, CIE 15): Y = ((119/255 + 0.055) / 1.055)^2.4 = 0.184
    light = 116 * (((MAT + 0.055) / 1.055) ** 2.4) ** (1 / 3) - 16
    assert light == pytest.approx(50.0, abs=0.1)
    assert np.abs(rim.astype(int) - 119).max() <= 1
    for box in of(Photo, sheet):
        inner = cut(page, (box[0] + 0.3, box[1] + 0.3, box[2] - 0.3, box[3] - 0.3))
        assert np.ptp(inner) <= 3 and abs(float(inner.mean()) - 119) > 20


def test_the_pictures_bytes_are_those_that_were_made() -> None:
    made = tiles(3)
    pdf = print_contact(contact(made), A4, "x.pdf").content
    assert read_pictures(pdf) == [tile.shots[0].jpeg for tile in made]


def test_a_picture_of_no_known_size_says_so_and_fits() -> None:
    mixed = [*tiles(2), Tile("P-3", ("copper",), (shot(None),))]
    (sheet,) = lay_out_contact(contact(mixed), LETTER)
    words = [shape.text for shape in sheet.shapes if isinstance(shape, Words)]
    assert "2026-02-28, not to scale" in words
    left, top, right, bottom = of(Photo, sheet)[2]
    assert (right - left) / (bottom - top) == pytest.approx(80 / 60)


def test_small_pieces_are_never_printed_larger_than_they_are() -> None:
    (sheet,) = lay_out_contact(contact([Tile("P-1", (), (shot((10.0, 12.0)),))]), A4)
    left, top, right, bottom = of(Photo, sheet)[0]
    assert (right - left, bottom - top) == pytest.approx((10.0, 12.0))


def test_without_a_picture_the_mat_says_why() -> None:
    (sheet,) = lay_out_contact(contact([Tile("P-1", (), instead="no photograph yet")]), A4)
    assert "no photograph yet" in [s.text for s in sheet.shapes if isinstance(s, Words)]


@pytest.mark.parametrize("name", ["SH-014", "TP-001_second-batch.of.the-autumn", "W" * 60])
def test_no_word_leaves_its_column_or_meets_a_mat(name: str) -> None:
    long = ("phosphor bronze of the old well " * 4, "chalky, blue-green " * 5, "Held / Moved")
    crowd = [Tile(name, long, (shot(SIZES[1], "latest, 2026-02-28"),))] * 16
    (sheet,) = lay_out_contact(contact(crowd, note="Invented. " * 30, title="T " * 90), A4)
    mats = of(Mat, sheet)
    for word in (shape for shape in sheet.shapes if isinstance(shape, Words)):
        wide = measure_words(word.text, word.size, word.bold)
        left = word.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[word.anchor]
        assert left >= 12 - 1e-6 and left + wide <= sheet.width - 12 + 1e-6
        top, bottom = word.at[1] - CAP * word.size, word.at[1]
        inside = [m for m in mats if m[0] <= left and left + wide <= m[2] + 1e-6]
        for mat in inside:
            assert bottom <= mat[1] - 0.5 or top >= mat[3] + 0.5 or word.anchor == "middle"
