from __future__ import annotations

import csv
from pathlib import Path

import pytest
from PIL import ImageColor

from builder.relate.colour_spelling import from_srgb, has_alpha, spell_colour
from builder.relate.web_colours import WEB_COLOURS

DATA = Path(__file__).parents[1] / "data"
ROUNDED = 0.051  # the table has one place


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("colour_spellings.csv"), ids=lambda row: row["words"])
def test_colours_are_read_as_the_table_has_it(row: dict[str, str]) -> None:
    """With its source in each row; `tests/browser/test_finder.py` holds the page to it too."""
    lab = spell_colour(row["words"])
    if row["hex"]:
        red, green, blue = bytes.fromhex(row["hex"][1:])
        assert lab == from_srgb((red, green, blue))
    elif row["L"]:
        assert lab == pytest.approx([float(row[name]) for name in "Lab"], abs=ROUNDED)
    else:
        assert lab is None
        assert has_alpha(row["words"]) is (row["source"] == "alpha is refused")


def test_srgb_is_read_as_the_standard_has_it() -> None:
    """`tests/data/srgb_lab.csv`, with its source."""
    for row in rows("srgb_lab.csv"):
        rgb = (int(row["r8"]), int(row["g8"]), int(row["b8"]))
        lab = tuple(float(row[name]) for name in ("L65", "a65", "b65"))
        assert from_srgb(rgb) == pytest.approx(lab, abs=2e-3)


def test_the_names_of_style_sheets_are_those_of_another_library() -> None:
    assert len(WEB_COLOURS) == 148  # CSS Color 4, 6.1
    for name, code in WEB_COLOURS.items():
        assert ImageColor.getrgb(name) == tuple(bytes.fromhex(code))


@pytest.mark.parametrize("hue", range(-30, 400, 37))
def test_hsl_comes_to_what_another_library_has(hue: int) -> None:
    words = f"hsl({hue}, 43%, 61%)"
    read = spell_colour(words)
    near = [ImageColor.getrgb(f"hsl({hue % 360}, 43%, {61 + off}%)") for off in (-0.2, 0, 0.2)]
    assert any(read == pytest.approx(from_srgb(rgb[:3]), abs=0.6) for rgb in near)
