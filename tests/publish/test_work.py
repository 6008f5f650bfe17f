"""What a page is laid out with does not take longer for there being more pieces."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import pytest

from builder.publish.data import data_parts
from builder.publish.due import lay_out_due
from builder.publish.finishes import lay_out_finishes
from builder.publish.piece_page import lay_out_piece
from builder.publish.planned_page import list_planned_pieces
from builder.publish.provenance import provenance_parts
from builder.publish.sister_pages import list_sets, sets_by_piece
from builder.publish.subjects import Subject, list_subjects
from builder.records.library import Library
from builder.records.piece import Entry
from builder.records.settings import Settings
from builder.relate.find import find_findings
from builder.relate.findings import Findings
from builder.telling.choosing import choose_audience
from builder.telling.findings import tell
from tests.counting import count_calls
from tests.relate.demo import TODAY, entry_of

#: Sorting takes a little more for each of twice as many.
LINEAR = 2.1

Layout = Callable[[Findings, Mapping[str, Subject]], object]


def found_of(blocks: int) -> Findings:
    """Blocks of pieces that go together, of a sheet and a finish of their own: two that differ by
    the time, one sealed, one that repeats, one failed, and one that is planned."""
    entries = tuple(entry for block in range(blocks) for entry in block_of(block))
    return find_findings(Library(Path(), Settings(), entries, ()), (), TODAY)


def block_of(block: int) -> tuple[Entry, ...]:
    told = {
        "alloy": f"sheet {block}",
        "surface": f"finish {block}",
        "ingredients": [{"name": "liver of sulphur", "amount": "5 g"}],
        "started": "2024-10-01",
        "sealant": "none",
        "share": {"notes": "private"},
    }
    numbers = [f"SH-{10 * block + at:05}" for at in range(6)]
    kinds = (
        {"exposure": "15 s", "outcome": "success"},
        {"exposure": "45 s"},
        {"exposure": "15 s", "sealant": {"kind": "wax", "date": "2024-10-02"}},
        {"exposure": "15 s"},
        {"exposure": "30 s", "outcome": "failure", "cause": "too long"},
        {"exposure": "60 s", "same_as": numbers[0], "started": "2027-01-01"},
    )
    return tuple(
        entry_of(piece=number, **told | kind) for number, kind in zip(numbers, kinds, strict=True)
    )


def _lay_out_pieces(found: Findings, subjects: Mapping[str, Subject]) -> None:
    sets = sets_by_piece(list_sets(found, subjects))
    for number, subject in subjects.items():
        lay_out_piece(subject, found, subjects, sets.get(number, ()))


def _lay_out_finishes(found: Findings, subjects: Mapping[str, Subject]) -> None:
    lay_out_finishes(found, subjects.values(), list_sets(found, subjects))


def _write_data(found: Findings, _: Mapping[str, Subject]) -> None:
    for _name, parts in data_parts(found, ()):
        for _part in parts:
            pass
    for _part in provenance_parts(found):
        pass


def _tell(found: Findings, _: Mapping[str, Subject]) -> None:
    tell(found, choose_audience("students", found.library.settings))


@pytest.mark.parametrize(
    "lay_out",
    [
        _lay_out_pieces,
        _lay_out_finishes,
        _write_data,
        _tell,
        lay_out_due,
        list_planned_pieces,
    ],
)
def test_twice_the_pieces_are_twice_the_work(lay_out: Layout) -> None:
    calls = []
    for blocks in (3, 10, 20):  # the first for what is learnt once
        found = found_of(blocks)
        subjects = {subject.number: subject for subject in list_subjects(found)}
        calls.append(count_calls(partial(lay_out, found, subjects)))
    assert calls[2] < LINEAR * calls[1]


def test_twice_the_pieces_are_found_out_about_in_twice_the_work() -> None:
    found_of(3)
    first, second = (count_calls(partial(found_of, blocks)) for blocks in (10, 20))
    assert second < LINEAR * first
