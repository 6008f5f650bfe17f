"""One exposure in two files, from thumbnails made of drawn noise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from builder.measure.thumbnails import pack_thumbnail
from builder.records.photo import THUMBNAIL_SIDE, Exif, Observation, State
from builder.relate import copies
from builder.relate.copies import find_copies, find_copies_of
from builder.relate.filing import find_strays
from tests.measure.test_thumbnails import LARGE, picture, tiny
from tests.relate.demo import entry_of, find, photo, strand_of

DAY = dt.date(2024, 10, 8)
CAMERA = Exif(taken=dt.datetime(2024, 10, 8, 19, 4, 31), make="Brook", model="B1")
NO_CAMERA = Exif()


def shot(
    grey: Any, name: str, exif: Exif = NO_CAMERA, piece: str = "SH-901", **told: Any
) -> Observation:
    seen = photo(piece, told.pop("day", DAY), told.pop("state", State.DRY), (), name, **told)
    packed = pack_thumbnail(np.clip(np.round(grey), 0, 255).astype(np.uint8))
    return replace(seen, picture=replace(seen.picture, exif=exif, thumbnail=packed))


def names(pairs: tuple[tuple[Observation, Observation], ...]) -> list[tuple[str, str]]:
    return [tuple(o.file.path.rpartition("/")[2] for o in pair) for pair in pairs]  # type: ignore[misc]


def noisy(grey: Any, part: float) -> Any:
    """With so much of its contrast as noise on top: the misfit that comes of it."""
    noise = np.random.default_rng(5).normal(size=grey.shape)
    return grey + part * grey.std() * noise


ORIGINAL = tiny(picture())
CROPPED = tiny(picture().crop((0, 0, LARGE - 19, LARGE - 19)))


def test_the_same_second_of_one_camera_and_the_same_look_is_one_picture() -> None:
    one, two = shot(ORIGINAL, "a.jpg", CAMERA), shot(0.9 * ORIGINAL, "b.jpg", CAMERA, "SH-902")
    assert names(find_copies([two, one])) == [("a.jpg", "b.jpg")]


def test_two_seconds_of_cameras_are_two_pictures_however_alike() -> None:
    later = replace(CAMERA, taken=dt.datetime(2024, 10, 8, 19, 4, 33))
    assert find_copies([shot(ORIGINAL, "a.jpg", CAMERA), shot(ORIGINAL, "b.jpg", later)]) == ()


def test_two_pictures_in_one_second_are_two_where_they_look_otherwise() -> None:
    other = tiny(picture(2))
    assert find_copies([shot(ORIGINAL, "a.jpg", CAMERA), shot(other, "b.jpg", CAMERA)]) == ()


@pytest.mark.parametrize("piece", ["SH-901", "SH-902"])
@pytest.mark.parametrize("grey", [ORIGINAL, 0.9 * ORIGINAL + 20, noisy(ORIGINAL, 0.05)])
def test_a_copy_without_the_cameras_facts_is_known_by_its_look(grey: Any, piece: str) -> None:
    pair = [shot(ORIGINAL, "a.jpg", CAMERA), shot(grey, "b.jpg", piece=piece)]
    assert names(find_copies(pair)) == [("a.jpg", "b.jpg")]


def test_a_cropped_copy_is_known_within_its_piece() -> None:
    pair = [shot(ORIGINAL, "a.jpg", CAMERA), shot(CROPPED, "b.jpg")]
    assert names(find_copies(pair)) == [("a.jpg", "b.jpg")]


@pytest.mark.parametrize(
    "told", [{"day": dt.date(2024, 11, 8)}, {"state": State.RECHECK}, {"side": "back"}]
)
def test_what_is_called_two_has_to_be_all_but_equal_to_be_one(told: dict[str, Any]) -> None:
    first = shot(ORIGINAL, "a.jpg", CAMERA)
    assert find_copies([first, shot(noisy(ORIGINAL, 0.01), "b.jpg", **told)])
    # On a fixed stand two looks of one piece come as near as this.
    assert not find_copies([first, shot(noisy(ORIGINAL, 0.03), "b.jpg", **told)])
    assert not find_copies([first, shot(CROPPED, "b.jpg", **told)])


def test_bytes_that_agree_are_told_of_elsewhere() -> None:
    pair = [shot(ORIGINAL, name, sha256="f" * 64) for name in ("a.jpg", "b.jpg")]
    assert find_copies(pair) == ()
    strays, problems = find_strays(pair)
    assert len(strays) == len(problems) == 1


def test_the_copy_is_left_out_and_the_problem_names_both() -> None:
    shots = [shot(ORIGINAL, "b.jpg", CAMERA), shot(ORIGINAL, "c.jpg")]
    findings = find((entry_of(),), shots)
    (problem,) = findings.problems
    assert problem.file.endswith("c.jpg")
    assert problem.found == "the same picture as samples/SH-901/b.jpg, saved again"
    excluded = [look.excluded for look in strand_of(findings, "SH-901").looks]
    assert "the same picture as samples/SH-901/b.jpg" in excluded


def test_the_one_that_has_the_cameras_facts_stands_for_both() -> None:
    strays, _ = find_strays([shot(ORIGINAL, "a.jpg"), shot(ORIGINAL, "b.jpg", CAMERA)])
    assert list(strays) == ["samples/SH-901/a.jpg"]


def test_the_one_in_the_wrong_folder_never_stands_for_the_right_one() -> None:
    wrong = shot(ORIGINAL, "a.jpg", CAMERA, "SH-014", named_piece="SH-901")
    strays, _ = find_strays([wrong, shot(ORIGINAL, "b.jpg", CAMERA)])
    assert strays == {wrong.file.path: "file name says SH-901"}


def test_three_copies_are_told_each_once_against_the_first() -> None:
    _, problems = find_strays([shot(ORIGINAL, name) for name in ("a.jpg", "b.jpg", "c.jpg")])
    assert [problem.found.split(",")[0][-5:] for problem in problems] == ["a.jpg", "a.jpg"]


def test_a_new_one_is_held_against_all_that_are_filed() -> None:
    filed = [shot(ORIGINAL, "a.jpg", CAMERA), shot(tiny(picture(2)), "b.jpg", NO_CAMERA)]
    assert find_copies_of(shot(ORIGINAL, "n.jpg", piece="SH-902"), filed) == (filed[0],)
    assert find_copies_of(shot(tiny(picture(2)), "n.jpg", CAMERA), filed) == (filed[1],)
    assert find_copies_of(shot(tiny(picture(3)), "n.jpg"), filed) == ()


def differing_pictures(count: int) -> list[Any]:
    """As the demo's photographs differ: by some tenth of their contrast in each coarse wave."""
    chance = np.random.default_rng(2)
    places = (np.arange(THUMBNAIL_SIDE) + 0.5) / THUMBNAIL_SIDE
    waves = np.cos(np.pi * np.outer(range(5), places))
    common = 40 * np.outer(waves[2], waves[2])
    return [128 + common + 4 * waves.T @ chance.normal(size=(5, 5)) @ waves for _ in range(count)]


@pytest.mark.parametrize("with_facts", [0, 9_990])
def test_ten_thousand_photographs_need_few_comparisons(
    with_facts: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Five thousand pictures in two files each, twenty files a piece."""
    shots = []
    for at, grey in enumerate(differing_pictures(5_000)):
        taken = dt.datetime(2024, 1, 1) + dt.timedelta(minutes=at)
        for name in (f"{at}.jpg", f"{at}-copy.jpg"):
            exif = replace(CAMERA, taken=taken) if len(shots) < with_facts else NO_CAMERA
            shots.append(shot(grey, name, exif, f"SH-{at // 10:03}"))
    asked = []

    def counted(first: Observation, second: Observation, away: Mapping[str, str]) -> bool:
        asked.append(first)
        return first.picture.thumbnail == second.picture.thumbnail

    monkeypatch.setattr(copies, "is_copy", counted)
    assert len(find_copies(shots)) == 5_000
    assert len(asked) < 20 * len(shots)  # all pairs would be 5 000 for each
