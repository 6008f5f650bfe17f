"""One look against another."""

from __future__ import annotations

from builder.measure.difference import delta_e_2000_of
from builder.measure.grey_scale import grade_a05
from builder.measure.repeats import u_of_change
from builder.records.photo import Lab
from builder.relate.directions import name_direction
from builder.relate.findings import Difference, Look
from builder.relate.lights import note_lights


def compare_looks(first: Look, second: Look) -> Difference:
    """The difference between the followed colours of two looks, earlier first.

    Raises ``ValueError`` for a look without colour, reading or day, which serves no comparison.
    """
    if first.colour is None or second.colour is None:
        raise ValueError("a look without a colour cannot be compared")
    if first.taken is None or second.taken is None:
        raise ValueError("a look without a day cannot be compared")
    u, shared_out = _weigh_noise(first, second)
    return Difference(
        first=first,
        second=second,
        days=(second.taken - first.taken).days,
        de00=de00(first.colour, second.colour),
        u=u,
        shared_out=shared_out,
        grade=float(grade_a05(first.colour, second.colour)),
        direction=name_direction(first.colour, second.colour, u),
        notes=(*_note_setups(first, second), *note_lights(first.observation, second.observation)),
    )


def de00(lab1: Lab, lab2: Lab) -> float:
    """CIEDE2000 of two colours."""
    return delta_e_2000_of(lab1, lab2)


def joint_u(first: Look, second: Look) -> float:
    """Noise floor of the difference between two looks, ΔE00."""
    return _weigh_noise(first, second)[0]


def _weigh_noise(first: Look, second: Look) -> tuple[float, bool]:
    """The noise floor of the difference, and whether what both photographs share was let go."""
    if first.reading is None or second.reading is None:
        raise ValueError("a look without a reading cannot be compared")
    of_first, of_second = first.observation.card, second.observation.card
    middle = first.colour or first.reading.mean
    return u_of_change((first.reading, of_first), (second.reading, of_second), middle)


def _note_setups(first: Look, second: Look) -> tuple[str, ...]:
    one, two = first.observation.file.setup, second.observation.file.setup
    if one == two:
        return ()
    return (f"taken on two set-ups: {one or 'none'}, {two or 'none'}",)
