"""Pieces told from photographs alone."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.collect.photo_pieces import Shot, group_shots, write_begun
from builder.read.sidecar import read_attempts, read_documents

HOME = Path("/phone")
DAY = dt.date(2024, 10, 15)


def numbers(*shots: Shot) -> list[str]:
    return [begun.number for begun in group_shots(shots, HOME)[0]]


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("SH-012_wet.jpg", "SH-012"),
        ("SH 012.jpg", "SH-012"),
        ("TP7 back.jpg", "TP7"),
        ("SH-012/IMG_1.jpg", "SH-012"),
        ("SH-012 wax/IMG_1.jpg", "SH-012"),
        ("bell one/IMG_1.jpg", "bell-one"),
        ("DCIM/100APPLE/SH-012_wet.jpg", "SH-012"),
        ("SH-012/2024-10-15/IMG_1.jpg", "SH-012"),
    ],
)
def test_a_name_or_a_folder_says_the_piece(name: str, number: str) -> None:
    assert numbers(Shot(HOME / name)) == [number]


@pytest.mark.parametrize(
    "name",
    ["IMG_1234.JPG", "DSC01234.jpg", "DCIM/100APPLE/IMG_1.HEIC", "2024-10-15/PXL_20241015.jpg",
     "20241015_101500.jpg", "Camera/P1010001.JPG"],
)  # fmt: skip
def test_what_cameras_call_things_is_no_piece(name: str) -> None:
    begun, problems = group_shots([Shot(HOME / name)], HOME)
    assert not begun
    assert "nothing tells which piece" in problems[0].found


def test_the_label_goes_first_and_spells_the_number() -> None:
    shots = [Shot(HOME / "sh-012_wet.jpg"), Shot(HOME / "IMG_1.jpg", ("SH-012",)),
             Shot(HOME / "Tuesday" / "IMG_2.jpg", ("SH-013",))]  # fmt: skip
    begun, problems = group_shots(shots, HOME)
    assert [(b.number, len(b.shots)) for b in begun] == [("SH-012", 2), ("SH-013", 1)]
    assert not problems


@pytest.mark.parametrize(
    "shot",
    [
        Shot(HOME / "IMG_1.jpg", ("SH-012", "SH-013")),
        Shot(HOME / "SH-013.jpg", ("SH-012",)),
        Shot(HOME / "SH-013" / "IMG_1.jpg", ("SH-012",)),
        Shot(HOME / "SH-013" / "SH-012.jpg"),
        Shot(HOME / "IMG_1.jpg", ("con",)),
    ],
)
def test_where_they_do_not_agree_the_picture_is_left(shot: Shot) -> None:
    begun, problems = group_shots([shot], HOME)
    assert not begun and len(problems) == 1


def test_its_sidecar_has_blanks_to_fill_and_the_cameras_days() -> None:
    shots = (Shot(HOME / "SH-012.jpg", (), DAY), Shot(HOME / "SH-012_2.jpg", (), DAY))
    (begun,), _ = group_shots(shots, HOME)
    text = write_begun(begun, "# yaml-language-server: $schema=../../docs/sidecar.schema.json")
    assert text.startswith("# yaml-language-server:")
    assert "metal:       # fill in" in text
    sidecar = read_attempts(read_documents(text, "x"), "x", "SH-012")
    assert not sidecar.problems
    tree = sidecar.attempts[0].tree
    assert tree["checks"] == [{"date": "2024-10-15", "notes": "photographed"}]
    assert (tree["metal"], tree["method"], tree["started"]) == ("", "", "")


def test_numbers_are_one_in_other_spellings() -> None:
    shots = [Shot(HOME / "KW-01 dip" / "IMG_1.jpg"), Shot(HOME / "kw1.jpg")]
    assert numbers(*shots) == ["KW-01"]
