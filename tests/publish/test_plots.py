from __future__ import annotations

from dataclasses import replace

import pytest

from builder.publish.plots import Plot, plot_drift
from tests.publish.fixture import findings

FOUND = findings(numbers=("SH-012", "SH-014"))
BARE, SEALED = FOUND.strands
THRESHOLD = 2.3
HALF_PIXEL = 0.1  # places are rounded to a tenth of a pixel


def wide() -> Plot:
    drawn = plot_drift(SEALED, THRESHOLD, BARE, "SH-014", "SH-012")
    assert drawn is not None
    return dict(drawn.drawings)["wide"]


def test_days_are_spaced_as_they_really_passed() -> None:
    plot = wide()
    line = plot.lines[0]
    days = [0, *(drift.days for drift in SEALED.drifts)]
    longest = max(d.days for d in (*SEALED.drifts, *BARE.drifts))
    per_day = (plot.right - plot.left) / longest
    for mark, day in zip(line.marks, days, strict=True):
        assert mark.x == pytest.approx(plot.left + per_day * day, abs=HALF_PIXEL)


def test_the_watch_starts_at_nothing() -> None:
    plot = wide()
    assert all(line.marks[0].y == plot.bottom for line in plot.lines)


def test_a_larger_drift_stands_higher() -> None:
    plot = wide()
    piece, sister = (line.marks[-1].y for line in plot.lines)
    assert SEALED.drifts[-1].de00 < BARE.drifts[-1].de00
    assert piece > sister


def test_everything_drawn_lies_inside_the_axes() -> None:
    drawn = plot_drift(SEALED, THRESHOLD, BARE, "a", "b")
    assert drawn is not None
    for _, plot in drawn.drawings:
        for line in plot.lines:
            assert all(plot.left <= m.x <= plot.right for m in line.marks)
            assert all(plot.top <= m.y <= plot.bottom for m in line.marks)
        assert plot.top <= plot.threshold <= plot.bottom


def test_the_last_day_is_always_named() -> None:
    plot = wide()
    assert plot.across[-1].label == str(SEALED.drifts[-1].days)


def test_labels_at_the_ends_keep_apart() -> None:
    twin = plot_drift(SEALED, THRESHOLD, SEALED, "a", "b")
    assert twin is not None
    for _, plot in twin.drawings:
        first, second = (line.end_y for line in plot.lines)
        assert abs(first - second) >= 15 - HALF_PIXEL


def test_without_a_drift_there_is_no_plot() -> None:
    assert plot_drift(replace(SEALED, drifts=()), THRESHOLD) is None


def test_every_mark_says_its_figure_its_noise_and_its_day() -> None:
    said = wide().lines[0].marks[-1].says
    assert "ΔE00 1.3" in said
    assert "noise 0.9" in said
    assert "364 days" in said
