from __future__ import annotations

import datetime as dt

import pytest

from builder.publish.words import (
    say_conversion,
    say_day,
    say_days,
    say_expected,
    say_fact,
    say_lab,
    say_list,
    say_number,
    say_share,
)
from builder.records.facts import Fact, Known, Moment, Quantity


def test_a_day_is_said_the_same_on_every_machine() -> None:
    assert say_day(dt.date(2024, 10, 6)) == "6 Oct 2024"
    assert say_day(None) == "no date"


@pytest.mark.parametrize(
    ("days", "said"), [(0, "0 days"), (1, "1 day"), (365, "365 days"), (None, "")]
)
def test_days_are_counted_in_words(days: int | None, said: str) -> None:
    assert say_days(days) == said


def test_a_negative_figure_has_a_true_minus_and_nought_has_none() -> None:
    assert say_number(-2.345) == "\u22122.3"
    assert say_number(-0.04) == "0.0"
    assert say_number(None) == ""


def test_lab_is_said_in_whole_units() -> None:
    assert say_lab((49.4, -21.2, 2.6)) == "L*\u00a049 a*\u00a0\u221221 b*\u00a03"


def test_a_share_is_whole_per_cent() -> None:
    assert say_share(0.764) == "76\u202f%"
    assert say_share(None) == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [([], ""), (["wax"], "wax"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_a_list_reads_as_prose(words: list[str], said: str) -> None:
    assert say_list(words) == said


def test_the_three_absences_are_said_in_three_ways() -> None:
    said = {
        say_fact(Fact()),
        say_fact(Fact("unknown", None, Known.UNKNOWN)),
        say_fact(Fact("not measured", None, Known.NOT_MEASURED)),
    }
    assert said == {"not recorded", "unknown", "not measured"}


def test_a_bare_number_gets_its_unit_and_words_keep_theirs() -> None:
    degrees = Quantity(45.0, "°C")
    assert say_fact(Fact("45", degrees, Known.GIVEN)) == "45\u00a0°C"
    assert say_fact(Fact("45 C", degrees, Known.GIVEN)) == "45 C"


def test_words_that_could_not_be_converted_stay_as_written() -> None:
    assert say_fact(Fact("a splash", None, Known.UNREAD)) == "a splash"


def test_a_moment_is_said_with_its_time_where_it_has_one() -> None:
    day = dt.date(2024, 10, 1)
    timed = Fact("2024-10-01T19:30", Moment(day, dt.time(19, 30)), Known.GIVEN)
    assert say_fact(timed) == "1 Oct 2024, 19:30"
    assert say_fact(Fact("2024-10-01", Moment(day), Known.GIVEN)) == "1 Oct 2024"


def test_a_conversion_is_shown_only_where_a_rule_was_needed() -> None:
    spoons = Fact("2½ tsp", Quantity(15.0, "g", "1 tsp salt as 6 g"), Known.GIVEN)
    assert say_conversion(spoons) == "15\u00a0g (1 tsp salt as 6 g)"
    assert say_conversion(Fact("15 g", Quantity(15.0, "g"), Known.GIVEN)) == ""


def test_what_was_expected_is_introduced_once() -> None:
    assert say_expected("a date") == "expected a date"
    assert say_expected("expected a date") == "expected a date"
    assert say_expected("") == ""
