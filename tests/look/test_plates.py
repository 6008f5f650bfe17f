"""The comparison plate: one scale, words that fit, the same bytes."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from builder.errors import PictureError
from builder.look.plate_band import GROUND, MARGIN, PAPER, WIDTH
from builder.look.plates import Plate, PlateSide, compose_plate
from builder.records.photo import ColourShare
from tests.look.pictures import jpeg_segments

COPPER, VERDIGRIS = (150, 80, 40), (60, 150, 120)
# Quality 90 in full colour; a flat colour stays within this many levels.
NEAR = 6


def flat(folder: Path, name: str, size: tuple[int, int], colour: tuple[int, int, int]) -> Path:
    Image.new("RGB", size, colour).save(folder / name)
    return folder / name


def side(folder: Path, name: str, size: tuple[int, int], colour: tuple[int, int, int],
         width_mm: float | None = None, words: str = "") -> PlateSide:  # fmt: skip
    return PlateSide(flat(folder, name, size, colour), words, (words,), width_mm)


def pixels(data: bytes) -> NDArray[np.int_]:
    with Image.open(io.BytesIO(data)) as image:
        return np.asarray(image).astype(int)


def extent(picture: NDArray[np.int_], colour: tuple[int, int, int]) -> tuple[int, int]:
    """Width and height of the box around all pixels of a colour."""
    rows, columns = np.nonzero((np.abs(picture - colour) <= NEAR).all(axis=-1))
    assert len(rows)
    return int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1


def test_both_pieces_have_one_scale_in_millimetres(tmp_path: Path) -> None:
    plate = Plate(
        "",
        side(tmp_path, "a.png", (640, 960), COPPER, width_mm=100.0),
        side(tmp_path, "b.png", (640, 640), VERDIGRIS, width_mm=50.0),
    )
    picture = pixels(compose_plate(plate))
    left, right = extent(picture, COPPER), extent(picture, VERDIGRIS)
    assert left[0] / 100.0 == pytest.approx(right[0] / 50.0, abs=0.03)  # half a pixel each
    assert left[1] / 150.0 == pytest.approx(right[1] / 50.0, abs=0.03)


def test_without_millimetres_both_have_one_scale_in_pixels(tmp_path: Path) -> None:
    plate = Plate(
        "",
        side(tmp_path, "a.png", (600, 300), COPPER, width_mm=100.0),
        side(tmp_path, "b.png", (300, 600), VERDIGRIS),
    )
    picture = pixels(compose_plate(plate))
    left, right = extent(picture, COPPER), extent(picture, VERDIGRIS)
    assert left[0] / 600 == pytest.approx(right[0] / 300, abs=0.01)


def test_a_scale_is_drawn_only_where_it_is_known(tmp_path: Path) -> None:
    drawn = []
    for width_mm in (100.0, None):
        plate = Plate("", side(tmp_path, "a.png", (640, 640), COPPER, width_mm),
                      side(tmp_path, "b.png", (640, 640), VERDIGRIS, 100.0))  # fmt: skip
        picture = pixels(compose_plate(plate))
        drawn.append(int((picture >= 252).all(axis=-1).sum()))
    assert drawn[0] > 500
    assert drawn[1] < 50  # paper is not quite white; a few pixels at edges are


def test_pictures_lie_on_untinted_mid_grey(tmp_path: Path) -> None:
    plate = Plate("", side(tmp_path, "a.png", (400, 500), COPPER),
                  side(tmp_path, "b.png", (400, 500), VERDIGRIS))  # fmt: skip
    picture = pixels(compose_plate(plate))
    rows, columns = np.nonzero((np.abs(picture - COPPER) <= NEAR).all(axis=-1))
    top, left, bottom, right = rows.min(), columns.min(), rows.max(), columns.max()
    around = ((top - 20, left), (top, left - 20), (bottom + 20, right), (bottom, right + 20))
    assert np.abs(np.array([picture[place] for place in around]) - GROUND).max() <= 2
    assert len(set(GROUND)) == 1


LONG = "Grünspanüberzugsversuchsreihe" * 12 + " and more words " * 40


def test_no_word_overflows_the_sheet(tmp_path: Path) -> None:
    plate = Plate(
        LONG,
        side(tmp_path, "a.png", (640, 960), COPPER, 100.0, LONG),
        side(tmp_path, "b.png", (640, 960), VERDIGRIS, 100.0, LONG),
        LONG,
        ((LONG, LONG), ("Held", "at least 68 %"), ("", ""), ("Nearer", LONG)),
        LONG,
    )
    picture = pixels(compose_plate(plate))
    assert picture.shape[1] == WIDTH
    for margin in (picture[:, : MARGIN - 12], picture[:, -(MARGIN - 12) :]):
        on_paper = (np.abs(margin - PAPER) <= NEAR).all(axis=-1)
        on_ground = (np.abs(margin - GROUND) <= NEAR).all(axis=-1)
        assert (on_paper | on_ground).all()
    assert (np.abs(picture[-30:] - PAPER) <= NEAR).all()  # nothing runs off the foot


def test_measured_colours_are_shown_by_their_shares(tmp_path: Path) -> None:
    colours = (ColourShare((60.0, -40.0, 20.0), 0.75), ColourShare((40.0, 40.0, 20.0), 0.25))
    left = side(tmp_path, "a.png", (640, 640), COPPER, 100.0)
    shown = PlateSide(left.view, "", (), 100.0, colours)
    plate = Plate("", shown, side(tmp_path, "b.png", (640, 640), VERDIGRIS, 100.0))
    picture = pixels(compose_plate(plate))
    # Source of the levels: colour-science 0.4.7, Lab → sRGB, D65.
    green, _ = extent(picture, (61, 166, 109))
    red, _ = extent(picture, (159, 55, 62))
    assert green / (green + red) == pytest.approx(0.75, abs=0.01)


def test_cards_are_shown_at_one_scale(tmp_path: Path) -> None:
    cards = [flat(tmp_path, "c.png", (400, 400), (200, 30, 30)),
             flat(tmp_path, "d.png", (400, 200), (30, 30, 200))]  # fmt: skip
    sides = [
        PlateSide(flat(tmp_path, f"{n}.png", (640, 800), colour), "", (), 100.0, (), card)
        for n, (colour, card) in enumerate(zip((COPPER, VERDIGRIS), cards, strict=True))
    ]
    picture = pixels(compose_plate(Plate("", *sides)))
    one, two = extent(picture, (200, 30, 30)), extent(picture, (30, 30, 200))
    assert one[0] == pytest.approx(two[0], abs=2)
    assert one[1] == pytest.approx(2 * two[1], abs=2)


def test_the_same_plate_gives_the_same_bytes_and_no_metadata(tmp_path: Path) -> None:
    plate = Plate("Sealed against bare", side(tmp_path, "a.png", (300, 300), COPPER, 50.0, "left"),
                  side(tmp_path, "b.png", (300, 300), VERDIGRIS, 50.0, "right"))  # fmt: skip
    data = compose_plate(plate)
    assert compose_plate(plate) == data
    assert {marker for marker, _ in jpeg_segments(data)} == {0xE0, 0xE2, 0xDB, 0xC0, 0xC4, 0xDA}


@pytest.mark.parametrize("content", [None, b"", b"no picture"])
def test_a_view_that_cannot_be_opened_is_told(tmp_path: Path, content: bytes | None) -> None:
    good = side(tmp_path, "a.png", (30, 30), COPPER)
    if content is not None:
        (tmp_path / "bad.png").write_bytes(content)
    with pytest.raises(PictureError) as caught:
        compose_plate(Plate("", good, PlateSide(tmp_path / "bad.png", "")))
    assert "bad.png" in str(caught.value)
    assert str(tmp_path) not in str(caught.value)
