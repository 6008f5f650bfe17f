"""Dates that cannot be. Today is 31 January 2026 in these tests."""

import pytest


def test_a_date_after_today_is_told_with_its_line(library):
    library.whole("SH-001", "checks:\n  - {date: 2026-02-01}\n")
    assert library.problems() == [
        "samples/SH-001/sample.yaml:6: date of checks, item 1 is 2026-02-01, and today is "
        "2026-01-31; expected a day that has been; correct the date"
    ]


def test_today_is_not_in_the_future(library):
    library.whole("SH-001", "checks: [{date: 2026-01-31}]\n")
    assert library.problems() == []


@pytest.mark.parametrize(
    "written",
    [
        "finished: 2024-09-30",
        "sealant: {kind: wax, date: 2024-09-30}",
        "checks: [{date: 2024-09-30, state: recheck}]",
        "zones: [{name: left, sealant: {kind: wax, date: 2024-09-30}}]",
    ],
)
def test_a_date_before_the_piece_began_is_told(library, written):
    library.whole("SH-001", f"{written}\n")
    (said,) = library.problems()
    assert said.startswith("samples/SH-001/sample.yaml:5: ")
    assert "is 2024-09-30, before the piece began (“2024-10-01”)" in said


@pytest.mark.parametrize(
    "written",
    [
        "batch: {mixed: 2024-09-30, opened: 2023-01-01}",
        "checks: [{date: 2024-09-30, state: bare}]",
        "sealant: {kind: wax, date: 2024-10-01}",
    ],
)
def test_what_may_well_be_earlier_is_not_told(library, written):
    library.whole("SH-001", f"{written}\n")
    assert library.problems() == []


def test_a_borrowed_date_before_the_pieces_own_beginning_is_told_where_it_was_borrowed(library):
    library.whole("SH-001", "sealant: {kind: wax, date: 2024-10-16}\n")
    library.write("SH-002", "piece: SH-002\nsame_as: SH-001\nchange: {started: 2024-11-05}\n")
    (said,) = library.problems()
    assert said.startswith(
        "samples/SH-002/sample.yaml:2: date of sealant is 2024-10-16, taken from SH-001"
    )
    assert "what differs belongs in change" in said


def test_a_fault_of_the_piece_that_is_repeated_is_told_once(library):
    library.whole("SH-001", "sealant: {kind: wax, date: 2024-09-16}\n")
    library.write("SH-002", "piece: SH-002\nsame_as: SH-001\n")
    assert [said.split(":")[0] for said in library.problems()] == ["samples/SH-001/sample.yaml"]
