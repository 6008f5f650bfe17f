"""When a change became visible: between which two looks, and no guess beyond the last."""

from __future__ import annotations

from collections.abc import Sequence

from builder.relate.findings import Difference, Verdict, VisibleChange
from builder.relate.verdicts import judge_drift, say_days

DAYS_A_MONTH = 365.25 / 12
_IN_MONTHS_FROM = 60  # days: below, months are too coarse to say


def find_visible_change(drifts: Sequence[Difference], threshold: float) -> VisibleChange:
    """When ``drifts`` (by day) first reached ``threshold``, ΔE00, beyond their noise.

    By a straight line between the look before and the look at which it was reached; the start of
    the watch counts as a look without drift.
    """
    if not drifts:
        return VisibleChange(None, None, None, "No recheck yet.")
    passed = (i for i, drift in enumerate(drifts) if drift.de00 >= max(threshold, drift.u))
    reached = next(passed, None)
    if reached is None:
        return VisibleChange(None, None, None, _say_not_by(drifts[-1], threshold))
    by = drifts[reached]
    t0, d0 = (drifts[reached - 1].days, drifts[reached - 1].de00) if reached else (0, 0.0)
    part = (threshold - d0) / (by.de00 - d0) if by.de00 > d0 else 0.0
    about = t0 + part * (by.days - t0)
    words = (
        f"Between {t0} and {by.days} days, about day {about:.0f}"
        if reached
        else f"Already at the first check, after {say_days(by.days)}"
    )
    sure = any(judge_drift(d.de00, d.u, threshold) is Verdict.MOVED for d in drifts[reached:])
    return VisibleChange(
        t0, by.days, about, f"{words}." if sure else f"{words}, but within the noise so far."
    )


def say_span(days: int) -> str:
    """A time in the unit people would use: "30 days", "12 months"."""
    return say_days(days) if days < _IN_MONTHS_FROM else f"{days / DAYS_A_MONTH:.0f} months"


def _say_not_by(last: Difference, threshold: float) -> str:
    words = f"Not by {say_span(last.days)}"
    return f"{words}, but noise would hide it." if last.u > threshold else f"{words}."
