"""Which way a colour went, in plain words."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_2000, delta_e_2000_of
from builder.records.photo import Lab

#: u holds ninety in a hundred of an error in three directions, that is 2.5003 σ (the 0.90 quantile
#: of χ² with three degrees of freedom is 6.2514); along one of the three, ninety in a hundred stay
#: within 1.6449 σ. So this much of u is the noise of one component.
#: Source of both quantiles: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.
ONE_OF_THREE = 1.6449 / math.sqrt(6.2514)

#: A component smaller than this part of the greatest is left unsaid: it is not where the colour
#: went. Common practice, no source.
MINOR_BELOW = 1 / 3

#: Below this C*ab a hue is noise and has no name. Common practice, no source.
HUE_FROM_CHROMA = 8.0

#: From here on a turn of hue is told by both names, "purple to brown". Common practice, no source.
TURN_TOLD_FROM = 60.0

#: Where each name ends on the hue circle, degrees, D65. Common practice, no source.
_NAMES = (
    (25.0, "red"), (75.0, "orange"), (105.0, "yellow"), (205.0, "green"), (290.0, "blue"),
    (360.0, "purple"),
)  # fmt: skip
_BROWN_UP_TO = 60.0  # L*: orange no lighter than this is called brown


def measure_ways(before: npt.ArrayLike, after: npt.ArrayLike) -> Floats:
    """ΔE00 of L*a*b* (n, 3) and (n, 3), whole and of lightness, chroma and hue alone → (n, 4)."""
    one, two = np.asarray(before, dtype=np.float64), np.asarray(after, dtype=np.float64)
    (L, C, h), (L2, C2, h2) = (_polar(labs) for labs in (one, two))
    # Each component alone, in the measure the noise is given in.
    steps = np.stack([two, _lab(L2, C, h), _lab(L, C2, h), _lab(L, C, h2)], axis=1)
    return delta_e_2000(one[:, None, :], steps)


def name_direction(before: Lab, after: Lab, u: float) -> tuple[str, ...]:
    """Words for the way from ``before`` to ``after`` (L*a*b*), of a difference with noise ``u``.

    Of lightness, chroma and hue each is told only beyond its noise, and only where it is no minor
    part of the whole; () where the whole is within ``u``.
    """
    whole = delta_e_2000_of(before, after)
    if whole <= u:
        return ()
    (C, h), (C2, h2) = ((_chroma(lab), math.atan2(lab[2], lab[1])) for lab in (before, after))
    alone = (
        (after[0], before[1], before[2]),
        (before[0], C2 * math.cos(h), C2 * math.sin(h)),
        (before[0], C * math.cos(h2), C * math.sin(h2)),
    )
    return name_way(before, after, u, (whole, *(delta_e_2000_of(before, lab) for lab in alone)))


def name_way(before: Lab, after: Lab, u: float, way: tuple[float, ...]) -> tuple[str, ...]:
    """As :func:`name_direction`, for a ``way`` measured by :func:`measure_ways`."""
    whole, lightness, chroma, hue = way
    if whole <= u:
        return ()
    C, C2 = _chroma(before), _chroma(after)
    floor = max(ONE_OF_THREE * u, MINOR_BELOW * max(lightness, chroma, hue))
    words: list[str] = []
    if lightness > floor:
        words.append("lighter" if after[0] > before[0] else "darker")
    if min(C, C2) >= HUE_FROM_CHROMA and hue > floor:
        turned = name_hue_step(before, after)
        # A green that fades is no greener for a small turn of its hue.
        if not (chroma > floor and C2 < C and turned == _TOWARDS[name_hue(before)]):
            words.append(turned)
    elif C < HUE_FROM_CHROMA <= C2 and chroma > floor:
        words.append(_TOWARDS[name_hue(after)])  # a colour has come where there was grey
    elif chroma > floor and C2 >= C:
        words.append("stronger in colour")
    if chroma > floor and C2 < C:
        words.append("greyer")
    return tuple(words)


def name_turn(before: Lab, after: Lab) -> str:
    """A great turn of hue by its two names, "brown to green"; "" for a small or nameless one."""
    if min(_chroma(before), _chroma(after)) < HUE_FROM_CHROMA:
        return ""
    if abs(_turn(_hue(before), _hue(after))) < TURN_TOLD_FROM:
        return ""
    first, second = name_hue(before), name_hue(after)
    return f"{first} to {second}" if first != second else ""


def name_hue_step(before: Lab, after: Lab) -> str:
    """The way of a hue, great or small: "brown to green", "redder". Both need a chroma of
    :data:`HUE_FROM_CHROMA`."""
    return name_turn(before, after) or _name_small_turn(before, after)


def name_hue(lab: Lab) -> str:
    """The plain name of a colour's hue; "grey" where there is too little chroma for one."""
    if _chroma(lab) < HUE_FROM_CHROMA:
        return "grey"
    name = next(name for end, name in _NAMES if _hue(lab) <= end)
    return "brown" if name == "orange" and lab[0] <= _BROWN_UP_TO else name


_TOWARDS = {
    "red": "redder", "orange": "browner", "brown": "browner", "yellow": "yellower",
    "green": "greener", "blue": "bluer", "purple": "redder",
}  # fmt: skip


def _name_small_turn(before: Lab, after: Lab) -> str:
    if name_hue(after) == "brown" != name_hue(before):
        return "browner"
    turn = _turn(_hue(before), _hue(after))
    # The axis of L*a*b* that the turn heads for, seen from its middle.
    quarter = int(((_hue(before) + turn / 2) % 360) // 90)
    ahead = ("yellower", "greener", "bluer", "redder")
    return ahead[quarter] if turn > 0 else ahead[quarter - 1]


def _chroma(lab: Lab) -> float:
    return math.hypot(lab[1], lab[2])


def _hue(lab: Lab) -> float:
    return math.degrees(math.atan2(lab[2], lab[1])) % 360


def _turn(h: float, h2: float) -> float:
    """From one hue to the other by the shorter way, degrees in (−180, 180]."""
    return 180 - (180 - (h2 - h)) % 360


def _polar(labs: Floats) -> tuple[Floats, Floats, Floats]:
    return labs[:, 0], np.hypot(labs[:, 1], labs[:, 2]), np.arctan2(labs[:, 2], labs[:, 1])


def _lab(L: Floats, C: Floats, h: Floats) -> Floats:
    return np.stack([L, C * np.cos(h), C * np.sin(h)], axis=-1)
