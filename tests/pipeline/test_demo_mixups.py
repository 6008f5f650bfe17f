"""Mix-ups among the demo's photographs as they were read: what is planted is found, no more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from builder.errors import Problem
from builder.look.opening import open_original
from builder.look.thumbnails import shrink
from builder.measure.thumbnails import pack_thumbnail
from builder.measure.turning import Way, find_way, read_pattern
from builder.records.photo import Exif, Observation, State
from builder.records.settings import Limits
from builder.relate.copies import find_copies_of
from builder.relate.find import find_findings
from builder.relate.findings import Findings
from builder.relate.memory import Memory
from tests.benchmarks.copies import copies_of
from tests.pipeline.demo_library import ROOT, TODAY, gathered_demo, texts_of_demo
from tests.studio import faults

WRONG = "samples/SH-014/SH-012_2024-11-05_recheck_front.jpg"
DUPLICATE = f"samples/{faults.DUPLICATE[0]}/{faults.DUPLICATE[2]}"
SAYINGS = ("the same picture", "its colour", "its pattern", "lies ", "is mirrored", "looks like")
#: One pair of 165 does not tell: a coat of limewash came between.
LEAST_FOUND = 0.98


def findings() -> Findings:
    return gathered_demo().findings


def mixups(found: Findings) -> list[Problem]:
    return [problem for problem in found.problems if problem.found.startswith(SAYINGS)]


@cache
def without_names() -> tuple[Observation, ...]:
    """The demo's photographs; the one in the wrong folder bears no name or label that says so."""
    return tuple(
        replace(
            seen,
            file=replace(seen.file, named_piece=""),
            picture=replace(seen.picture, labels=()),
        )
        if seen.file.path == WRONG
        else seen
        for seen in findings().observations
    )


def test_nothing_but_the_planted_duplicate_is_told() -> None:
    assert [problem.file for problem in mixups(findings())] == [DUPLICATE]


@pytest.mark.parametrize("in_squares", [True, False])
def test_the_one_in_the_wrong_folder_is_found_by_its_colour_alone(in_squares: bool) -> None:
    seen = [
        one if in_squares else replace(one, picture=replace(one.picture, grid=None))
        for one in without_names()
    ]
    found = find_findings(findings().library, seen, TODAY, Memory(away=texts_of_demo()))
    told = {problem.file: problem.found for problem in mixups(found)}
    assert told.keys() == {DUPLICATE, WRONG}
    what = "colour and pattern are" if in_squares else "colour is"
    assert told[WRONG].startswith(f"its {what} SH-012’s (ΔE00 ")


@pytest.mark.parametrize("at", [3, 60, 121, 200])
def test_copies_of_a_photograph_are_known_from_among_all(at: int) -> None:
    found = findings().observations
    original = found[at]
    opened = open_original(ROOT, original.file.path, Limits())
    for name, rgb in copies_of(opened.rgb):
        picture = replace(
            original.picture, sha256="0" * 64, exif=Exif(), thumbnail=pack_thumbnail(shrink(rgb))
        )
        copy = Observation(replace(original.file, path=f"inbox/{name}"), picture)
        assert find_copies_of(copy, found, texts_of_demo()) == (original,), name


def following() -> Iterator[tuple[Observation, Observation]]:
    """Photographs of coloured faces that follow each other, of one piece."""
    strands = {strand.entry.piece.piece: strand for strand in findings().strands}
    for strand in strands.values():
        seen = [
            look.observation
            for look in strand.looks
            if look.observation.picture.grid is not None
            and look.observation.file.side == "front"
            and look.observation.file.path not in (DUPLICATE, WRONG)
            and look.state is not State.BARE
        ]
        yield from pairwise(seen)


def test_a_turned_piece_is_found_nearly_always() -> None:
    upright, half = [], []
    memory = Memory(away=texts_of_demo())
    for first, second in following():
        assert first.picture.grid and second.picture.grid
        one, two = (
            read_pattern(memory.fetch_grid(grid))
            for grid in (first.picture.grid, second.picture.grid)
        )
        upright.append(find_way(one, two) is Way.UPRIGHT)
        half.append(find_way(one, np.rot90(two, 2)) is Way.HALF)
    assert len(half) > 150
    assert np.mean(upright) > LEAST_FOUND
    assert np.mean(half) > LEAST_FOUND
