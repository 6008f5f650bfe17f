"""Photographs that are not fit to be read from say so in a sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.measure.fitness import (
    LEAST_PIXELS,
    judge_likeness,
    judge_paper,
    judge_sheet,
    judge_size,
)
from builder.records.photo import Lab, SheetReport

GOOD = SheetReport("A4", 1, 4, 0.2, off_mm=0.02, uneven_pct=12.0, left_pct=0.4, tint=0.5,
                   blur_mm=0.5)  # fmt: skip


def test_nothing_is_said_of_a_flat_evenly_lit_sheet() -> None:
    assert judge_sheet(GOOD) == ()


@pytest.mark.parametrize(
    ("fault", "word"),
    [
        ({"off_mm": 0.8}, "flat"),
        ({"tint": 6.0}, "lamps of two kinds"),
        ({"left_pct": 5.0}, "uneven"),
        ({"uneven_pct": 45.0}, "less light"),
        ({"blur_mm": 2.5}, "blurred"),
    ],
)
def test_each_fault_is_one_sentence_that_says_what_to_do(
    fault: dict[str, float], word: str
) -> None:
    (sentence,) = judge_sheet(replace(GOOD, **fault))
    assert sentence.startswith("Doubtful: ")
    assert word in sentence
    assert sentence.count(". ") == 1 and sentence.endswith(".")


def test_a_piece_too_small_in_the_picture_is_doubtful() -> None:
    assert judge_size(LEAST_PIXELS) == ()
    (sentence,) = judge_size(LEAST_PIXELS - 1)
    assert sentence.startswith("Doubtful: ")


@pytest.mark.parametrize("paper", [(94.0, 1.0, -6.0), (88.0, 0.0, 4.0), (97.0, 0.5, -3.0), None])
def test_nothing_is_said_of_paper_as_it_is_sold(paper: Lab | None) -> None:
    assert judge_paper(paper) == ()


@pytest.mark.parametrize("paper", [(104.0, 0.0, 0.0), (72.0, 0.0, 0.0), (94.0, -3.0, -25.0)])
def test_a_card_by_which_paper_is_what_none_can_be_is_doubtful(paper: Lab) -> None:
    (sentence,) = judge_paper(paper)
    assert sentence.startswith("Doubtful: ")
    assert "shadow" in sentence


def test_a_piece_that_measures_otherwise_than_its_notes_is_doubtful() -> None:
    assert judge_likeness((101.0, 148.0), (150.0, 100.0)) == ()
    assert judge_likeness((40.0, 100.0), None) == ()
    (sentence,) = judge_likeness((40.0, 100.0), (100.0, 150.0))
    assert sentence.startswith("Doubtful: it is outlined as 40 × 100 mm")
