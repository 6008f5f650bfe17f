from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from builder.records.photo import CardReport, Lab, Observation, State
from builder.relate.differences import compare_looks
from builder.relate.findings import Look
from builder.relate.lights import note_lights
from tests.relate.demo import entry_of, find, photo, read, strand_of


def under(light: Lab | None, day: int = 1, state: State = State.DRY) -> Observation:
    seen = photo("SH-901", dt.date(2024, 10, day), state, (read((40.0, 10.0, 10.0)),))
    return replace(seen, card=CardReport("grey steps", 0.5, light=light))


@pytest.mark.parametrize(
    ("one", "two", "word"),
    [
        ((50.0, 1.0, 0.0), (50.0, 4.0, 12.0), "warmer"),
        ((50.0, 4.0, 12.0), (50.0, 1.0, 0.0), "colder"),
    ],
)
def test_greys_far_apart_are_unlike_light(one: Lab, two: Lab, word: str) -> None:
    (said,) = note_lights(under(one), under(two))
    assert word in said


@pytest.mark.parametrize("two", [(40.0, 2.0, 3.0), (70.0, -1.0, -2.0), None])
def test_more_light_or_a_shade_of_another_is_not(two: Lab | None) -> None:
    assert note_lights(under((50.0, 1.0, 0.0)), under(two)) == ()


def test_the_note_stands_with_the_difference() -> None:
    shots = [
        under((50.0, 0.0, 0.0), 3, State.DRY),
        under((50.0, 5.0, 20.0), 20, State.RECHECK),
    ]
    told = {"started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}
    strand = strand_of(find((entry_of(**told),), shots), "SH-901")
    looks: tuple[Look, ...] = strand.looks
    assert any("unlike light" in note for note in compare_looks(*looks).notes)
    assert any("unlike light" in note for note in strand.drifts[-1].notes)
