"""The notes: they say what the table says, and differ from one another by what they should."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
import yaml

from tests.studio import faults
from tests.studio.card import PATCHES, card_as_cgats
from tests.studio.diary import date_piece
from tests.studio.notes import write_note
from tests.studio.pieces import read_pieces

PIECES = read_pieces()
_OWN = ("piece", "same_as", "change", "why", "outcome", "cause", "notes", "checks", "photos",
        "coverage_pct", "colour_words", "sheen", "attempt", "share", "starred")  # fmt: skip
#: What follows from the metal or the form, and what only says when.
_CARRIED = {"alloy", "form", "size_mm", "thickness", "setup", "started", "blank_from", "batch"}


def _load(number: str) -> dict[str, Any]:
    loaded = yaml.load(write_note(PIECES[number]), Loader=yaml.BaseLoader)  # noqa: S506 - text only
    assert isinstance(loaded, dict)
    return loaded


def _whole(number: str) -> dict[str, Any]:
    """A note with ``same_as`` followed."""
    note = _load(number)
    if "same_as" not in note:
        return note
    base = {key: value for key, value in _whole(note["same_as"]).items() if key not in _OWN}
    return {**base, **note, **note["change"]}


def _recorded(number: str) -> dict[str, Any]:
    """What can be told apart: without dates, and without what hangs on the metal."""
    note = _whole(number)
    note = {key: value for key, value in note.items() if key not in (*_OWN, *_CARRIED)}
    if isinstance(note.get("sealant"), dict):
        note["sealant"] = (note["sealant"]["kind"], note["sealant"].get("coats"))
    return note


def _difference(one: str, other: str) -> list[str]:
    a, b = _recorded(one), _recorded(other)
    return sorted(key for key in {*a, *b} if a.get(key) != b.get(key))


@pytest.mark.parametrize("piece", PIECES.values(), ids=PIECES)
def test_a_note_says_what_the_table_says(piece) -> None:  # type: ignore[no-untyped-def]
    note = _whole(piece.number)
    assert note["piece"] == piece.number
    assert note["metal"] == piece.metal
    assert note["method"] == piece.method
    assert note["outcome"] == piece.outcome
    assert note["form"] == piece.form
    assert note["exposure"] == piece.exposure
    assert note.get("temperature_c", "") == piece.temperature_c
    assert note["dry"]["for"] == piece.dry
    assert dt.datetime.fromisoformat(note["started"]) == date_piece(piece).started
    if piece.sealed and not piece.sealant.startswith("split"):
        assert note["sealant"]["kind"] == piece.sealant
        assert note["sealant"]["coats"] == piece.coats
        assert note["sealant"]["date"] == str(date_piece(piece).sealed)


@pytest.mark.parametrize(
    ("one", "other", "factors"),
    [
        ("SH-002", "SH-006", []), ("SH-002", "SH-007", []), ("SH-006", "SH-007", []),
        ("SH-001", "SH-002", ["exposure"]), ("SH-002", "SH-003", ["exposure"]),
        ("SH-002", "SH-008", ["prep"]), ("SH-002", "SH-009", ["metal"]),
        ("SH-002", "SH-010", ["metal"]), ("SH-009", "SH-010", ["metal"]),
        ("SH-002", "SH-004", ["sealant"]), ("SH-004", "SH-005", ["sealant"]),
        ("SH-011", "SH-012", ["exposure"]), ("SH-012", "SH-013", ["exposure"]),
        ("SH-012", "SH-014", ["sealant"]), ("SH-014", "SH-015", ["sealant"]),
        ("SH-012", "SH-017", ["metal"]), ("SH-012", "SH-018", ["ingredients"]),
        ("SH-015", "SH-016", ["dry"]), ("SH-019", "SH-020", ["sealant"]),
        ("SH-019", "SH-021", ["temperature_c"]), ("SH-020", "SH-022", ["metal"]),
        ("SH-023", "SH-025", ["sealant"]), ("SH-026", "SH-027", ["sealant"]),
        ("SH-023", "SH-024", ["sealant", "zones"]),
    ],
)  # fmt: skip
def test_pieces_differ_by_what_they_were_made_to_differ_by(
    one: str, other: str, factors: list[str]
) -> None:
    assert _difference(one, other) == factors


def test_the_planted_oddities_of_notes_are_there() -> None:
    assert [i["amount"] for i in _load("SH-030")["ingredients"]][-1] == "a splash"
    assert _load("SH-029")["thickness"] == "20"
    assert _load("SH-028")["humidity_pct"] == "unknown"
    assert _load("SH-029")["share"]["recipe"] == "students"
    assert {fault.piece for fault in faults.SIDECARS} == {"SH-028", "SH-029", "SH-030"}


def test_every_failure_gives_a_cause() -> None:
    for number, piece in PIECES.items():
        if piece.outcome != "success":
            assert _load(number)["cause"]


def test_the_cards_file_lists_its_patches() -> None:
    # CGATS.17, as taken up by ISO 28178: data between BEGIN_DATA and END_DATA.
    text = card_as_cgats()
    rows = text.split("BEGIN_DATA\n")[1].split("END_DATA")[0].strip().splitlines()
    read = {row.split()[0]: tuple(float(v) for v in row.split()[1:]) for row in rows}
    assert read == PATCHES
    assert 'WHITE_POINT "D65"' in text
