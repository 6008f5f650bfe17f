"""Spread of repeats."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from builder.relate.findings import Findings, Repeats
from builder.relate.repeats import MEAN_OF_NOISE, SINGLE, say_spread, take_noise_out
from builder.relate.strands import name_strand
from tests.relate.demo import entry_of, find, find_demo

#: Mean of a million lengths: its own chance is a thousandth of the length, and this is five of it.
DRAWN = 0.005


@cache
def demo() -> Findings:
    return find_demo()


def repeats_of(piece: str) -> Repeats:
    return next(
        one
        for one in demo().repeats
        if any(strand.entry.piece.piece == piece for strand in one.strands)
    )


def test_the_trio_is_as_far_apart_as_its_table_says() -> None:
    # Source: the invented demo, tests/data/demo_pieces.csv, fresh colours of the three.
    trio = repeats_of("SH-002")
    assert [name_strand(strand) for strand in trio.strands] == ["SH-002", "SH-006", "SH-007"]
    assert trio.apart == pytest.approx(2.65, abs=0.005)
    assert trio.from_mean == pytest.approx(1.46, abs=0.005)
    assert trio.words == "repeats closely"
    assert trio.noise == pytest.approx(2.0 * MEAN_OF_NOISE)
    assert trio.spread == pytest.approx(math.sqrt(2.6519**2 - 1.2765**2), abs=0.001)


def test_noise_alone_has_the_mean_length_that_is_taken_out() -> None:
    lengths = np.linalg.norm(np.random.default_rng(7).normal(size=(1_000_000, 3)), axis=1)
    u = np.quantile(lengths, 0.90)
    assert lengths.mean() / u == pytest.approx(MEAN_OF_NOISE, rel=DRAWN)


def test_what_pieces_and_camera_do_comes_apart_again() -> None:
    rng = np.random.default_rng(8)
    pieces, camera = rng.normal(0, 2.0, (1_000_000, 3)), rng.normal(0, 1.0, (1_000_000, 3))
    apart = float(np.linalg.norm(pieces + camera, axis=1).mean())
    u = float(np.quantile(np.linalg.norm(camera, axis=1), 0.90))
    noise, spread = take_noise_out(apart, u)
    assert noise == pytest.approx(np.linalg.norm(camera, axis=1).mean(), rel=DRAWN)
    assert spread == pytest.approx(np.linalg.norm(pieces, axis=1).mean(), rel=DRAWN)


def test_nothing_is_left_of_what_noise_explains() -> None:
    assert take_noise_out(1.0, 2.0)[1] == 0.0


@pytest.mark.parametrize(
    ("spread", "noise", "words"),
    [
        (2.99, 1.0, "repeats closely"),
        (3.0, 1.0, "repeats recognisably"),
        (6.0, 1.0, "repeats recognisably"),
        (6.01, 5.0, "repeats only in kind"),
        (0.0, 3.5, "cannot tell yet: readings too noisy"),
    ],
)
def test_words_of_a_spread(spread: float, noise: float, words: str) -> None:
    assert say_spread(spread, noise) == words


def test_a_success_made_once_is_said_to_be_alone() -> None:
    single = next(one for one in demo().singles if name_strand(one.strand) == "SH-012")
    assert single.words == SINGLE
    repeated = {id(strand) for one in demo().repeats for strand in one.strands}
    assert not [one for one in demo().singles if id(one.strand) in repeated]


def test_a_starred_look_made_once_is_said_to_be_alone_whatever_came_of_it() -> None:
    told = {"temperature_c": "45", "outcome": "failure"}
    starred = entry_of(**told, exposure="9 s", starred="yes", piece="SH-901")
    plain = entry_of(**told, exposure="5 s", starred="no", piece="SH-902")
    bare = entry_of(starred="yes", piece="SH-903")
    found = find((starred, plain, bare), []).singles
    assert [one.strand.entry.piece.piece for one in found] == ["SH-901", "SH-903"]
    assert "tells too little" in found[1].words


def test_repeats_without_photographs_are_named_and_not_measured() -> None:
    told = {"temperature_c": "45"}
    (one,) = find((entry_of(**told, piece="A-1"), entry_of(**told, piece="A-2")), []).repeats
    assert (one.read, one.apart, one.spread) == (0, None, None)
    assert "humidity not recorded on either" in one.unrecorded
