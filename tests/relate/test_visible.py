from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.relate.findings import Difference
from builder.relate.visible import find_visible_change, say_span
from tests.relate.demo import find_demo, strand_of

THRESHOLD = 2.3
LOOK = strand_of(find_demo(), "SH-001").looks[0]


def drifts(*pairs: tuple[int, float], u: float = 0.5) -> list[Difference]:
    return [Difference(LOOK, LOOK, days, de00, u, 5.0, ()) for days, de00 in pairs]


def test_crossing_lies_on_the_straight_line_between_two_checks() -> None:
    found = find_visible_change(drifts((10, 1.3), (20, 3.3)), THRESHOLD)
    assert (found.after, found.by) == (10, 20)
    assert found.about == pytest.approx(15)
    assert found.words == "Between 10 and 20 days, about day 15."


def test_change_seen_at_the_first_check_says_so() -> None:
    found = find_visible_change(drifts((7, 4.6)), THRESHOLD)
    assert (found.after, found.by) == (0, 7)
    assert found.about == pytest.approx(3.5)
    assert found.words == "Already at the first check, after 7 days."


def test_no_crossing_is_told_from_the_actual_last_check() -> None:
    found = find_visible_change(drifts((30, 0.4), (213, 1.0)), THRESHOLD)
    assert (found.after, found.by, found.about) == (None, None, None)
    assert found.words == "Not by 7 months."


def test_no_crossing_under_much_noise_claims_nothing() -> None:
    found = find_visible_change(drifts((365, 1.0), u=10.0), THRESHOLD)
    assert found.words == "Not by 12 months, but noise would hide it."


def test_crossing_within_the_noise_is_told_as_such() -> None:
    found = find_visible_change(drifts((30, 1.0), (91, 2.6), u=2.0), THRESHOLD)
    assert found.words.endswith("but within the noise so far.")


def test_no_check_gives_no_time() -> None:
    assert find_visible_change([], THRESHOLD).words == "No recheck yet."


def test_spans_are_told_as_people_would() -> None:
    assert [say_span(days) for days in (1, 30, 91, 365)] == [
        "1 day", "30 days", "3 months", "12 months",
    ]  # fmt: skip


@given(st.lists(st.floats(0, 40), min_size=1, max_size=8))
def test_no_time_is_given_outside_the_checks(values: list[float]) -> None:
    checks = drifts(*((10 * (i + 1), value) for i, value in enumerate(values)))
    found = find_visible_change(checks, THRESHOLD)
    if found.about is None:
        assert max(values) < THRESHOLD
    else:
        assert found.after is not None and found.by is not None
        assert found.after <= found.about <= found.by <= checks[-1].days


def test_a_look_within_its_noise_passes_no_threshold() -> None:
    noisy = drifts((94, 5.0), u=13.0)
    found = find_visible_change([*noisy, *drifts((366, 0.1))], THRESHOLD)
    assert (found.after, found.by, found.about) == (None, None, None)
    assert found.words == "Not by 12 months."
