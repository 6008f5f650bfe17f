from __future__ import annotations

from typing import Any

import pytest

from builder.relate.factors import FACTORS
from builder.relate.wording import say_factor
from tests.relate.demo import entry_of, find


def say(factor: str, **told: Any) -> str:
    return say_factor(find((entry_of(**told),), []).strands[0], factor)


@pytest.mark.parametrize(
    ("factor", "told", "words"),
    [
        ("metal", {"metal": "brass", "alloy": "63/37 brass"}, "brass, 63/37 brass"),
        ("temper", {"temper": "half hard"}, "half hard"),
        ("thickness", {"size_mm": ["100", "150", "0.9"]}, "0.9 mm"),
        ("thickness", {"thickness": "20 SWG"}, "20 SWG"),
        (
            "prep",
            {"prep": ["pickle", {"step": "abrade", "grit": "400"},
                      {"step": "degrease", "with": "pumice"},
                      {"step": "water-break", "result": "pass"}]},
            "pickle; abrade 400 grit; degrease with pumice; water-break pass",
        ),
        (
            "recipe",
            {"ingredients": [{"name": "malt vinegar", "amount": "120 ml", "strength": "5 %"},
                             {"name": "salt", "amount": "15 g", "as_written": "2½ tsp"}]},
            "malt vinegar 120 ml (5 %), salt 15 g",
        ),
        ("recipe", {"ingredients": "none"}, "none"),
        ("temp", {"temperature_c": "45"}, "45 °C"),
        ("temp", {"temperature_c": "113 °F"}, "113 °F"),
        ("humidity", {"humidity_pct": "55"}, "55 %"),
        ("time", {"exposure": "7 d"}, "7 d"),
        ("time", {"exposure": "4 passes", "cycles": "4"}, "4 passes"),
        ("time", {"exposure": "90 s", "cycles": "2"}, "90 s, 2 times"),
        ("dry", {"dry": {"for": "7 d", "how": "on a rack"}}, "7 d, on a rack"),
        ("sealant", {"sealant": "none"}, "none"),
        (
            "sealant",
            {"sealant": {"kind": "shellac", "coats": "2", "how": ["thin"]}},
            "shellac, 2 coats, thin",
        ),
        ("sealant", {"sealant": {"kind": "shellac", "coats": "1"}}, "shellac, 1 coat"),
        ("container", {"container": {"kind": "tub", "litres": "3"}}, "tub, 3 l"),
        ("position", {"position": {"face": "up", "above_mm": "40"}}, "up, 40 mm"),
        ("recipe", {"ingredients": [{"name": "salt", "as_written": "a pinch"}]}, "salt a pinch"),
        ("light", {"storage": {"light": "dark"}}, "dark"),
    ],
)  # fmt: skip
def test_value_is_in_the_makers_words(factor: str, told: dict[str, Any], words: str) -> None:
    assert say(factor, **told) == words


@pytest.mark.parametrize("factor", [f for f in FACTORS if f not in ("metal", "method")])
def test_every_factor_can_be_absent(factor: str) -> None:
    assert say(factor) == "not recorded"


def test_zone_tells_its_own_sealant() -> None:
    zones = [{"name": "left", "sealant": {"kind": "beeswax", "coats": "2"}}]
    assert say("sealant", sealant="shellac", zones=zones) == "beeswax, 2 coats"
