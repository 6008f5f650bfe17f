"""How much of the bare sister's drift a sealant held back, in a number and in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.relate.findings import Difference

#: Drifts whose ways through L*a*b* part by more than this go different ways. Common practice, no
#: source.
OWN_WAY_BEYOND = 60.0  # degrees


@dataclass(frozen=True)
class Held:
    """How much of the bare sister's drift the sealant held back, %; ``at_least`` where the sealed
    drift is lost in noise and only a bound can be given. None with ``words`` saying why."""

    pct: float | None
    at_least: bool
    words: str


def protect(sealed_drift: float, bare_drift: float) -> float:
    """P = 1 − sealed/bare: the part of the bare drift that sealing held back; 1 is all of it.

    Common practice, no source. ``bare_drift`` above 0.
    """
    return 1 - sealed_drift / bare_drift


def say_held(sealed: Difference | None, bare: Difference | None) -> Held:
    """How much was held, told only where the bare sister moved well beyond noise."""
    if sealed is None or bare is None:
        return Held(None, False, "Not yet: no two checks at the same age.")
    if bare.de00 <= 2 * bare.u:
        return Held(
            None,
            False,
            "Cannot tell yet: the bare sister has not moved far enough beyond the noise "
            f"(ΔE00 {bare.de00:.1f}, noise {bare.u:.1f}).",
        )
    if sealed.de00 < sealed.u:
        bound = 100 * protect(sealed.u, bare.de00)
        if bound <= 0:
            return Held(None, False, "Cannot tell yet: noise would hide what the sealant held.")
        # Rounded down: a bound may not be rounded up.
        return Held(bound, True, f"Held, at least {math.floor(bound)} %.")
    held = 100 * protect(sealed.de00, bare.de00)
    if held <= 0:
        return Held(
            held, False, "Not held: the sealed piece moved at least as far as the bare one."
        )
    return Held(held, False, f"Held {held:.0f} %{_say_own_way(sealed, bare)}.")


def angle_between(one: Difference, two: Difference) -> float:
    """The angle between two drifts' ways through L*a*b*, degrees, 0 to 180; 0 for no way at all."""
    a, b = _way(one), _way(two)
    lengths = math.hypot(*a) * math.hypot(*b)
    if lengths == 0:
        return 0.0
    cosine = sum(x * y for x, y in zip(a, b, strict=True)) / lengths
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def _say_own_way(sealed: Difference, bare: Difference) -> str:
    if angle_between(sealed, bare) <= OWN_WAY_BEYOND:
        return ""
    way = f" ({', '.join(sealed.direction)})" if sealed.direction else ""
    return f": protects but goes its own way{way}"


def _way(drift: Difference) -> tuple[float, ...]:
    before, after = drift.first.colour, drift.second.colour
    if before is None or after is None:
        return (0.0, 0.0, 0.0)
    return tuple(y - x for x, y in zip(before, after, strict=True))
