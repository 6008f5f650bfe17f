"""Lines that fit."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageDraw

from builder.look.typesetting import MOST_LINES, Style, set_text

BODY = Style(24, (0, 0, 0))


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=400), st.integers(30, 700))
def test_no_line_is_wider_than_its_place(text: str, width: int) -> None:
    block = set_text(text, BODY, width)
    for line in block.lines:
        assert len(line) == 1 or BODY.font.getlength(line) <= width
    assert len(block.lines) <= MOST_LINES
    assert block.height == len(block.lines) * BODY.leading


def test_no_word_is_lost() -> None:
    text = "Does wax keep the chalk of verdigris on copper buried in sawdust?"
    assert " ".join(set_text(text, BODY, 180).lines) == text
    assert "".join(set_text("x" * 300, BODY, 180).lines) == "x" * 300


def test_lines_written_apart_stay_apart() -> None:
    assert set_text("one\ntwo", BODY, 500).lines == ("one", "two")


def test_endless_text_ends() -> None:
    block = set_text("word " * 100_000, BODY, 200)
    assert len(block.lines) == MOST_LINES
    assert block.lines[-1] == "…"


@pytest.mark.parametrize("character", "ΔäßéøłşЖ×–°½→≥′₀")
@pytest.mark.parametrize("strong", [False, True])
def test_the_trades_signs_and_names_have_their_letters(character: str, strong: bool) -> None:
    font = Style(40, (0, 0, 0), strong).font
    missing = bytes(font.getmask("\ue000"))  # a private code point that no font here has
    assert bytes(font.getmask(character)) != missing


def test_text_is_drawn_within_its_block() -> None:
    image = Image.new("RGB", (400, 200), (255, 255, 255))
    block = set_text("ÄÉ quick jumping py", BODY, 300)
    block.paint(ImageDraw.Draw(image), 50, 60)
    left, top, right, bottom = ImageChops.invert(image).getbbox() or (0, 0, 0, 0)
    assert left >= 48
    assert right <= 352
    assert top >= 60
    assert bottom <= 60 + block.height
