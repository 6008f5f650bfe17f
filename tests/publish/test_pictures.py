from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builder.publish.pictures import choose_scale, cut_to, list_names, place_pictures, show_piece
from tests.publish.fixture import findings

SEEN = findings(numbers=("SH-012",)).observations[0]


def test_the_piece_is_shown_and_the_whole_photograph_is_a_click_away() -> None:
    shown = show_piece(SEEN, "words")
    assert shown is not None
    assert SEEN.picture.view is not None
    assert shown.src == f"pictures/{SEEN.picture.view.name}"
    assert shown.whole == f"pictures/{SEEN.picture.webs[-1].name}"


def test_without_a_place_for_the_piece_the_photograph_itself_is_shown() -> None:
    unplaced = replace(SEEN, picture=replace(SEEN.picture, view=None))
    shown = show_piece(unplaced, "words")
    assert shown is not None
    assert shown.src == f"pictures/{SEEN.picture.webs[0].name}"


def test_a_photograph_without_published_sizes_is_not_shown() -> None:
    bare = replace(SEEN, picture=replace(SEEN.picture, view=None, webs=()))
    assert show_piece(bare, "words") is None


def test_pieces_of_two_sizes_stand_at_one_scale() -> None:
    plate, bell, unknown = (
        replace(SEEN, picture=replace(SEEN.picture, view_mm=size))
        for size in ((100.0, 150.0), (120.0, 120.0), None)
    )
    scale = choose_scale([plate, bell, unknown])
    wide, round_ = scale.width_of(plate), scale.width_of(bell)
    assert wide is not None and round_ is not None
    assert wide / 100 == pytest.approx(round_ / 120, rel=1e-3)  # 2 places
    assert max(wide, round_) < 100
    assert scale.width_of(unknown) is None


def test_a_zone_is_the_file_seen_through_a_smaller_window() -> None:
    shown = show_piece(SEEN, "words")
    assert shown is not None
    part = cut_to(shown, (0.5, 0.0, 0.75, 1.0))
    assert (part.width, part.height) == (shown.width // 4, shown.height)
    assert "--wide: 400.000%" in part.crop_style
    assert "--left: -200.000%" in part.crop_style


def test_pictures_are_put_in_place_once_and_never_moved(tmp_path: Path) -> None:
    made, site = tmp_path / "made", tmp_path / "site" / "pictures"
    made.mkdir()
    (made / "a.jpg").write_bytes(b"a")
    assert place_pictures(["a.jpg", "gone.jpg"], made, site) == 1
    assert place_pictures(["a.jpg"], made, site) == 0
    assert (site / "a.jpg").read_bytes() == (made / "a.jpg").read_bytes() == b"a"


def test_where_links_are_refused_pictures_are_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError("no links here")

    monkeypatch.setattr("os.link", refuse)
    (tmp_path / "a.jpg").write_bytes(b"a")
    place_pictures(["a.jpg"], tmp_path, tmp_path / "site")
    assert (tmp_path / "site" / "a.jpg").read_bytes() == b"a"


def test_names_are_sorted_and_told_once() -> None:
    names = list_names((SEEN, SEEN))
    assert list(names) == sorted(set(names))
    assert len(names) == len(SEEN.picture.webs) + 2  # and the view, and the card
