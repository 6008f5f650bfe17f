from __future__ import annotations

import csv
from pathlib import Path

import pytest

from builder.relate.colour_spelling import from_srgb, spell_colour

DATA = Path(__file__).parents[1] / "data"


@pytest.mark.parametrize(
    "words",
    [
        "67 -32 -7",
        "67, -32, -7",
        "67;-32;-7",
        "Lab 67 -32 -7",
        "lab(67 -32 -7)",
        "lab(67% -32 -7)",
        "CIELAB 67 −32 −7",
        "L*a*b* 67/-32/-7",
        "L* 67 a* −32 b* −7",
        "L*=67, a*=-32, b*=-7",
        "L: 67 a: -32 b: -7",
    ],
)
def test_three_numbers_are_lab_however_they_are_written(words: str) -> None:
    assert spell_colour(words) == (67.0, -32.0, -7.0)


@pytest.mark.parametrize("words", ["#5a9e8f", "5A9E8F", " #5a9e8f "])
def test_six_digits_are_srgb(words: str) -> None:
    assert spell_colour(words) == from_srgb((0x5A, 0x9E, 0x8F))


def test_three_digits_are_short_for_six() -> None:
    assert spell_colour("#fa0") == spell_colour("#ffaa00")


def test_srgb_is_read_as_the_standard_has_it() -> None:
    """`tests/data/srgb_lab.csv`, with its source."""
    with (DATA / "srgb_lab.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            rgb = (int(row["r8"]), int(row["g8"]), int(row["b8"]))
            lab = tuple(float(row[name]) for name in ("L65", "a65", "b65"))
            assert from_srgb(rgb) == pytest.approx(lab, abs=2e-3)


def test_a_systematic_name_is_the_middle_of_its_block() -> None:
    assert spell_colour("Greyish green") == spell_colour("grayish green")
    assert spell_colour("greyish green") is not None


@pytest.mark.parametrize(
    "words", ["", "90 158 143", "120 0 0", "1 2", "1 2 3 4", "greenish", "#12"]
)
def test_anything_else_is_no_colour(words: str) -> None:
    assert spell_colour(words) is None
