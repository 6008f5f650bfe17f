from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from builder.records.photo import Observation, State
from builder.relate.filing import file_photos, find_strays
from tests.relate.demo import entry_of, find, photo, read, strand_of

DAY = dt.date(2024, 10, 8)


def shot(piece: str = "SH-901", name: str = "", **told: Any) -> Observation:
    return photo(piece, told.pop("day", DAY), State.DRY, (read((33.0, 10.0, 12.0)),), name, **told)


def test_later_path_of_two_same_pictures_is_left_out_and_both_are_named() -> None:
    one, two = shot(name="a.jpg", sha256="f" * 64), shot(name="b.jpg", sha256="f" * 64)
    strays, (problem,) = find_strays([two, one])
    assert strays == {two.file.path: f"the same picture as {one.file.path}"}
    assert problem.file == two.file.path
    assert one.file.path in problem.found


def test_copy_in_the_wrong_folder_never_stands_for_the_right_one() -> None:
    wrong = shot("SH-014", "a.jpg", sha256="f" * 64, named_piece="SH-901")
    right = shot("SH-901", "a.jpg", sha256="f" * 64)
    strays, _ = find_strays([wrong, right])
    assert strays == {wrong.file.path: "file name says SH-901"}


def labelled(*labels: str, piece: str = "SH-901") -> Observation:
    observation = shot(piece)
    return replace(observation, picture=replace(observation.picture, labels=labels))


def test_a_label_that_names_another_piece_is_told_and_the_picture_counts_for_nothing() -> None:
    observation = labelled("SH-012")
    strays, (problem,) = find_strays([observation])
    assert strays == {observation.file.path: "its label says SH-012"}
    assert "SH-012" in problem.found and "SH-901" in problem.found
    assert "folder of SH-012" in problem.remedy


def test_the_piece_s_own_label_however_written_is_no_stray() -> None:
    assert find_strays([labelled("sh-901")]) == ({}, ())
    assert find_strays([labelled()]) == ({}, ())
    assert find_strays([labelled("SH-012", "SH-901")]) == ({}, ())


def test_picture_of_another_piece_shows_no_figure() -> None:
    findings = find((entry_of(),), [shot(named_piece="SH-012")])
    (look,) = strand_of(findings, "SH-901").looks
    assert (look.reading, look.colour) == (None, None)
    assert look.excluded == "file name says SH-012"


def test_photograph_goes_to_the_attempt_that_was_under_way() -> None:
    first = entry_of(started="2024-10-01")
    second = entry_of(started="2025-02-01", attempt="2")
    early, late = shot(name="a.jpg"), shot(name="b.jpg", day=dt.date(2025, 2, 3))
    filed = file_photos((first, second), [late, early])
    assert filed == {("SH-901", 1): (early,), ("SH-901", 2): (late,)}


def test_attempt_that_is_written_goes_before_the_date() -> None:
    first = entry_of(started="2024-10-01", photos=[{"file": "b.jpg", "attempt": "1"}])
    second = entry_of(started="2025-02-01", attempt="2")
    told = shot(name="b.jpg", day=dt.date(2025, 2, 3))
    other = shot(name="c.jpg", attempt=2)
    filed = file_photos((first, second), [told, other])
    assert filed == {("SH-901", 1): (told,), ("SH-901", 2): (other,)}


def test_attempts_have_stories_of_their_own() -> None:
    first = entry_of(started="2024-10-01", exposure="45 s", dry={"for": "1 d"}, sealant="none")
    second = entry_of(
        started="2025-02-01", exposure="90 s", dry={"for": "1 d"}, sealant="none", attempt="2"
    )
    shots = [shot(name="a.jpg"), shot(name="b.jpg", day=dt.date(2025, 2, 3))]
    findings = find((first, second), shots)
    assert [len(s.looks) for s in findings.strands_of("SH-901")] == [1, 1]
    assert [s.baseline is not None for s in findings.strands] == [True, True]
