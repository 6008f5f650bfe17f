"""Dates, decimals and recipes as they are written."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.importing.day_orders import Order, find_order, is_open, list_ways, read_day
from builder.importing.decimals import Decimals, find_decimals, read_decimals
from builder.importing.recipes import find_amounts, read_recipe

TODAY = dt.date(2026, 6, 1)
DMY, MDY, YMD = Order.DMY, Order.MDY, Order.YMD


@pytest.mark.parametrize(
    ("texts", "orders"),
    [
        (["03/04/2024", "25/12/2024"], {DMY}),
        (["03/04/2024", "12/25/2024"], {MDY}),
        (["03/04/2024", "25/12/2024", "12/25/2024"], {DMY, MDY}),
        (["03/04/2024", "04/03/2024"], set()),
        (["2024-10-01", "03/04/2024", "13.4.24"], {DMY}),
        (["2024-10-01", "1 Oct 2024"], set()),
        (["05/05/2024"], set()),
        ([], set()),
    ],
)
def test_a_column_tells_its_order_where_one_of_its_dates_does(
    texts: list[str], orders: set[Order]
) -> None:
    assert find_order(texts, TODAY) == orders


@given(
    st.lists(st.dates(dt.date(1990, 1, 1), TODAY), min_size=1, max_size=30),
    st.sampled_from(["{d.day}/{d.month}/{d.year}", "{d.month}/{d.day}/{d.year}"]),
)
def test_dates_of_one_order_are_read_by_it_or_asked_and_never_wrong(
    days: list[dt.date], form: str
) -> None:
    texts = [form.format(d=day) for day in days]
    orders = find_order(texts, TODAY)
    for day, text in zip(days, texts, strict=True):
        read = read_day(text, orders, None, TODAY).written
        assert read in (day.isoformat(), text)
        assert (read == text) == (not orders and is_open(text, TODAY))
        told = DMY if form.startswith("{d.day}") else MDY
        assert read_day(text, frozenset(), told, TODAY).written == day.isoformat()


def test_of_two_orders_in_a_column_only_what_is_a_day_by_both_is_left_open() -> None:
    orders = frozenset({DMY, MDY})
    assert read_day("25/12/2024", orders, None, TODAY).written == "2024-12-25"
    assert read_day("05/05/2024", orders, None, TODAY).written == "2024-05-05"
    open_day = read_day("03/04/2024", orders, None, TODAY)
    assert open_day.written == "03/04/2024"
    assert "2024-03-04 or 2024-04-03" in open_day.said


def test_a_day_that_goes_against_what_was_told_is_read_and_said() -> None:
    day = read_day("25/12/2024", frozenset({DMY}), MDY, TODAY)
    assert day.written == "2024-12-25" and "only as dmy" in day.said


def test_a_year_of_two_figures_does_not_lie_ahead() -> None:
    assert list_ways("25.12.24", TODAY)[DMY] == dt.date(2024, 12, 25)
    assert list_ways("25.12.89", TODAY)[DMY] == dt.date(1989, 12, 25)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("10 Sept 24", "2024-09-10"),
        ("10-Sep-24", "2024-09-10"),
        ("Sept. 10, ’24", "2024-09-10"),
        ("3rd January 89", "1989-01-03"),
        ("31 Feb 24", "31 Feb 24"),
    ],
)
def test_a_month_by_name_may_have_a_short_year(text: str, day: str) -> None:
    assert read_day(text, frozenset(), None, TODAY).written == day


def test_times_stay_with_their_day() -> None:
    assert read_day("3/4/2024 9.30", frozenset({DMY}), None, TODAY).written == "2024-04-03T09:30"


@pytest.mark.parametrize("text", ["Tuesday", "2024", "40/40/2024", "1/2", "00/00/0000", "1/2/3/4"])
def test_what_is_no_date_stays_as_written(text: str) -> None:
    assert read_day(text, frozenset({DMY}), None, TODAY).written == text


@pytest.mark.parametrize(
    ("texts", "found"),
    [
        (["0,9 mm", "1,000"], Decimals.COMMA),
        (["0.9 mm", "1,000"], Decimals.POINT),
        (["1,234,567"], Decimals.POINT),
        (["1,000"], None),
        (["0,9", "0.9"], None),
        (["5", "½"], None),
    ],
)
def test_the_sign_before_decimals_is_told_by_the_numbers(
    texts: list[str], found: Decimals | None
) -> None:
    assert find_decimals(texts) is found


@pytest.mark.parametrize(
    ("text", "decimals", "read"),
    [
        ("0,9 mm", None, "0.9 mm"),
        ("1.234,5 g", None, "1234.5 g"),
        ("100 x 150 x 0,9", None, "100 x 150 x 0.9"),
        ("1,500 ml", Decimals.COMMA, "1.500 ml"),
        ("1,500 ml", Decimals.POINT, "1500 ml"),
        ("1,500 ml", None, None),
        ("a splash, then more", None, "a splash, then more"),
    ],
)
def test_a_comma_is_read_one_way_or_not_at_all(
    text: str, decimals: Decimals | None, read: str | None
) -> None:
    assert read_decimals(text, decimals) == read


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("200 ml ammonia; 3 tsp salt", [("ammonia", "200 ml", ""), ("salt", "3 tsp", "")]),
        (
            "2½ tsp salt and a splash of vinegar",
            [("salt", "2½ tsp", ""), ("vinegar", "a splash", "")],
        ),
        ("salt 15 g, ½ cup vinegar (5 %)", [("salt", "15 g", ""), ("vinegar", "½ cup", "5 %")]),
        ("Ammonia (120 ml)", [("Ammonia", "120 ml", "")]),
        ("ferric chloride 20 g/l", [("ferric chloride", "", "20 g/l")]),
        ("stale urine", [("stale urine", "", "")]),
        ("vinegar + salt", [("vinegar", "", ""), ("salt", "", "")]),
        ("Vinegar 5% And salt", [("Vinegar", "", "5%"), ("salt", "", "")]),
        (
            "vinegar 5% 1:1 peroxide 3%",
            [("vinegar", "1 part", "5%"), ("peroxide", "1 part", "3%")],
        ),
        ("vinegar and peroxide 3:1", [("vinegar", "3 parts", ""), ("peroxide", "1 part", "")]),
        ("vinegar 5% 200 ml, salt, 15 g", [("vinegar", "200 ml", "5%"), ("salt", "15 g", "")]),
        ("ammonia (26%, fresh), salt", [("ammonia (fresh)", "", "26%"), ("salt", "", "")]),
        ("H2O2 3%", [("H2O2", "", "3%")]),
    ],
)
def test_a_recipe_in_one_cell_is_taken_apart(text: str, items: list[tuple[str, str, str]]) -> None:
    read = [(i["name"], i.get("amount", ""), i.get("strength", "")) for i in read_recipe(text)]
    assert read == items


@pytest.mark.parametrize(
    ("text", "items"),
    [
        (
            "ammonia and salt, small lump in",
            [("ammonia", ""), ("salt", "salt, small lump in")],
        ),
        ("vinegar 5% peroxide 3%", [("vinegar 5% peroxide 3%", "vinegar 5% peroxide 3%")]),
        ("1:3:2 vinegar, salt", [("1:3:2 vinegar", "1:3:2 vinegar"), ("salt", "")]),
    ],
)
def test_what_cannot_be_split_surely_keeps_its_words_whole(
    text: str, items: list[tuple[str, str]]
) -> None:
    assert [(i["name"], i.get("as_written", "")) for i in read_recipe(text)] == items


def test_amounts_in_notes_are_found_and_times_are_not() -> None:
    assert find_amounts("added 3 tsp salt after 2 days, then ½ cup at 40 °C") == ("3 tsp", "½ cup")


@given(st.text(max_size=200))
def test_any_text_goes_through(text: str) -> None:
    read_recipe(text)
    find_amounts(text)
    read_decimals(text, None)
    find_decimals([text])
    read_day(text, frozenset(), None, TODAY)
