from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.publish.cells import guard_formula, plain_lines, round_to, write_cell

# Source of the openings a spreadsheet takes for a formula: OWASP, CSV Injection.
HOSTILE = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\n=1", "＝1", "=", "-", "--1")


@pytest.mark.parametrize("text", HOSTILE)
def test_text_that_would_run_is_guarded(text: str) -> None:
    assert write_cell(text) == f"'{text}"


@pytest.mark.parametrize("text", ["-3.5", "+2", "-12", "a=b", "5-25", "mail@home", ""])
def test_real_numbers_and_plain_words_stay(text: str) -> None:
    assert guard_formula(text) == text


def test_a_return_ends_no_row() -> None:
    assert write_cell("a\rb") == "a\nb"
    assert write_cell("\r=1") == "'\n=1"


@given(st.text())
def test_guarded_text_loses_nothing(text: str) -> None:
    assert guard_formula(text).removeprefix("'") in (text, text.removeprefix("'"))
    assert not guard_formula(text).startswith(("=", "@", "\t", "\r"))


def test_numbers_and_nothing_are_written_plainly() -> None:
    assert [write_cell(cell) for cell in (None, 3, -2.5, 0.0)] == ["", "3", "-2.5", "0.0"]


def test_rounding_leaves_no_negative_nought() -> None:
    assert str(round_to(-0.001, 2)) == "0.0"


@pytest.mark.parametrize("number", [None, math.nan, math.inf])
def test_what_is_no_number_has_no_cell(number: float | None) -> None:
    assert round_to(number, 2) is None


def test_line_ends_are_of_one_kind() -> None:
    assert plain_lines("a\r\nb\rc\nd") == "a\nb\nc\nd"
