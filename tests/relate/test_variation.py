"""How far a finish may come out from the piece that is shown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.relate.variation import draw_bands, find_variations, shift_lightness
from tests.publish.fixture import U, findings
from tests.reference import colour

TOLERANCE = 1e-4  # ΔE00; the search halves 100 forty times


@given(
    st.tuples(st.floats(25, 75), st.floats(-60, 60), st.floats(-60, 60)),
    st.floats(-12, 12).filter(lambda by: abs(by) > 0.01),
)
def test_a_colour_is_shifted_in_lightness_by_so_much(
    lab: tuple[float, float, float], by: float
) -> None:
    """Against colour-science's own CIEDE2000 (CIE 142-2001)."""
    shifted = shift_lightness(lab, by)
    assert shifted[1:] == lab[1:]
    assert (shifted[0] > lab[0]) is (by > 0)
    apart = float(colour.delta_E(np.array(lab), np.array(shifted), method="CIE 2000"))
    assert apart == pytest.approx(abs(by), abs=TOLERANCE)


def test_no_colour_is_lighter_than_white_or_darker_than_black() -> None:
    assert shift_lightness((98.0, 0.0, 0.0), 10) == (100.0, 0.0, 0.0)
    assert shift_lightness((2.0, 0.0, 0.0), -10) == (0.0, 0.0, 0.0)


def test_a_finish_made_again_varies_as_its_own_repeats_do() -> None:
    found = findings(numbers=("SH-002", "SH-006", "SH-012"))
    (repeats,) = found.repeats
    varied = {
        one.strand.entry.piece.piece: one for one in find_variations(found.strands, found.repeats)
    }
    assert (varied["SH-002"].made, varied["SH-002"].own) == (2, True)
    assert varied["SH-002"].apart == repeats.farthest
    assert varied["SH-002"].words == repeats.words


def test_one_made_once_varies_as_far_as_any_repeats_do() -> None:
    found = findings(numbers=("SH-002", "SH-006", "SH-012"))
    once = find_variations(found.strands, found.repeats)[-1]
    assert (once.made, once.own) == (1, False)
    assert once.apart == found.repeats[0].farthest


def test_without_any_repeats_nothing_is_known() -> None:
    found = findings(numbers=("SH-012",))
    (alone,) = find_variations(found.strands, ())
    assert (alone.made, alone.apart) == (1, None)


def test_a_band_is_never_narrower_than_its_reading_is_uncertain() -> None:
    (strand,) = findings(numbers=("SH-012",)).strands
    narrow, wide = draw_bands(strand, None), draw_bands(strand, 6.0)
    assert [band.share for band in narrow] == [band.share for band in wide]
    assert narrow == draw_bands(strand, U / 2)
    for less, more in zip(narrow, wide, strict=True):
        assert more.lighter[0] > less.lighter[0] > less.lab[0] > less.darker[0] > more.darker[0]


def test_no_range_is_drawn_from_a_reading_that_is_withheld() -> None:
    (strand,) = findings(numbers=("SH-012",)).strands
    look = strand.baseline
    assert look is not None and look.reading is not None
    held = replace(look, reading=replace(look.reading, withheld="no reference"))
    assert draw_bands(replace(strand, baseline=held), 3.0) == ()
