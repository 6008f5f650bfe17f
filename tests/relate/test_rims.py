from __future__ import annotations

from dataclasses import replace

import pytest

from builder.records.photo import Lab
from builder.relate.rims import compare_rim
from tests.reference import colour
from tests.relate.demo import read

MIDDLE: Lab = (44.0, 14.0, 19.0)
READING = read(MIDDLE, u=2.0)


def test_a_dark_rim_is_told_with_its_difference() -> None:
    """The difference by colour-science, a general-purpose reference library."""
    edge: Lab = (36.0, 14.0, 19.0)
    rim = compare_rim(replace(READING, edge=edge, centre=MIDDLE))
    assert rim is not None
    assert rim.words == "the rim is darker"
    assert rim.de00 == pytest.approx(float(colour.delta_E(MIDDLE, edge, method="CIE 2000")))


def test_the_cards_error_falls_out_within_one_photograph() -> None:
    near = replace(READING, edge=(42.0, 14.0, 19.0), centre=MIDDLE)
    with_card, own = compare_rim(near), compare_rim(replace(near, u_own=0.5))
    assert with_card and own
    assert with_card.direction == ()
    assert with_card.words == "no difference beyond the noise"
    assert own.direction == ("darker",)
    assert (with_card.u, own.u) == (2.0, 0.5)


def test_a_piece_without_outline_or_with_nothing_to_say_has_no_rim() -> None:
    assert compare_rim(READING) is None
    assert compare_rim(replace(READING, edge=MIDDLE)) is None
    outlined = replace(READING, edge=MIDDLE, centre=MIDDLE)
    assert compare_rim(replace(outlined, withheld="glare over half of it")) is None
