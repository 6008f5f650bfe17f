from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.photo import Lab, Observation, State
from builder.records.piece import Entry
from builder.relate.findings import Difference, Findings, Nearer, Verdict
from builder.relate.nearness import call_nearer
from builder.relate.protection import angle_between, protect, say_held
from builder.relate.sisters import find_same_age
from tests.relate.demo import entry_of, find, find_demo, photo, read, strand_of

START = dt.date(2024, 10, 1)
RECIPE = {
    "started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "temperature_c": "45",
}  # fmt: skip
WAX = {"kind": "beeswax", "date": "2024-10-04"}
LOOK = strand_of(find_demo(), "SH-001").looks[0]


def bare(piece: str, **told: Any) -> Entry:
    return entry_of(**{**RECIPE, "piece": piece, "sealant": "none", **told})


def sealed(piece: str, **told: Any) -> Entry:
    return entry_of(**{**RECIPE, "piece": piece, "sealant": WAX, **told})


def shots(piece: str, *looks: tuple[int, State, Lab], u: float = 0.5) -> list[Observation]:
    return [
        photo(piece, START + dt.timedelta(days=days), state, (read(lab, u),))
        for days, state, lab in looks
    ]


def sisters_of(*entries: Entry, photos: list[Observation] | None = None) -> Findings:
    return find(entries, photos or [])


def difference(de00: float, u: float, days: int = 365) -> Difference:
    return Difference(LOOK, LOOK, days, de00, u, 5.0, ())


def test_named_sister_goes_before_any_other() -> None:
    findings = sisters_of(bare("A"), bare("B", temperature_c="80"), sealed("C", sister="B"))
    (found,) = findings.sisters
    assert (found.bare.entry.piece.piece, found.why) == ("B", "named in the sidecar")
    assert found.also_differs == ("temp",)


@pytest.mark.parametrize(
    ("sister", "words"), [("Z", "is not in the library"), ("D", "is not a bare piece")]
)
def test_named_sister_that_will_not_do_is_a_problem(sister: str, words: str) -> None:
    findings = sisters_of(bare("A"), sealed("C", sister=sister), sealed("D", sister="A"))
    assert [s.sealed.entry.piece.piece for s in findings.sisters] == ["D"]
    assert words in findings.problems[0].found
    assert findings.problems[0].file == "samples/C/sample.yaml"


def test_bare_zone_of_the_same_plate_goes_before_another_plate() -> None:
    zones = [{"name": "left", "sealant": WAX}, {"name": "right", "sealant": "none"}]
    plate = entry_of(**RECIPE, piece="B", zones=zones)
    (found,) = sisters_of(bare("A"), plate).sisters
    assert (found.bare.entry.piece.piece, found.bare.zone, found.why) == (
        "B",
        "right",
        "same plate",
    )


def test_sister_may_be_a_zone_by_name() -> None:
    zones = [{"name": "left", "sealant": WAX}, {"name": "right", "sealant": "none"}]
    findings = sisters_of(entry_of(**RECIPE, piece="B", zones=zones), sealed("C", sister="B/right"))
    found = next(s for s in findings.sisters if s.sealed.entry.piece.piece == "C")
    assert found.bare.zone == "right"


def test_nearest_day_then_number_decides_between_likes() -> None:
    later = {"started": "2024-11-01"}
    findings = sisters_of(bare("A", **later), bare("B"), bare("C"), sealed("D"))
    assert findings.sisters[0].bare.entry.piece.piece == "B"


def test_like_that_was_photographed_goes_before_one_that_was_not() -> None:
    entries = (bare("A"), bare("B", started="2024-10-20"), sealed("C"))
    (found,) = find(
        entries, [photo("B", dt.date(2024, 10, 22), State.DRY, (read((1, 2, 3)),))]
    ).sisters
    assert found.bare.entry.piece.piece == "B"


@pytest.mark.parametrize(
    "other",
    [
        bare("A", temperature_c="80"),
        bare("A", metal="brass"),
        entry_of(**RECIPE, piece="A", sealant="finish is the sealant"),
        entry_of(**RECIPE, piece="A"),
        sealed("A", sealant="shellac"),
    ],
    ids=["hotter", "brass", "its own sealant", "sealing not written", "sealed"],
)
def test_these_are_no_bare_sisters(other: Entry) -> None:
    assert not [s for s in sisters_of(other, sealed("C")).sisters if s.bare.entry is other]


def test_each_sealed_strand_has_one_sister() -> None:
    findings = sisters_of(bare("A"), bare("B"), sealed("C"), sealed("D"))
    assert [s.sealed.entry.piece.piece for s in findings.sisters] == ["C", "D"]


def test_sisters_are_compared_at_the_same_age() -> None:
    s = [difference(1, 1, days) for days in (30, 91, 365)]
    b = [difference(1, 1, days) for days in (28, 100, 200)]
    one, two = find_same_age(s, b)
    assert one and two
    assert (one.days, two.days) == (91, 100)


def test_ages_a_fifth_apart_are_the_same_and_no_more() -> None:
    assert find_same_age([difference(1, 1, 80)], [difference(1, 1, 100)]) != (None, None)
    assert find_same_age([difference(1, 1, 79)], [difference(1, 1, 100)]) == (None, None)


def test_held_is_told_only_where_the_bare_one_moved_twice_the_noise() -> None:
    assert say_held(difference(1.0, 2.0), difference(4.0, 2.0)).pct is None
    assert say_held(difference(2.5, 2.0), difference(4.1, 2.0)).pct is not None


def test_bound_is_rounded_down() -> None:
    held = say_held(difference(0.5, 2.0), difference(5.0, 2.0))
    assert (held.words, held.at_least) == ("Held, at least 60 %.", True)
    assert say_held(difference(0.5, 2.0), difference(5.38, 2.0)).words == "Held, at least 62 %."


def test_sealed_one_that_moved_further_held_nothing() -> None:
    held = say_held(difference(9.0, 1.0), difference(5.0, 1.0))
    assert held.pct is not None and held.pct < 0
    assert held.words.startswith("Not held")


def test_without_two_checks_of_one_age_nothing_is_told() -> None:
    assert say_held(None, None).pct is None


@given(st.floats(0, 60), st.floats(0, 60), st.floats(0.1, 60))
def test_more_drift_of_the_sealed_one_is_less_protection(a: float, b: float, bare: float) -> None:
    less, more = sorted((a, b))
    assert protect(less, bare) >= protect(more, bare)
    assert protect(bare, bare) == 0


def test_sealed_one_that_goes_another_way_is_told_so() -> None:
    entries = (bare("A"), sealed("C"))
    photos = [
        *shots("A", (2, State.DRY, (50, 10, 20)), (400, State.RECHECK, (30, 10, 20))),
        *shots(
            "C",
            (2, State.BEFORE_SEAL, (50, 10, 20)),
            (6, State.AFTER_SEAL, (50, 10, 20)),
            (400, State.RECHECK, (50, 10, 34)),
        ),
    ]
    (found,) = find(entries, photos).sisters
    assert found.sealed.verdict is Verdict.MOVED
    assert "protects but goes its own way (yellower" in found.held_words


def test_angle_is_between_the_two_ways() -> None:
    photos = shots("A", (2, State.DRY, (50, 0, 0)), (30, State.RECHECK, (60, 0, 0)),
                   (60, State.RECHECK, (50, 8, 0)))  # fmt: skip
    up, side = strand_of(find((bare("A"),), photos), "A").drifts
    assert angle_between(up, side) == pytest.approx(90)
    assert angle_between(up, up) == pytest.approx(0, abs=1e-4)


@pytest.mark.parametrize(
    ("to_sealed", "to_bare", "nearer"),
    [(3.0, 5.1, Nearer.SEALED), (5.1, 3.0, Nearer.BARE), (3.0, 5.0, Nearer.TOO_CLOSE)],
)
def test_nearer_is_called_only_beyond_the_noise(
    to_sealed: float, to_bare: float, nearer: Nearer
) -> None:
    assert call_nearer(to_sealed, to_bare, 2.0) is nearer


def test_without_a_look_before_sealing_nearer_cannot_be_told() -> None:
    photos = [
        *shots("A", (2, State.DRY, (50, 10, 20)), (400, State.RECHECK, (30, 10, 20))),
        *shots("C", (6, State.AFTER_SEAL, (50, 10, 20)), (400, State.RECHECK, (50, 10, 21))),
    ]
    (found,) = find((bare("A"), sealed("C")), photos).sisters
    assert (found.nearer, found.to_sealed, found.seal_cost) == (None, None, None)
    assert found.held_pct is not None
    assert found.nearer_words.startswith("Cannot tell yet")
