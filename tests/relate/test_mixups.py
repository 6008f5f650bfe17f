from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from builder.records.photo import Exif, Observation, State
from builder.relate.mixups import doubt_new
from tests.measure.test_thumbnails import picture, tiny
from tests.relate.demo import find, find_demo, photo
from tests.relate.test_copies import CAMERA, shot
from tests.relate.test_strangers import (
    BARE,
    BROWN,
    DEMO,
    WAXED,
    entries,
    readings_of,
    series,
)
from tests.relate.test_turned import draw, squares

DAY = dt.date(2024, 11, 5)


def new_one(piece: str, folder: str = "inbox") -> Observation:
    """A photograph of the piece, not yet filed."""
    at, readings = readings_of(piece, DAY)
    return photo(folder, at, State.RECHECK, readings, "IMG_0012.jpg")


def test_a_photograph_of_the_piece_itself_raises_no_doubt() -> None:
    assert doubt_new(new_one(WAXED), WAXED, DEMO) == ()


def test_another_s_colour_is_doubted_before_it_is_filed() -> None:
    (problem,) = doubt_new(new_one(BARE), WAXED, DEMO)
    assert problem.file == "samples/inbox/IMG_0012.jpg"
    assert "SH-012’s" in problem.found and "SH-014’s" in problem.found


def test_a_label_or_name_that_says_another_is_told() -> None:
    seen = new_one(WAXED)
    labelled = replace(seen, picture=replace(seen.picture, labels=(BARE,)))
    (problem,) = doubt_new(labelled, WAXED, DEMO)
    assert (
        problem.found == "the label in the picture says SH-012, and it lies in the folder of SH-014"
    )


def test_a_file_name_that_says_another_is_told() -> None:
    seen = new_one(WAXED)
    named = replace(seen, file=replace(seen.file, named_piece=BARE))
    (problem,) = doubt_new(named, WAXED, DEMO)
    assert problem.found == "its file name says SH-012, not SH-014"


def test_the_same_bytes_or_the_same_picture_saved_again_are_told_of_the_new_one() -> None:
    filed = [shot(tiny(picture()), "z.jpg", CAMERA, sha256="a" * 64)]
    findings = find(entries("SH-901", "SH-902"), filed)
    for sha256, how in (("a" * 64, "byte for byte"), ("b" * 64, "saved again")):
        new = shot(tiny(picture()), "a.jpg", Exif(), "inbox", sha256=sha256)
        for piece in ("SH-901", "SH-902"):
            (problem,) = doubt_new(new, piece, findings)
            assert problem.file == new.file.path
            assert problem.found == f"the same picture as samples/SH-901/z.jpg, {how}"


def test_a_piece_laid_otherwise_than_before_is_told() -> None:
    findings = find(entries("SH-901"), series("SH-901", [BROWN] * 2, [draw(1), draw(2)]))
    later = photo("inbox", dt.date(2025, 1, 3), State.RECHECK, series("x", [BROWN])[0].readings)
    turned = squares(np.rot90(draw(3), 2))
    new = replace(later, picture=replace(later.picture, grid=turned))
    (problem,) = doubt_new(new, "SH-901", findings)
    assert problem.found.startswith("lies half a turn round from the photograph of 2024-11-03")


def test_a_day_that_cannot_be_is_told() -> None:
    readings = new_one(WAXED).readings
    early = photo("inbox", dt.date(2020, 1, 1), State.RECHECK, readings, written=None)
    assert any("before the piece began" in p.found for p in doubt_new(early, WAXED, DEMO))


def test_what_is_wrong_already_is_not_told_again() -> None:
    wrong = photo(WAXED, DAY, State.RECHECK, new_one(BARE).readings, "wrong.jpg")
    findings = find(DEMO.library.entries, [*DEMO.observations, wrong])
    assert findings.problems
    assert doubt_new(new_one(WAXED), WAXED, findings) == ()


def test_every_look_of_the_demo_can_be_filed_where_it_lies() -> None:
    found = find_demo()
    for observation in found.observations[::9]:
        rest = tuple(other for other in found.observations if other is not observation)
        without = replace(found, observations=rest)
        assert doubt_new(observation, observation.file.piece, without) == ()
