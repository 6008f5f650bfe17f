import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.wording import describe_value, find_nearest, name_place, quote


@given(st.text())
def test_a_strangers_words_are_short_and_on_one_line(text):
    shown = quote(text)
    assert shown.isprintable()
    assert len(shown) <= 62


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("", "empty"),
        ("a", "“a”"),
        ([], "an empty list"),
        (["a"], "a list"),
        ({}, "an empty mapping"),
        ({"a": 1}, "a mapping"),
    ],
)
def test_a_value_is_described_by_its_kind(value, words):
    assert describe_value(value) == words


def test_a_place_is_named_from_the_inside_out():
    assert name_place(("ingredients", 1, "amount")) == "amount of ingredients, item 2"
    assert name_place(("metal",)) == "metal"


def test_the_nearest_word_is_near_or_none():
    assert find_nearest("Metl", ["metal", "method"]) == "metal"
    assert find_nearest("zzz", ["metal", "method"]) == ""


def test_the_same_number_in_another_spelling_goes_before_any_other() -> None:
    assert find_nearest("KW-1", ["KW-10", "KW-11", "KW-01"]) == "KW-01"
    assert find_nearest("kw1", ["KW1A", "KW-01", "KW-12"]) == "KW-01"
