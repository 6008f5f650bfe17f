from __future__ import annotations

import datetime as dt

from builder.records.photo import DateFrom, State
from builder.relate.dating import date_photo
from tests.relate.demo import TODAY, entry_of, photo

BEGAN = dt.date(2024, 10, 1)
DAY = dt.date(2024, 10, 8)
ENTRY = entry_of(started="2024-10-01")


def test_camera_and_name_a_day_apart_agree() -> None:
    shot = photo("SH-901", DAY, State.DRY, camera=DAY + dt.timedelta(days=1))
    found = date_photo(shot, ENTRY, BEGAN, TODAY)
    assert (found.taken, found.taken_from) == (DAY + dt.timedelta(days=1), DateFrom.CAMERA)
    assert not found.problems


def test_camera_and_name_further_apart_are_a_problem_and_the_camera_is_used() -> None:
    shot = photo("SH-901", DAY, State.DRY, camera=DAY + dt.timedelta(days=3))
    found = date_photo(shot, ENTRY, BEGAN, TODAY)
    assert found.taken_from is DateFrom.CAMERA
    (problem,) = found.problems
    assert problem.file == shot.file.path
    assert "2024-10-11" in problem.found and "2024-10-08" in problem.found


def test_sidecars_date_for_the_photograph_settles_it() -> None:
    shot = photo("SH-901", DAY, State.DRY, name="a.jpg", camera=dt.date(2024, 11, 1))
    entry = entry_of(photos=[{"file": "a.jpg", "date": "2024-10-08"}])
    found = date_photo(shot, entry, BEGAN, TODAY)
    assert (found.taken, found.taken_from, found.problems) == (DAY, DateFrom.WRITTEN, ())


def test_camera_date_that_cannot_be_true_gives_way_to_one_that_can() -> None:
    shot = photo("SH-901", DAY, State.RECHECK, camera=dt.date(2000, 1, 1))
    found = date_photo(shot, ENTRY, BEGAN, TODAY)
    assert (found.taken, found.taken_from, found.doubt) == (DAY, DateFrom.WRITTEN, "")
    assert len(found.problems) == 1


def test_date_before_the_piece_began_is_a_problem_and_compares_nothing() -> None:
    shot = photo("SH-901", dt.date(2024, 1, 1), State.RECHECK, written=None)
    found = date_photo(shot, ENTRY, BEGAN, TODAY)
    assert found.doubt == "dated before the piece began"
    assert "not before 2024-10-01" in found.problems[0].expected


def test_written_date_before_the_piece_began_is_told_once_where_it_was_read() -> None:
    named = photo("SH-901", dt.date(2024, 1, 1), State.RECHECK)
    noted = photo("SH-901", DAY, State.RECHECK, name="a.jpg")
    entry = entry_of(photos=[{"file": "a.jpg", "date": "2024-01-01"}])
    for found in (date_photo(named, ENTRY, BEGAN, TODAY), date_photo(noted, entry, BEGAN, TODAY)):
        assert found.doubt == "dated before the piece began"
        assert found.problems == ()


def test_bare_metal_may_be_older_than_the_work() -> None:
    for state in (State.BARE, State.CLEANED, None):
        shot = photo("SH-901", dt.date(2024, 9, 30), state)
        assert date_photo(shot, ENTRY, BEGAN, TODAY).doubt == ""


def test_date_in_the_future_is_a_problem_and_compares_nothing() -> None:
    found = date_photo(photo("SH-901", dt.date(2030, 1, 1), State.DRY), ENTRY, BEGAN, TODAY)
    assert found.doubt == "dated in the future"
    assert "not after 2026-06-01" in found.problems[0].expected


def test_name_alone_is_a_written_date() -> None:
    found = date_photo(photo("SH-901", DAY, State.DRY, exif=False), ENTRY, BEGAN, TODAY)
    assert (found.taken, found.taken_from) == (DAY, DateFrom.WRITTEN)


def test_files_own_date_is_told_but_compares_nothing() -> None:
    shot = photo("SH-901", DAY, State.DRY, exif=False, written=None, file_day=DAY)
    found = date_photo(shot, ENTRY, BEGAN, TODAY)
    assert (found.taken, found.taken_from) == (DAY, DateFrom.FILE)
    assert found.doubt


def test_problem_points_at_the_sidecars_line_where_it_speaks_of_the_photograph() -> None:
    shot = photo("SH-901", dt.date(2030, 1, 1), State.DRY, line=17)
    (problem,) = date_photo(shot, ENTRY, BEGAN, TODAY).problems
    assert (problem.file, problem.line) == (ENTRY.file, 17)
