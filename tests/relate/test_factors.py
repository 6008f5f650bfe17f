"""Factors. Which names mean one thing: common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest

from builder.records.settings import Tolerances
from builder.relate.factors import differing, list_factors, says_enough, unrecorded
from builder.relate.findings import Strand
from tests.relate.demo import entry_of, find


def strand(**told: Any) -> Strand:
    return find((entry_of(**{"temperature_c": "45", **told}),), []).strands[0]


def apart(one: dict[str, Any], two: dict[str, Any]) -> tuple[str, ...]:
    return tuple(differing(list_factors(strand(**one)), list_factors(strand(**two))))


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ({"temperature_c": "45"}, {"temperature_c": "47"}),
        ({"temperature_c": "18"}, {"temperature_c": "64.4 °F"}),
        ({"humidity_pct": "50"}, {"humidity_pct": "60"}),
        ({"thickness": "0.9 mm"}, {"thickness": "0.95 mm"}),
        ({"thickness": "0.9 mm"}, {"size_mm": ["100", "150", "0.9"]}),
        ({"exposure": "60 min"}, {"exposure": "63 min"}),
        ({"exposure": "60 min"}, {"exposure": "1 h"}),
        ({"exposure": "4 passes"}, {"cycles": "4"}),
        ({"prep": [{"step": "water-break"}]}, {"prep": [{"step": "Water break"}]}),
        (
            {"ingredients": [{"name": "liver of sulphur", "strength": "5 g/l", "amount": "5 g"}]},
            {"ingredients": [{"name": "sulfurated potash", "strength": "5 g/L", "amount": "9 g"}]},
        ),
        (
            {"ingredients": [{"name": "salt"}, {"name": "household ammonia"}]},
            {"ingredients": [{"name": "ammonium hydroxide"}, {"name": "table salt"}]},
        ),
        (
            {"sealant": {"kind": "micro wax", "coats": "2"}},
            {"sealant": {"kind": "microcrystalline wax", "coats": "2"}},
        ),
        ({"sealant": "none"}, {"sealant": "unsealed"}),
        ({"sealant": {"kind": "none", "coats": "0"}}, {"sealant": {"kind": "none", "coats": "1"}}),
        ({"started": "2024-10-01"}, {"started": "2025-10-01"}),
        ({"batch": {"mixed": "2024-10-01"}}, {"batch": {"mixed": "2024-12-01"}}),
        ({"form": "bell blank"}, {"form": "plate blank"}),
        ({"exposure": "overnight"}, {"exposure": "Overnight"}),
        ({"exposure": "overnight"}, {"exposure": "unknown"}),
        ({"exposure": "overnight"}, {"cycles": "4"}),
        ({"humidity_pct": "damp"}, {"humidity_pct": "not measured"}),
        ({"temperature_c": "room"}, {"temperature_c": ""}),
    ],
)
def test_these_are_the_same(one: dict[str, Any], two: dict[str, Any]) -> None:
    assert apart(one, two) == ()


@pytest.mark.parametrize(
    ("one", "two", "factor"),
    [
        ({"temperature_c": "45"}, {"temperature_c": "47.5"}, "temp"),
        ({"humidity_pct": "50"}, {"humidity_pct": "61"}, "humidity"),
        ({"thickness": "0.9 mm"}, {"thickness": "1.0 mm"}, "thickness"),
        ({"exposure": "60 min"}, {"exposure": "64 min"}, "time"),
        ({"cycles": "2"}, {"cycles": "3"}, "time"),
        ({"metal": "copper"}, {"metal": "brass", "alloy": "63/37 brass"}, "metal"),
        ({"metal": "brass", "alloy": "63/37"}, {"metal": "brass", "alloy": "70/30"}, "metal"),
        ({"temper": "annealed"}, {"temper": "hard"}, "temper"),
        ({"temperature_c": "room"}, {"temperature_c": "20"}, "temp"),
        ({"temperature_c": "room"}, {"temperature_c": "warm"}, "temp"),
        ({"humidity_pct": "damp"}, {"humidity_pct": "50"}, "humidity"),
        ({"exposure": "overnight"}, {"exposure": "8 h"}, "time"),
        ({"exposure": "overnight"}, {"exposure": "4 passes"}, "time"),
        ({"exposure": "overnight"}, {"exposure": "until dark"}, "time"),
        ({"exposure": "1 h", "cycles": "a few"}, {"exposure": "1 h", "cycles": "3"}, "time"),
        (
            {"ingredients": [{"name": "salt", "amount": "a good pinch"}]},
            {"ingredients": [{"name": "salt", "amount": "5 g"}]},
            "recipe",
        ),
        ({"prep": ["abrade", "pickle"]}, {"prep": ["pickle", "abrade"]}, "prep"),
        (
            {"prep": [{"step": "abrade", "grit": "0000"}]},
            {"prep": [{"step": "abrade", "grit": "400"}]},
            "prep",
        ),
        (
            {"ingredients": [{"name": "vinegar", "strength": "5 %"}]},
            {"ingredients": [{"name": "vinegar", "strength": "10 %"}]},
            "recipe",
        ),
        ({"ingredients": "none"}, {"ingredients": ["salt"]}, "recipe"),
        ({"dry": {"for": "7 d"}}, {"dry": {"for": "6 h"}}, "dry"),
        ({"sealant": "oil varnish"}, {"sealant": "acrylic lacquer"}, "sealant"),
        (
            {"sealant": {"kind": "beeswax", "coats": "1"}},
            {"sealant": {"kind": "beeswax", "coats": "2"}},
            "sealant",
        ),
        (
            {"sealant": {"kind": "beeswax", "how": ["cold"]}},
            {"sealant": {"kind": "beeswax", "how": ["hot"]}},
            "sealant",
        ),
    ],
)
def test_these_differ_by_one(one: dict[str, Any], two: dict[str, Any], factor: str) -> None:
    assert apart(one, two) == (factor,)


@pytest.mark.parametrize(
    "absent",
    [
        {},
        {"humidity_pct": "unknown"},
        {"humidity_pct": "not measured"},
    ],
)
def test_what_is_not_recorded_is_no_difference_but_listed(absent: dict[str, Any]) -> None:
    one, two = list_factors(strand(humidity_pct="50")), list_factors(strand(**absent))
    assert not list(differing(one, two))
    assert "humidity" in unrecorded(one, two)


def test_strength_told_on_one_side_only_is_listed_without_naming_the_ingredient() -> None:
    one = list_factors(strand(ingredients=[{"name": "vinegar", "strength": "5 %"}]))
    two = list_factors(strand(ingredients=[{"name": "vinegar"}]))
    assert not list(differing(one, two))
    assert unrecorded(one, two)[-1] == "some amounts or strengths"
    assert not any("vinegar" in words for words in unrecorded(one, two))


def test_record_that_tells_next_to_nothing_is_held_against_nothing() -> None:
    bare_record = find((entry_of(),), []).strands[0]
    assert not says_enough(list_factors(bare_record))
    assert says_enough(list_factors(strand()))


def test_tolerances_are_the_librarys_own() -> None:
    one, two = strand(temperature_c="45"), strand(temperature_c="47")
    tight = Tolerances(temperature_c=1)
    assert tuple(differing(list_factors(one, tight), list_factors(two, tight))) == ("temp",)
