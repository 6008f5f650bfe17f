"""Numbers as written. Ways of writing: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.numbers import read_number, split_measure


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("5", 5),
        ("0.9", 0.9),
        (".5", 0.5),
        ("½", 0.5),
        ("2½", 2.5),
        ("2 ½", 2.5),
        ("1/2", 0.5),
        ("2 1/2", 2.5),
        ("012", 12),
        ("−5", -5),
        ("three", 3),
    ],
)
def test_a_number_is_read_as_people_write_it(written, number):
    assert read_number(written) == number


@pytest.mark.parametrize(
    "written", ["", "a splash", "3-4", "3:1", "1,5", "1,000", "1/0", "1/2/3", "5 %", "1e5", "nan"]
)
def test_what_could_be_read_two_ways_is_no_number(written):
    assert read_number(written) is None


def test_a_rough_number_says_so():
    measure = split_measure("about 45 °C")
    assert measure is not None
    assert (measure.number, measure.rest, measure.about) == (45, "°c", True)


@given(st.decimals(0, 999_999, places=3, allow_nan=False))
def test_a_decimal_number_comes_back_as_it_was_written(number):
    assert read_number(f"{number:f}") == float(number)


@given(st.text())
def test_no_text_makes_a_number_raise(text):
    measure = split_measure(text)
    assert measure is None or measure.number == measure.number  # finite: never not-a-number
