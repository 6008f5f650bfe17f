"""A filed picture's name carries what was told, never what was inferred."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.filing.naming import choose_name, list_names
from builder.read.photo_names import learn_numbering, read_photo_name
from builder.records.photo import State

NUMBERING = learn_numbering(["SH-012", "SH-014"])
DAY = dt.date(2025, 1, 14)


@pytest.mark.parametrize(
    ("source", "day", "state", "name"),
    [
        ("IMG_4711.HEIC", DAY, None, "SH-014_2025-01-14.heic"),
        ("IMG_4711.HEIC", DAY, State.BEFORE_SEAL, "SH-014_2025-01-14_before-seal.heic"),
        ("SH-014_wet.jpg", DAY, None, "SH-014_2025-01-14_wet.jpg"),
        ("SH-014_back_xpol.jpg", DAY, None, "SH-014_2025-01-14_back_xpol.jpg"),
        ("SH-014_2025-01-14_recheck_front.jpg", DAY, None, "SH-014_2025-01-14_recheck_front.jpg"),
        ("SH-014_2025-01-13_recheck.jpg", DAY, None, "SH-014_2025-01-14_recheck.jpg"),
        ("SH-012_2025-01-14.jpg", DAY, None, "SH-014_2025-01-14.jpg"),
        ("scan of bench.png", None, None, "SH-014_scan-of-bench.png"),
        ("<script>.png", None, None, "SH-014_script.png"),
        ("…/..\\.png", None, None, "SH-014_picture.png"),
    ],
)
def test_a_name_says_number_day_and_what_was_told(
    source: str, day: dt.date | None, state: State | None, name: str
) -> None:
    said = read_photo_name(Path(source).name, NUMBERING)
    names = list_names(Path(source), "SH-014", day, said, state)
    assert next(names) == name
    assert read_photo_name(name, NUMBERING).number == "SH-014"
    assert read_photo_name(name, NUMBERING).day == day


def test_a_second_picture_of_a_day_is_numbered() -> None:
    said = read_photo_name("IMG_1.JPG", NUMBERING)
    names = list_names(Path("IMG_1.JPG"), "SH-014", DAY, said, None)
    taken = {"sh-014_2025-01-14.jpg", "sh-014_2025-01-14_2.jpg"}
    assert choose_name(names, taken) == "SH-014_2025-01-14_3.jpg"
