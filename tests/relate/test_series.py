from __future__ import annotations

from itertools import combinations
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.relate.factors import Factors, differing
from builder.relate.findings import Series
from builder.relate.pairs import find_near
from builder.relate.series import find_rows, group_alike
from builder.relate.strands import name_strand
from tests.relate.demo import entry_of, find, find_demo
from tests.relate.test_pairs import records


def series_of(*told: dict[str, Any]) -> tuple[Series, ...]:
    entries = tuple(
        entry_of(**{"temperature_c": "45", "exposure": "15 s", **one, "piece": f"SH-90{n}"})
        for n, one in enumerate(told)
    )
    return find(entries, []).series


def words_of(series: Series) -> list[str]:
    return [value.words for value in series.values]


def names_of(series: Series) -> list[list[str]]:
    return [[name_strand(strand) for strand in value.strands] for value in series.values]


def test_times_stand_by_size_and_repeats_are_kept() -> None:
    # Source: the invented demo, whose table carries its answers.
    times = [words_of(series) for series in find_demo().series if series.factor == "time"]
    assert times == [["15 s", "45 s", "120 s"], ["3 d", "7 d", "14 d"]]
    dipped = next(series for series in find_demo().series if series.factor == "time")
    assert names_of(dipped) == [["SH-001"], ["SH-002", "SH-006", "SH-007"], ["SH-003"]]


def test_bare_comes_first_among_sealants_and_zones_count_as_pieces() -> None:
    plates = [series for series in find_demo().series if series.factor == "sealant"]
    assert {series.values[0].words for series in plates} == {"none"}
    assert [["SH-023", "SH-024 centre"], ["SH-024 right", "SH-025"], ["SH-024 left"]] in [
        names_of(series) for series in plates
    ]


def test_strengths_of_one_recipe_stand_by_size() -> None:
    (series,) = series_of(
        *({"ingredients": [{"name": "vinegar", "strength": f"{n} %"}]} for n in (10, 2, 5))
    )
    assert [words.split()[-2] for words in words_of(series)] == ["2", "5", "10"]


def test_coats_and_kind_of_a_sealant_are_one_factor() -> None:
    (series,) = series_of(
        {"sealant": {"kind": "beeswax", "coats": "2"}},
        {"sealant": {"kind": "beeswax", "coats": "1"}},
        {"sealant": "none"},
    )
    assert series.factor == "sealant"
    assert words_of(series) == ["none", "beeswax, 1 coat", "beeswax, 2 coats"]


def test_what_is_not_told_is_said_and_kinds_of_silence_are_kept_apart() -> None:
    (series,) = series_of({}, {"exposure": "45 s"})
    assert "humidity not recorded on either" in series.unrecorded
    damp = {"exposure": "90 s", "humidity_pct": "50"}
    (series,) = series_of({"humidity_pct": "unknown"}, {"exposure": "45 s"}, damp)
    assert "humidity unknown on SH-900" in series.unrecorded
    assert "humidity not recorded on SH-901" in series.unrecorded


def test_no_series_reaches_further_than_a_tolerance() -> None:
    found = series_of(
        {"temperature_c": "18", "exposure": "15 s"},
        {"temperature_c": "19.5", "exposure": "45 s"},
        {"temperature_c": "21", "exposure": "90 s"},
    )
    assert [words_of(series) for series in found] == [["15 s", "45 s"]]


def test_a_number_within_the_tolerance_of_two_values_stands_with_the_lower() -> None:
    times = {"exposure": "15 s"}
    found = series_of(*({"temperature_c": t, **times} for t in ("18", "19.5", "21")))
    assert [words_of(series) for series in found] == [["18 °C", "21 °C"]]
    assert names_of(found[0]) == [["SH-900", "SH-901"], ["SH-902"]]


@settings(max_examples=150)
@given(st.lists(records(), max_size=14))
def test_in_every_series_each_is_equal_to_each_but_for_the_factor(factors: list[Factors]) -> None:
    near = find_near(factors)
    rows = find_rows(factors, near)
    for row in rows:
        assert len(row.levels) > 1
        for i, j in combinations(row.places, 2):
            assert set(differing(factors[i], factors[j])) <= {row.factor}
        assert all(row.factor in factors[place].given for place in row.places)
    for factor in {row.factor for row in rows}:
        places = [p for row in rows if row.factor == factor for p in row.places]
        assert len(places) == len(set(places))


def test_a_group_holds_only_those_that_are_all_alike() -> None:
    factors = [Factors({})] * 4
    assert group_alike([(0, 1), (1, 2), (2, 3), (0, 2)], factors) == [[0, 1, 2]]
