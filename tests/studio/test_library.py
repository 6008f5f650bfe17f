"""The library that is kept with the project is the one the studio draws."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.studio import faults
from tests.studio.diary import list_all_shots
from tests.studio.files import file_name, folder_of
from tests.studio.notes import write_note
from tests.studio.pieces import read_pieces

SAMPLES = Path(__file__).parents[2] / "samples"
LARGEST = 40_000_000  # bytes; more is a burden to whoever clones the project


def test_every_photograph_is_there_and_no_other() -> None:
    expected = {f"{folder_of(shot)}/{file_name(shot)}" for shot in list_all_shots()}
    expected.add(f"{faults.DUPLICATE[0]}/{faults.DUPLICATE[2]}")
    found = {
        path.relative_to(SAMPLES).as_posix()
        for path in SAMPLES.rglob("*")
        if path.suffix in (".jpg", ".heic")
    }
    assert found == expected


@pytest.mark.parametrize("number", read_pieces())
def test_every_note_is_the_one_the_studio_writes(number: str) -> None:
    kept = (SAMPLES / number / "sample.yaml").read_text(encoding="utf-8")
    assert kept == write_note(read_pieces()[number])


def test_the_duplicate_is_byte_for_byte_the_same() -> None:
    number, days, copy = faults.DUPLICATE
    shot = next(s for s in list_all_shots() if (s.piece.number, s.planned) == (number, days))
    folder = SAMPLES / number
    assert (folder / copy).read_bytes() == (folder / file_name(shot)).read_bytes()


def test_the_library_is_no_burden() -> None:
    assert sum(path.stat().st_size for path in SAMPLES.rglob("*") if path.is_file()) < LARGEST
