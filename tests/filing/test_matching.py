"""Which piece a picture shows by label, name, folder, command; what is not clear is not guessed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.filing.matching import Because, match_piece
from builder.read.photo_names import learn_numbering
from builder.records.photo import Exif, Picture

NUMBERING = learn_numbering(["SH-012", "SH-014", "bell 3"])


def picture(*labels: str) -> Picture:
    return Picture("x.jpg", "0" * 64, 1, "JPEG", 9, 9, Exif(), "sRGB", (), dt.date(2025, 1, 1), labels=labels)  # fmt: skip  # noqa: E501


@pytest.mark.parametrize(
    ("source", "labels", "told", "piece", "because"),
    [
        ("IMG_1.jpg", ["SH-014"], "", "SH-014", Because.LABEL),
        ("IMG_1.jpg", ["sh-014"], "", "SH-014", Because.LABEL),
        ("SH-014_wet.jpg", ["SH-014"], "", "SH-014", Because.LABEL),
        ("sh-012_2025-01-14.jpg", [], "", "SH-012", Because.NAME),
        ("bell 3_recheck.jpg", [], "", "bell 3", Because.NAME),
        ("SH-012/IMG_1.jpg", [], "", "SH-012", Because.FOLDER),
        ("DCIM/IMG_1.jpg", [], "SH-012", "SH-012", Because.ASKED),
        ("IMG_1.jpg", ["SH-012"], "sh-012", "SH-012", Because.ASKED),
    ],
)
def test_a_piece_is_told_by_label_then_name_then_folder(
    source: str, labels: list[str], told: str, piece: str, because: Because
) -> None:
    match = match_piece(Path(source), picture(*labels), told, NUMBERING, None)
    assert (match.piece, match.because, match.problem) == (piece, because, None)


@pytest.mark.parametrize(
    ("source", "labels", "told", "words"),
    [
        ("SH-012_a.jpg", ["SH-014"], "", ["says “SH-014”", "its name or folder says “SH-012”"]),
        ("SH-012/IMG_1.jpg", ["SH-014"], "", ["“SH-014”", "“SH-012”"]),
        ("IMG_1.jpg", ["SH-012"], "SH-014", ["“SH-012”", "you say “SH-014”"]),
        ("SH-012_a.jpg", [], "SH-014", ["“SH-012”", "you say “SH-014”"]),
        ("IMG_1.jpg", ["SH-012", "SH-014"], "", ["“SH-012”", "“SH-014”"]),
        ("IMG_1.jpg", [], "", ["nothing tells which piece"]),
        ("IMG_1.jpg", ["SH-041"], "", ["no piece “SH-041”"]),
        ("IMG_1.jpg", [], "SH-99", ["no piece “SH-99”"]),
    ],
)
def test_what_is_not_clear_is_left_and_both_candidates_are_named(
    source: str, labels: list[str], told: str, words: list[str]
) -> None:
    match = match_piece(Path(source), picture(*labels), told, NUMBERING, None)
    assert match.piece == ""
    assert match.problem is not None
    assert all(word in match.problem.found for word in words), match.problem.found


def test_one_who_can_be_asked_decides() -> None:
    asked: list[tuple[str, tuple[str, ...]]] = []

    def ask(question: str, candidates: object) -> str:
        asked.append((question, tuple(candidates)))  # type: ignore[arg-type]
        return "sh-012"

    match = match_piece(Path("SH-012_a.jpg"), picture("SH-014"), "", NUMBERING, ask)
    assert (match.piece, match.because) == ("SH-012", Because.ASKED)
    assert asked[0][1] == ("SH-014", "SH-012")
    left = match_piece(Path("a.jpg"), picture(), "", NUMBERING, lambda question, candidates: "")
    assert left.piece == ""
    assert left.problem is not None
