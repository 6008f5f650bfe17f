"""Kinds of fact: the words stay, whatever becomes of the value."""

import typing

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from builder.records import kinds
from builder.records.facts import Fact, Known
from builder.records.kinds import Expected, Vocabulary

ALL = {
    name: kind
    for name, kind in vars(kinds).items()
    if typing.get_origin(typing.get_args(kind)[0] if typing.get_args(kind) else None) is Fact
}
MEASURED = {name: kind for name, kind in ALL.items() if any(
    isinstance(marker, Expected) for marker in kind.__metadata__)}  # fmt: skip


def convert(kind, written):
    return TypeAdapter(kind).validate_python(written)


def test_every_kind_is_looked_at():
    assert {"Words", "Celsius", "Amount", "When", "Outcome"} <= set(ALL)
    assert len(MEASURED) == 11


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize(
    ("written", "known"),
    [
        ("", Known.MISSING),
        (None, Known.MISSING),
        ("~", Known.MISSING),
        ("unknown", Known.UNKNOWN),
        ("Unknown", Known.UNKNOWN),
        ("?", Known.UNKNOWN),
        ("not measured", Known.NOT_MEASURED),
    ],
)
def test_missing_unknown_and_not_measured_stay_three_things(name, written, known):
    fact = convert(ALL[name], written)
    assert (fact.known, fact.value) == (known, None)


@pytest.mark.parametrize("name", MEASURED)
def test_words_that_cannot_be_converted_are_kept(name):
    fact = convert(MEASURED[name], "a generous splash")
    assert fact == Fact("a generous splash", None, Known.UNREAD)


@pytest.mark.parametrize("name", ALL)
@given(text=st.text(max_size=200))
def test_no_text_makes_a_kind_raise(name, text):
    fact = convert(ALL[name], text)
    assert fact.written == text.strip() or fact.known is Known.MISSING
    assert (fact.value is not None) == (fact.known is Known.GIVEN)


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("written", [["a"], {"a": "b"}])
def test_a_list_or_mapping_is_no_fact(name, written):
    with pytest.raises(ValidationError):
        convert(ALL[name], written)


@pytest.mark.parametrize("name", ALL)
def test_a_ready_fact_is_left_as_it_is(name):
    ready = Fact("1", 1, Known.GIVEN)
    assert convert(ALL[name], ready) is ready


@pytest.mark.parametrize("name", ALL)
def test_every_kind_has_its_json_schema(name):
    assert "string" in TypeAdapter(ALL[name]).json_schema()["type"]


@pytest.mark.parametrize(
    ("name", "written", "why"),
    [
        ("Thickness", "20", "gauge without its system"),
        ("Amount", "15", "unit is missing"),
        ("Duration", "3-4 d", "a range"),
        ("Percent", "145", "out of bounds"),
        ("Strength", "9,5 %", "a comma"),
        ("When", "01/10/2024", "cannot be told"),
    ],
)
def test_what_is_wrong_is_said_where_it_can_be_told(name, written, why):
    expected = next(marker for marker in ALL[name].__metadata__ if isinstance(marker, Expected))
    assert why in expected.explain(written)


@pytest.mark.parametrize(
    ("name", "written", "value"),
    [
        ("Metal", "Aluminum", "aluminium"),
        ("Metal", "COPPER", "copper"),
        ("Metal", "copper offcut", "copper offcut"),
        ("Method", "heat color", "heat colour"),
        ("Temper", "half-hard", "half hard"),
        ("Showing", "before_seal", "before seal"),
        ("Lighting", "xpol", "cross-polarised"),
        ("Outcome", "Part Success", "part success"),
    ],
)
def test_a_word_of_the_trade_is_found_whatever_its_spelling(name, written, value):
    fact = convert(ALL[name], written)
    assert (fact.value, fact.written) == (value, written)


@pytest.mark.parametrize("name", ALL)
def test_every_word_of_a_list_is_read_as_itself(name):
    lists = [marker for marker in ALL[name].__metadata__ if isinstance(marker, Vocabulary)]
    for word in lists[0].words if lists else ():
        fact = convert(ALL[name], word)
        assert fact.known is Known.UNKNOWN or fact.value == word


def test_a_very_long_text_is_not_searched_for_a_number():
    fact = convert(kinds.Duration, "1" * 500_000)
    assert fact.known is Known.UNREAD
