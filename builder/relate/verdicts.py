"""What may be said of a drift: moved, held, or nothing yet."""

from __future__ import annotations

import math

from builder.relate.findings import Difference, Verdict


def judge_drift(drift: float, u: float, threshold: float) -> Verdict:
    """The verdict on a ``drift`` with noise ``u``; all three are ΔE00, from 0.

    *moved* needs the drift beyond the noise, and what is left of it without the noise beyond the
    threshold of what can be seen. *held* needs a drift within the threshold, and noise small enough
    to have shown a visible change. Common practice, no source: noise removed in quadrature.
    """
    if drift > u and math.sqrt(drift**2 - u**2) >= threshold:
        return Verdict.MOVED
    if drift <= threshold and u <= threshold:
        return Verdict.HELD
    return Verdict.CANNOT_TELL


def is_doubtful(difference: Difference) -> bool:
    """Whether one of the two readings is doubtful: no verdict rests on such a one."""
    looks = (difference.first, difference.second)
    return any(look.reading is not None and look.reading.doubts for look in looks)


def judge_difference(latest: Difference | None, threshold: float) -> Verdict:
    """The verdict on the latest drift; none is told without one, or on a doubtful one."""
    if latest is None or is_doubtful(latest):
        return Verdict.CANNOT_TELL
    return judge_drift(latest.de00, latest.u, threshold)


def say_verdict(latest: Difference | None, threshold: float, missing: tuple[str, ...]) -> str:
    """The verdict on the latest drift in one sentence; ``missing`` says why there is none."""
    if latest is None:
        return f"Cannot tell yet: {missing[0] if missing else 'no recheck yet'}."
    if is_doubtful(latest):
        return f"Cannot tell yet, after {say_days(latest.days)}: the readings are doubtful."
    numbers = f"ΔE00 {latest.de00:.1f}, noise {latest.u:.1f}"
    days = say_days(latest.days)
    match judge_drift(latest.de00, latest.u, threshold):
        case Verdict.MOVED:
            way = f": {', '.join(latest.direction)}" if latest.direction else ""
            return f"Moved in {days}{way} ({numbers})."
        case Verdict.HELD:
            return f"Held for {days}: any change is below what can be seen ({numbers})."
        case _ if latest.u > threshold:
            return f"Cannot tell yet, after {days}: noise would hide a visible change ({numbers})."
        case _:
            return f"Cannot tell yet, after {days}: not far enough beyond the noise ({numbers})."


def say_days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
