"""A small fixed part of the benchmark, read as the whole of it is."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from tests.benchmarks.cases import GROUP, draw_group
from tests.benchmarks.reading import photograph
from tests.benchmarks.report import CARDS, write_report
from tests.benchmarks.runs import Found, Pair, Row, note, run_group
from tests.benchmarks.tables import drawn
from tests.benchmarks.things import Kind

#: Targets, greys, nine patches and white paper alone: six groups of four photographs.
GROUPS = (0, 1, 2, 3, 4, 5)
#: Of some twenty readings, nine in ten of which ought to lie within u, so many do at least, but for
#: once in a thousand: the 0.001 quantile of a binomial distribution of 20 and 0.9 is 13.
LEAST_WITHIN_U = 0.65
#: With the target, half of the readings are nearer than this: what a just visible change is.
MEDIAN_OF_TARGET = 2.3
#: Of a handful of unchanged pairs, one in twenty of which may be called moved, two hardly ever are.
MOST_MOVED = 1


@cache
def found() -> Found:
    groups = [run_group(number, marked=False) for number in GROUPS]
    return (
        tuple(row for rows, _ in groups for row in rows),
        tuple(pair for _, pairs in groups for pair in pairs),
    )


def carded() -> list[Row]:
    return drawn(r for r in found()[0] if r.kind in set(map(str, CARDS)))


def pairs(which: str) -> list[Pair]:
    return [p for p in found()[1] if p.which == which]


def test_every_sheet_with_its_four_marks_in_the_frame_is_found() -> None:
    rows = found()[0]
    assert len(rows) == GROUP * len(GROUPS)
    assert [r.name for r in rows if r.sheet != "found"] == []


def test_most_true_colours_lie_within_u() -> None:
    assert np.mean([r.error <= r.u for r in carded()]) >= LEAST_WITHIN_U


def test_with_the_target_half_of_the_readings_are_within_a_just_visible_step() -> None:
    errors = [r.error for r in carded() if r.kind == str(Kind.TARGET)]
    assert len(errors) >= GROUP
    assert np.median(errors) <= MEDIAN_OF_TARGET


def test_no_figure_is_drawn_from_white_paper_alone() -> None:
    assert not any(p.kind == str(Kind.SHEET) for p in found()[1])


def test_unchanged_pieces_are_not_called_moved() -> None:
    assert len(pairs("like")) >= len(GROUPS) // 2
    assert sum(p.moved for p in pairs("like")) <= MOST_MOVED


def test_pieces_changed_by_twice_u_are_called_moved() -> None:
    assert len(pairs("changed")) >= len(GROUPS) // 2
    assert sum(not p.moved for p in pairs("changed")) <= MOST_MOVED


def test_the_report_has_no_hole_in_it() -> None:
    page = write_report(found(), GROUP * len(GROUPS))
    assert "nan" not in page
    assert all(f"| {words}" in page for words in ("a target of 24 patches", "six grey steps"))


def test_a_photograph_is_the_same_each_time(tmp_path: Path) -> None:
    group = draw_group(GROUPS[1])
    (tmp_path / "pictures").mkdir()
    name = f"{GROUPS[1]:04d}-A-1"
    case = photograph(name, group.piece, group.stands[0], group.shots[0], tmp_path)
    assert note(case) in found()[0]
