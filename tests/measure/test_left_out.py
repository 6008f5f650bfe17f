"""The patches of a card packed into a short text."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.left_out import pack_left_out, read_left_out


def test_patches_come_back_to_the_last_bit() -> None:
    labs = np.random.default_rng(1).uniform(-100, 100, (9, 3))
    names = [f"{row}{column}" for row in "ABC" for column in (1, 2, 3)]
    read = read_left_out(pack_left_out(names, labs))
    assert list(read) == names
    assert np.array_equal(np.array(list(read.values())), labs)


def test_no_patches_are_no_text() -> None:
    assert pack_left_out((), np.empty((0, 3))) == ""
    assert read_left_out("") == {}


@pytest.mark.parametrize("text", ["A1 ~~~~~~", "A1 00000", "A1 \N{SNOWMAN}"])
def test_a_broken_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_left_out(text)
