"""Sheets, cards and labels as they come: found and read, or a sentence and no number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from builder.kept import Seen
from builder.look.codes import read_codes
from builder.look.sheets import FoundSheet, find_sheet
from builder.measure.difference import delta_e_2000
from builder.observing.places import settle_size
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.read.settings import read_settings_file
from builder.records.photo import Evidence, PhotoFile
from builder.records.settings import SetUp
from tests.look.sheet_drawing import draw_sheet
from tests.studio.diary import find_shot
from tests.studio.lying import lie_of

LIBRARY = Path(__file__).parents[2]
PHOTO = "SH-002/SH-002_2024-09-26_recheck_front.jpg"
TRUE_MAIN = (33.0, 10.0, 12.0)  # of SH-002, fresh: tests/data/demo_pieces.csv
SEEN_WITHIN = 2.3  # a just visible step
WHITE, GREY = (236, 236, 236), (120, 120, 120)

Picture = NDArray[np.uint8]


@cache
def settings():
    return read_settings_file(LIBRARY)


@cache
def original() -> Picture:
    with Image.open(LIBRARY / "samples" / PHOTO) as image:
        return np.asarray(image.convert("RGB"))


@cache
def sheet() -> FoundSheet:
    return find_sheet(original(), read_codes(original()))


def corners(box: tuple[float, float, float, float], grow: float = 0.0) -> list[tuple[float, float]]:
    """A box of the sheet, mm, as pixels of the picture."""
    left, top, right, bottom = box[0] - grow, box[1] - grow, box[2] + grow, box[3] + grow
    mm = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return [(float(x), float(y)) for x, y in sheet().to_picture(np.array(mm))]


def paint(picture: Picture, points: list[tuple[float, float]], colour: tuple[int, ...]) -> Picture:
    image = Image.fromarray(picture)
    ImageDraw.Draw(image).polygon(points, fill=colour)
    return np.asarray(image)


def look(tmp_path: Path, picture: Picture, setup: SetUp | None = None) -> Seen:
    (tmp_path / "samples").mkdir(exist_ok=True)
    (tmp_path / "pictures").mkdir(exist_ok=True)
    Image.fromarray(picture).save(tmp_path / "samples" / "shot.jpg", quality=92)
    task = Task(
        tmp_path,
        tmp_path / "pictures",
        PhotoFile("samples/shot.jpg", "SH-002"),
        setup or bench(),
        (),
        replace(settings(), web_widths=(480,)),
    )
    return see(task)


def bench() -> SetUp:
    setup = settings().setup_named("bench")
    assert setup is not None
    return setup


def card_grid() -> NDArray[np.float64]:
    grid = lie_of(find_shot(Path(PHOTO).name)).card_grid
    assert grid is not None
    return grid


def turn_card(picture: Picture, quarters: int) -> Picture:
    """The card cut out, turned and laid down again."""
    middle = card_grid().mean(axis=0)
    (x, y) = sheet().to_picture(middle)
    half = round(39 / sheet().mm_per_px)
    left, top = round(float(x)) - half, round(float(y)) - half
    turned = picture.copy()
    part = picture[top : top + 2 * half, left : left + 2 * half]
    turned[top : top + 2 * half, left : left + 2 * half] = np.rot90(part, -quarters)
    return turned


def main_colour_error(seen: Seen) -> float:
    (reading,) = seen.readings
    return float(delta_e_2000(reading.colours[0].lab, TRUE_MAIN))


def test_sheet_piece_card_and_label_are_found_by_themselves(tmp_path: Path) -> None:
    seen = look(tmp_path, original())
    assert seen.picture is not None and seen.sheet is not None and seen.card is not None
    assert (seen.sheet.size, seen.sheet.number, seen.sheet.rejected) == ("A4", 12, "")
    assert seen.picture.labels == ("SH-002",)
    assert seen.picture.view_mm == (100.0, 150.0)
    assert (seen.card.kind, seen.card.rejected) == ("colour patches", "")
    assert main_colour_error(seen) < min(SEEN_WITHIN, seen.readings[0].u)
    assert seen.picture.view is not None and seen.picture.view_corrected
    assert seen.picture.grid is not None


@pytest.mark.parametrize("quarters", [1, 2, 3])
def test_a_card_that_lies_turned_is_read_right_and_told(tmp_path: Path, quarters: int) -> None:
    seen = look(tmp_path, turn_card(original(), quarters))
    assert seen.card is not None and seen.card.rejected == ""
    assert main_colour_error(seen) < SEEN_WITHIN
    assert any(("upside down" in flag) or ("turned" in flag) for flag in seen.readings[0].flags)


def covered(part: float) -> Callable[[Picture], Picture]:
    """A card of which a grey cloth hides the left part."""

    def cover(picture: Picture) -> Picture:
        a, b, c, d = card_grid()
        hidden = np.array([a, a + part * (b - a), d + part * (c - d), d])
        points = [(float(x), float(y)) for x, y in sheet().to_picture(hidden)]
        return paint(picture, points, GREY)

    return cover


def mirrored(picture: Picture) -> Picture:
    return np.ascontiguousarray(picture[:, ::-1])


def without_card(picture: Picture) -> Picture:
    return paint(picture, corners(sheet().jig.slot, -1.0), WHITE)


def without_marks(*which: int) -> Callable[[Picture], Picture]:
    def hide(picture: Picture) -> Picture:
        for mark in which:
            picture = paint(picture, corners(sheet().jig.marks[mark], 2.0), WHITE)
        return picture

    return hide


def with_another_sheet(picture: Picture) -> Picture:
    """A corner of a second sheet, number 7, laid into the frame."""
    drawn = draw_sheet(sheet().jig, 7)[:150, :150]  # its left top 30 mm
    grey = np.round(255 * np.clip(drawn, 0, 1) ** (1 / 2.2)).astype(np.uint8)
    corner = np.repeat(grey[..., None], 3, axis=2)
    laid = picture.copy()
    x, y = (int(value) for value in sheet().to_picture(np.array([150.0, 195.0])))
    laid[y - 75 : y + 75, x - 75 : x + 75] = corner
    return laid


def empty_place(picture: Picture) -> Picture:
    return paint(picture, corners(sheet().jig.place, 3.0), WHITE)


CARD_FAULTS = [
    (covered(0.5), "card"),
    (without_card, "card"),
]
SHEET_FAULTS = [
    (without_marks(0, 1, 2, 3), "no corner mark"),
    (without_marks(0, 2), "three or four"),
    (mirrored, "mirror"),
    (with_another_sheet, "two"),
    (empty_place, "place for the piece"),
]


@pytest.mark.parametrize(("spoil", "words"), CARD_FAULTS)
def test_a_card_that_cannot_serve_is_a_sentence_and_no_drift(
    tmp_path: Path, spoil: Callable[[Picture], Picture], words: str
) -> None:
    seen = look(tmp_path, spoil(original()))
    assert seen.card is not None
    assert words in seen.card.rejected
    assert all(reading.evidence in (Evidence.SHEET, Evidence.NONE) for reading in seen.readings)


@pytest.mark.parametrize(("spoil", "words"), SHEET_FAULTS)
def test_a_sheet_that_cannot_serve_is_a_sentence_and_no_number(
    tmp_path: Path, spoil: Callable[[Picture], Picture], words: str
) -> None:
    seen = look(tmp_path, spoil(original()))
    assert seen.sheet is not None
    assert words in seen.sheet.rejected
    assert seen.readings == ()


def test_three_marks_suffice(tmp_path: Path) -> None:
    seen = look(tmp_path, without_marks(1)(original()))
    assert seen.sheet is not None and seen.sheet.rejected == ""
    assert seen.sheet.marks == 3
    assert main_colour_error(seen) < SEEN_WITHIN


@pytest.mark.parametrize(
    ("change", "words"), [({"sheet": "Letter"}, "Letter"), ({"sheet_number": 7}, "number 7")]
)
def test_a_sheet_other_than_the_set_up_s_is_refused(
    tmp_path: Path, change: dict[str, object], words: str
) -> None:
    seen = look(tmp_path, original(), replace(bench(), **change))
    assert seen.sheet is not None and words in seen.sheet.rejected
    assert seen.readings == ()


def test_a_sheet_is_used_where_no_set_up_says_so_but_paper_alone_carries_no_drift(
    tmp_path: Path,
) -> None:
    seen = look(tmp_path, original(), SetUp(""))
    (reading,) = seen.readings
    assert reading.evidence is Evidence.SHEET
    assert main_colour_error(seen) < reading.u


def test_corners_marked_by_hand_go_before_the_sheet(tmp_path: Path) -> None:
    by_hand = sheet().quad(np.array([(60, 40), (140, 40), (140, 170), (60, 170)], dtype=float))
    seen = look(tmp_path, original(), replace(bench(), piece_at=by_hand, piece_mm=(80.0, 130.0)))
    assert seen.sheet is None
    assert seen.picture is not None and seen.picture.view_mm == (80.0, 130.0)
    assert seen.picture.labels == ("SH-002",)


def task_for(piece_mm: tuple[float, float] | None) -> Task:
    return Task(Path(), Path(), PhotoFile("a.jpg", "X"), SetUp(""), (), settings(), piece_mm)


@pytest.mark.parametrize(
    ("measured", "known", "shown"),
    [
        ((99.6, 150.4), None, (100.0, 150.0)),  # as an outline of the sheet
        ((150.4, 99.6), None, (150.0, 100.0)),
        ((90.8, 60.9), (90.0, 60.0), (90.0, 60.0)),  # as its notes say
        ((60.9, 90.8), (90.0, 60.0), (60.0, 90.0)),
        ((43.4, 77.7), (90.0, 60.0), (43.0, 78.0)),  # as measured
        ((0.2, 3.0), None, (1.0, 3.0)),
    ],
)
def test_a_piece_is_shown_at_the_size_it_is_known_to_have(
    measured: tuple[float, float],
    known: tuple[float, float] | None,
    shown: tuple[float, float],
) -> None:
    assert settle_size(measured, task_for(known)) == shown
