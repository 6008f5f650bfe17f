"""What to try next. Score and rules: common practice, no source; expected answers by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.records.photo import PhotoFile, State
from builder.records.plans import list_planned
from builder.records.settings import Tolerances
from builder.relate import squares
from builder.relate.factors import differing, list_factors
from builder.relate.findings import Findings
from builder.relate.next_tests import NextTest, find_tests
from builder.relate.next_words import say_what, say_why
from builder.relate.planned import piece_of, record_of
from builder.relate.squares import Lines, put
from builder.relate.strands import name_strand
from builder.relate.tried_levels import ORDER, PLACE, UNTOLD, Row, draw_levels
from tests.relate.demo import TODAY, entry_of, find, find_demo, find_written

ALL = 100


@cache
def demo() -> Findings:
    return find_demo()


@cache
def written() -> Findings:
    return find_written(TODAY)


def told(findings: Findings, count: int = ALL) -> list[str]:
    return [say_what(test) for test in find_tests(findings, count)]


def library(*rows: dict[str, Any]) -> Findings:
    """Pieces on copper, in salt water, that came out well, unless told otherwise."""
    usual = {"ingredients": ["salt", "water"], "outcome": "success", "exposure": "1 h"}
    return find(
        tuple(entry_of(**{"piece": f"P-{n}", **usual, **row}) for n, row in enumerate(rows, 1)), []
    )


def of(findings: Findings, what: str) -> NextTest:
    return next(test for test in find_tests(findings, ALL) if say_what(test) == what)


WAX = {"kind": "microcrystalline wax", "coats": "2"}
SQUARE = (
    {"exposure": "15 s", "sealant": "none"},
    {"exposure": "45 s", "sealant": "none"},
    {"exposure": "45 s", "sealant": WAX},
)


def test_fifteen_seconds_and_wax_completes_the_square_of_the_demo() -> None:
    for findings in (demo(), written()):
        first_ten = find_tests(findings)
        assert len(first_ten) == 10
        test = next(t for t in first_ten if "SH-001, but sealed with microcryst" in say_what(t))
        assert say_why(test) == (
            "Completes the square 15 s / 45 s × bare / microcrystalline wax: SH-001, SH-002 and "
            "SH-004 are there; SH-001 has no sealed sister."
        )
        assert test.score == 3


def test_a_piece_keeps_its_makers_letters_at_the_start_of_a_sentence() -> None:
    bare = {"piece": "kw-1", "sealant": "none"}
    other = {"piece": "kw-2", "sealant": WAX, "metal": "brass"}
    said = [say_why(test) for test in find_tests(library(bare, other), ALL)]
    assert "kw-2 has no bare sister." in said
    assert "kw-1 has no sealed sister." in said


def test_what_must_never_meet_in_the_notes_or_steps_is_not_proposed_again() -> None:
    """Household ammonia and bleach: row H1, which no step between makes safe."""
    ammonia = {"ingredients": ["household ammonia"], "starred": "yes"}
    assert told(library(ammonia))
    assert told(library({**ammonia, "notes": "wiped the tub with bleach"})) == []
    assert told(library({**ammonia, "prep": [{"step": "clean", "with": "bleach"}]})) == []


def test_a_square_that_wants_a_corner_is_completed() -> None:
    test = of(library(*SQUARE), "as P-1, but sealed with microcrystalline wax, 2 coats")
    assert [name_strand(strand) for strand in test.joined] == ["P-1", "P-2", "P-3"]
    assert (len(test.squares), test.score) == (1, 3)


def test_a_whole_square_asks_for_nothing() -> None:
    whole = library(*SQUARE, {"exposure": "15 s", "sealant": WAX})
    assert not [test for test in find_tests(whole, ALL) if test.squares]


def test_what_one_piece_does_not_tell_parts_no_square() -> None:
    rows = [dict(row, humidity_pct="50") for row in SQUARE]
    del rows[0]["humidity_pct"]
    assert of(library(*rows), "as P-1, but sealed with microcrystalline wax, 2 coats").squares


def test_a_piece_of_which_no_sealant_is_told_is_no_bare_one() -> None:
    rows = [dict(row) for row in SQUARE]
    del rows[0]["sealant"]
    assert not [test for test in find_tests(library(*rows), ALL) if test.squares]


def test_more_squares_go_before_fewer() -> None:
    rows = (
        *SQUARE,
        {"exposure": "90 s", "sealant": "none"},
        {"exposure": "90 s", "sealant": WAX},
    )
    test = find_tests(library(*rows), 1)[0]
    assert say_what(test) == "as P-1, but sealed with microcrystalline wax, 2 coats"
    # two squares, a third time beside 45 and 90 s under wax, and P-1's sealed sister
    assert (len(test.squares), test.score) == (2, 6)
    assert say_why(test).startswith("Completes 2 squares, first 15 s / 45 s × bare / ")


def test_a_sealed_piece_without_its_bare_sister_asks_for_it() -> None:
    test = of(library({"sealant": WAX}), "as P-1, but left bare")
    assert (say_why(test), test.score) == ("P-1 has no bare sister.", 1)


def test_a_bare_piece_asks_for_the_sealant_most_used() -> None:
    rows = (
        {"sealant": "none", "temperature_c": "20"},
        {"sealant": "shellac", "temperature_c": "40"},
        {"sealant": "beeswax", "temperature_c": "60"},
        {"sealant": "beeswax", "temperature_c": "80"},
    )
    assert "as P-1, but sealed with beeswax" in told(library(*rows))


def test_a_finish_that_seals_itself_asks_for_no_sister() -> None:
    assert not told(library({"sealant": "finish is the sealant"}))


@pytest.mark.parametrize(
    ("two", "third"),
    [
        ({"exposure": ("15 s", "45 s")}, "for 25 s"),  # by equal parts, in fives
        ({"exposure": ("30 min", "50 min")}, "for 85 min"),  # no room between: one step on
        ({"exposure": ("3 d", "12 d")}, "for 6 d"),
        ({"temperature_c": ("150", "220")}, "at 185 °C"),  # by equal degrees
        ({"temperature_c": ("40", "45")}, "at 50 °C"),
        ({"exposure": ("2 passes", "8 passes")}, "for 4 times"),
    ],
)
def test_a_series_of_two_gets_a_third_point(two: dict[str, Any], third: str) -> None:
    ((field, values),) = two.items()
    tests = find_tests(library(*({field: value} for value in values)), ALL)
    (test,) = [test for test in tests if test.series]
    assert say_what(test).endswith(third)
    assert (test.score, [name_strand(s) for s in test.series[0][1:]]) == (1, ["P-1", "P-2"])


def test_a_series_goes_no_further_than_what_came_out() -> None:
    short = {"exposure": "50 min", "outcome": "part success", "cause": "too long"}
    assert told(library({"exposure": "30 min"}, short)) == []


def test_a_series_of_three_gets_none() -> None:
    three = [{"exposure": time} for time in ("15 s", "45 s", "2 min")]
    assert not told(library(*three))


def test_passes_stay_passes_in_the_sidecar() -> None:
    two = ({"exposure": "2 passes", "cycles": "2"}, {"exposure": "8 passes", "cycles": "8"})
    (test,) = find_tests(library(*two), ALL)
    piece = piece_of(test.plan)
    assert (piece.exposure.written, piece.cycles.written) == ("4 passes", "4")


def test_a_starred_look_made_once_is_to_be_made_again() -> None:
    starred = {"starred": "yes", "sealant": "finish is the sealant"}
    test = of(library(starred), "as P-1 once more, nothing changed")
    assert (say_why(test), test.score) == ("P-1 is starred and was made once.", 1)
    assert not told(library(starred, starred))


def test_a_success_that_much_rests_on_is_to_be_made_again() -> None:
    rows = [{"exposure": time} for time in ("1 min", "5 min", "30 min", "3 h")]
    test = of(library(*rows), "as P-1 once more, nothing changed")
    assert say_why(test) == "P-1 was made once and 3 comparisons rest on it."
    assert test.score == 0


def test_more_than_a_fortnight_costs_one() -> None:
    quick = of(library({"sealant": WAX, "exposure": "14 d"}), "as P-1, but left bare")
    slow = of(library({"sealant": WAX, "exposure": "15 d"}), "as P-1, but left bare")
    assert (quick.score, slow.score) == (1, 0)


@pytest.mark.parametrize(
    ("cause", "asked"),
    [("too long", False), ("grease", False), ("unknown", False), ("left bare", True)],
)
def test_a_failure_is_tried_again_with_its_cure_alone(cause: str, asked: bool) -> None:
    failed = {"sealant": "none", "outcome": "failure", "cause": cause}
    found = told(library(failed, {"sealant": "shellac", "method": "brush"}))
    assert ("as P-1, but sealed with shellac" in found) is asked


def test_too_long_is_cured_by_less_and_not_by_more() -> None:
    rows = ({"exposure": "7 d"}, {"exposure": "28 d", "outcome": "failure", "cause": "too long"})
    assert told(library(*rows)) == ["as P-1, but for 14 d"]
    rows = ({**rows[1], "exposure": "7 d"}, {"exposure": "10 d"})
    assert told(library(*rows)) == []


def test_no_corner_of_a_square_that_is_a_failure_with_its_fault_left_in() -> None:
    rows = [dict(row) for row in SQUARE]
    rows[0] |= {"outcome": "failure", "cause": "too short"}
    assert not [test for test in find_tests(library(*rows), ALL) if test.squares]


def test_what_must_not_meet_is_never_proposed() -> None:
    rows = [dict(row, ingredients=["liver of sulphur", "malt vinegar"]) for row in SQUARE]
    assert told(library(*rows)) == []


def test_what_is_written_down_as_planned_is_not_proposed_again_nor_built_on() -> None:
    planned = {"exposure": "15 s", "sealant": WAX, "same_as": "P-1", "outcome": ""}
    findings = library(*SQUARE, planned, {"exposure": "45 s", "sealant": "shellac"})
    tests = find_tests(findings, ALL)
    assert "as P-1, but sealed with microcrystalline wax, 2 coats" not in map(say_what, tests)
    assert not any(name_strand(s) == "P-4" for test in tests for s in test.joined)


def test_days_and_batch_of_the_piece_it_is_like_are_not_its_own() -> None:
    row = {"sealant": {**WAX, "date": "2025-01-03"}, "started": "2025-01-01", "starred": "yes"}
    repeat = of(library({**row, "batch": "2025-01-01"}), "as P-1 once more, nothing changed")
    piece = piece_of(repeat.plan)
    dates = (piece.started, piece.finished, piece.sealant.date, piece.batch.mixed)
    assert not any(date.written for date in dates)
    assert piece.sealant.kind.written == "microcrystalline wax"


def test_tests_like_one_piece_let_others_have_their_turn() -> None:
    """Four tests like P-1 score 3, those like P-7 and P-8 score 1: the third like P-1 takes its
    turn with 2, the fourth with 1, and its pieces are joined already."""
    sealed = ({"exposure": "45 s", "sealant": seal} for seal in (WAX, "shellac", "oil", "lacquer"))
    others = ({"sealant": WAX, "method": method} for method in ("fumed", "sprayed"))
    tests = find_tests(library(*SQUARE[:2], *sealed, *others), 6)
    like = [name_strand(test.plan.base) for test in tests]
    assert like == ["P-1", "P-1", "P-1", "P-7", "P-8", "P-1"]
    assert [test.score for test in tests] == [3, 3, 3, 1, 1, 3]


def test_of_those_that_score_alike_one_with_other_pieces_goes_first() -> None:
    first, second, *_ = find_tests(demo())
    assert first.score == second.score
    assert not {*map(name_strand, first.joined)} & {*map(name_strand, second.joined)}


def test_values_are_the_same_within_the_tolerances_of_the_library() -> None:
    found = library({"temperature_c": "20"}, {"temperature_c": "26"})
    assert told(found) == ["as P-1, but at 30 °C"]
    wide = replace(found.library.settings, tolerances=Tolerances(temperature_c=10))
    assert told(replace(found, library=replace(found.library, settings=wide))) == []


def test_at_most_as_many_as_asked_in_the_same_order() -> None:
    for count in (1, 5, 12):
        assert told(demo(), count) == told(demo())[:count]


def test_scores_do_not_hang_on_the_order_of_the_records() -> None:
    entries = [strand.entry for strand in library(*SQUARE).strands]
    here, there = (find(tuple(order), []) for order in (entries, reversed(entries)))
    assert [t.score for t in find_tests(here, ALL)] == [t.score for t in find_tests(there, ALL)]


def test_values_that_are_kept_back_are_said_by_their_pieces() -> None:
    test = of(library(*SQUARE), "as P-1, but sealed with microcrystalline wax, 2 coats")
    assert say_what(test, lambda s, f: f == "sealant") == "as P-1, but with the sealant of P-3"
    assert say_why(test, lambda s, f: f == "time").startswith(
        "Completes the square time of P-1 / P-2 × bare / microcrystalline wax: "
    )


@pytest.mark.parametrize("secretive", ["P-1", "P-2", "P-3"])
def test_a_value_that_one_piece_joined_keeps_back_is_not_said_of_another(secretive: str) -> None:
    test = of(library(*SQUARE), "as P-1, but sealed with microcrystalline wax, 2 coats")
    assert "15 s" in say_why(test)
    why = say_why(test, lambda strand, f: f == "time" and name_strand(strand) == secretive)
    assert why.startswith("Completes the square time of P-1 / P-2 × bare / ")
    assert "15 s" not in why and "45 s" not in why


# Squares and steps on random libraries

few = st.sampled_from(["x", "y", "z"])


@st.composite
def pieces(draw: st.DrawFn) -> dict[str, Any]:
    row: dict[str, Any] = {
        "metal": draw(st.sampled_from(["copper", "brass"])),
        "exposure": draw(st.sampled_from(["10 s", "20 s", "60 s", "61 s"])),
        "temperature_c": draw(st.sampled_from(["20", "21", "22", "60"])),
        "sealant": draw(st.sampled_from(["none", "shellac", "finish is the sealant"])),
        "stop": draw(few),
        "outcome": draw(st.sampled_from(["success", "part success", "failure"])),
        "cause": draw(st.sampled_from(["none", "too long", "left bare", "unknown"])),
        "starred": draw(st.sampled_from(["", "yes"])),
    }
    for field in draw(st.sets(st.sampled_from(["stop", "sealant", "temperature_c"]), max_size=1)):
        del row[field]
    return row


@settings(max_examples=100, deadline=None)
@given(st.lists(pieces(), max_size=9))
def test_every_test_is_one_step_from_a_tried_piece_and_tried_by_none(rows: Any) -> None:
    findings = library(*rows)
    records = [list_factors(strand) for strand in findings.strands]
    for test in find_tests(findings, ALL):
        record = record_of(test.plan)
        like = list_factors(test.plan.base)
        if not test.plan.factor:
            assert list(differing(record, like)) == []
            continue
        assert list(differing(record, like)) == [test.plan.factor]
        # One that does not tell the factor may be anything, so it is no other piece's equal.
        alike = [r for r in records if test.plan.factor in r.given]
        assert all(list(differing(record, r)) for r in alike if r.given.keys() == like.given.keys())


def search_plainly(rows: list[Row]) -> dict[Row, int]:
    """Every three rows, every two factors."""
    tried, found = set(rows), dict[Row, int]()
    for one, two in combinations(range(len(ORDER)), 2):
        for beside, across, below in product(tried, repeat=3):
            wanted = put(beside, two, below[two])
            levels = (beside[one], across[one], beside[two], below[two])
            if (
                UNTOLD not in levels
                and beside[one] != across[one]
                and below[two] != across[two]
                and put(beside, one, across[one]) == across
                and put(across, two, below[two]) == below
                and wanted not in tried
            ):
                found[wanted] = found.get(wanted, 0) + 1
    return found


def rows_of(*levels: tuple[int, ...]) -> list[Row]:
    return [tuple(row) + (0,) * (len(ORDER) - len(row)) for row in levels]


small = st.tuples(*[st.integers(UNTOLD, 2)] * 4)


@settings(max_examples=100, deadline=None)
@given(st.lists(small, max_size=9))
def test_buckets_find_the_squares_that_a_plain_search_finds(levels: Any) -> None:
    rows = rows_of(*levels)
    lines = Lines(rows)
    plain = search_plainly(rows)
    assert dict(lines.count_squares()) == plain
    for row, count in plain.items():
        assert len(list(lines.list_squares(row))) == count


def test_ten_thousand_pieces_are_put_into_buckets_and_never_held_against_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rows = rows_of(*product(range(10), repeat=4))
    del rows[::97]
    wiped: list[int] = []

    def count(row: Row, place: int) -> Row:
        wiped.append(place)
        return put(row, place, UNTOLD)

    monkeypatch.setattr(squares, "wipe", count)
    found = Lines(rows).count_squares()
    assert set(found) == set(rows_of(*product(range(10), repeat=4))) - set(rows)
    # Once a factor to be laid out, then twice for each two of the four factors that vary.
    assert len(wiped) == len(rows) * (len(ORDER) + 2 * 6)


def test_values_within_a_tolerance_are_one_level() -> None:
    strands = library(*({"exposure": time} for time in ("60 s", "61 s", "2 min"))).strands
    rows = draw_levels([list_factors(strand) for strand in strands]).rows
    assert len({row[PLACE["time"]] for row in rows}) == 2


def test_what_photographs_show_coloured_is_no_longer_only_planned() -> None:
    """Its day is missing, and that is told; a picture of the bare blank is none of its day."""
    entry = entry_of(piece="P-2", same_as="P-1")
    shots = [PhotoFile("b", "P-2", state=State.BARE), PhotoFile("c", "P-2", state=State.DRY)]
    assert list_planned([entry], shots[:1]) == {("P-2", 1)}
    assert list_planned([entry], shots) == frozenset()


def test_what_is_only_planned_counts_as_nothing_made() -> None:
    """A sidecar as another, neither begun nor come out, is no repeat, sister or pair."""
    made = {"piece": "P-1", "started": "2025-01-07", "outcome": "success"}
    usual = {"ingredients": ["salt"], "exposure": "1 h", "sealant": "none"}
    planned = entry_of(piece="P-2", same_as="P-1", **usual)
    found = find((entry_of(**made, **usual), planned), [])
    assert [strand.entry.piece.piece for strand in found.strands] == ["P-1"]
    assert [strand.entry.piece.piece for strand in found.planned] == ["P-2"]
    assert found.pairs == ()
    assert found.repeats == ()
