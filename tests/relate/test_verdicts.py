"""Verdicts. Source of the worked figures: common practice, no source."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.relate.findings import Difference, Verdict
from builder.relate.verdicts import judge_drift, say_verdict
from tests.relate.demo import find_demo, strand_of

THRESHOLD = 2.3
ORDER = [Verdict.HELD, Verdict.CANNOT_TELL, Verdict.MOVED]
de00s = st.floats(0, 60)


def difference(de00: float, u: float, direction: tuple[str, ...] = ()) -> Difference:
    look = strand_of(find_demo(), "SH-001").looks[0]
    return Difference(look, look, 365, de00, u, 3.0, direction)


@pytest.mark.parametrize(
    ("drift", "u", "verdict"),
    [
        (3.1, 2.0, Verdict.MOVED),
        (3.0, 2.0, Verdict.CANNOT_TELL),
        (10.5, 10.0, Verdict.MOVED),
        (10.2, 10.0, Verdict.CANNOT_TELL),
        (2.3, 2.3, Verdict.HELD),
        (2.3, 2.4, Verdict.CANNOT_TELL),
        (2.4, 2.3, Verdict.CANNOT_TELL),
        (2.3, 0.0, Verdict.MOVED),
        (0.0, 0.0, Verdict.HELD),
        (0.0, 10.0, Verdict.CANNOT_TELL),
    ],
)
def test_worked_verdicts(drift: float, u: float, verdict: Verdict) -> None:
    assert judge_drift(drift, u, THRESHOLD) is verdict


@given(de00s, de00s, de00s)
def test_greater_drift_never_sounds_less_moved(one: float, two: float, u: float) -> None:
    less, more = sorted((one, two))
    ranks = [ORDER.index(judge_drift(drift, u, THRESHOLD)) for drift in (less, more)]
    assert ranks[0] <= ranks[1]


@given(de00s, de00s, de00s)
def test_more_noise_never_makes_a_verdict_surer(drift: float, one: float, two: float) -> None:
    less, more = sorted((one, two))
    noisy = judge_drift(drift, more, THRESHOLD)
    if noisy is not Verdict.CANNOT_TELL:
        # At the very threshold a visible change without noise may be called either way.
        assert judge_drift(drift, less, THRESHOLD) in {noisy, Verdict.MOVED}
        assert noisy is Verdict.MOVED or drift <= THRESHOLD


@given(de00s, de00s)
def test_moved_lies_beyond_noise_and_threshold(drift: float, u: float) -> None:
    if judge_drift(drift, u, THRESHOLD) is Verdict.MOVED:
        assert drift > u
        assert drift >= math.hypot(u, THRESHOLD) * (1 - 1e-12)


def test_sentences_tell_days_drift_and_noise() -> None:
    assert say_verdict(difference(1.2, 1.6), THRESHOLD, ()) == (
        "Held for 365 days: any change is below what can be seen (ΔE00 1.2, noise 1.6)."
    )
    assert say_verdict(difference(5.4, 2.0, ("darker", "greyer")), THRESHOLD, ()) == (
        "Moved in 365 days: darker, greyer (ΔE00 5.4, noise 2.0)."
    )
    assert "noise would hide" in say_verdict(difference(2.0, 4.0), THRESHOLD, ())
    assert "not far enough beyond" in say_verdict(difference(2.7, 2.0), THRESHOLD, ())


def test_without_a_check_the_first_thing_missing_is_named() -> None:
    assert say_verdict(None, THRESHOLD, ("no recheck yet",)) == "Cannot tell yet: no recheck yet."
