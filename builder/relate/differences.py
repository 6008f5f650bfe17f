"""One look against another."""

from __future__ import annotations

from builder.measure.difference import delta_e_2000
from builder.measure.grey_scale import grade_a05
from builder.measure.noise import u_of_difference
from builder.records.photo import Lab
from builder.relate.directions import name_direction
from builder.relate.findings import Difference, Look


def compare_looks(first: Look, second: Look) -> Difference:
    """The difference between the followed colours of two looks, earlier first.

    Raises ``ValueError`` for a look without colour, reading or day, which serves no comparison.
    """
    if first.colour is None or second.colour is None:
        raise ValueError("a look without a colour cannot be compared")
    if first.taken is None or second.taken is None:
        raise ValueError("a look without a day cannot be compared")
    u = joint_u(first, second)
    return Difference(
        first=first,
        second=second,
        days=(second.taken - first.taken).days,
        de00=de00(first.colour, second.colour),
        u=u,
        grade=float(grade_a05(first.colour, second.colour)),
        direction=name_direction(first.colour, second.colour, u),
        notes=_note_setups(first, second),
    )


def de00(lab1: Lab, lab2: Lab) -> float:
    """CIEDE2000 of two colours."""
    return float(delta_e_2000(lab1, lab2))


def joint_u(first: Look, second: Look) -> float:
    """Noise floor of the difference between two looks, ΔE00."""
    if first.reading is None or second.reading is None:
        raise ValueError("a look without a reading cannot be compared")
    return u_of_difference(first.reading.u, second.reading.u)


def _note_setups(first: Look, second: Look) -> tuple[str, ...]:
    one, two = first.observation.file.setup, second.observation.file.setup
    if one == two:
        return ()
    return (f"taken on two set-ups: {one or 'none'}, {two or 'none'}",)
