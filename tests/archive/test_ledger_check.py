"""A library is held against its ledger, file by file."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.archive.ledger_check import check_library, list_originals
from builder.ledger import Book, read_ledger
from builder.records.ledger import Deed, Draft
from tests.archive.bag_folders import said
from tests.archive.little_library import AT, NOTES, ORIGINALS, contents, make_little_library


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return make_little_library(tmp_path / "library")


def test_a_library_as_its_ledger_has_it_is_valid(library: Path) -> None:
    before = contents(library)
    verdict = check_library(library)
    assert verdict.valid and verdict.notes == []
    assert (len(verdict.sizes), verdict.entries) == (len(ORIGINALS) + len(NOTES), 7)
    assert contents(library) == before


@pytest.mark.parametrize("name", [*ORIGINALS, *NOTES])
def test_one_flipped_bit_in_any_file_is_found_and_named(library: Path, name: str) -> None:
    data = (library / name).read_bytes()
    for place in (0, len(data) // 2, len(data) - 1):
        flipped = bytearray(data)
        flipped[place] ^= 1
        (library / name).write_bytes(flipped)
        assert f"{name}: changed since the ledger's entry" in said(check_library(library))


def test_one_flipped_bit_in_any_line_of_the_ledger_is_found_at_it(library: Path) -> None:
    file = library / "ledger.jsonl"
    data = file.read_bytes()
    start = 0
    for number, line in enumerate(data.splitlines(keepends=True), start=1):
        flipped = bytearray(data)
        flipped[start + len(line) // 2] ^= 1
        file.write_bytes(flipped)
        assert f"ledger.jsonl:{number}: " in said(check_library(library))
        start += len(line)


def test_what_is_missing_and_what_was_added_is_named(library: Path) -> None:
    (library / ORIGINALS[0]).unlink()
    (library / "samples/SH-002/more.HEIC").write_bytes(b"x")
    (library / "samples/SH-003").mkdir()
    (library / "samples/SH-003/sample.yaml").write_text("piece: SH-003\n", encoding="utf-8")
    (library / "samples/SH-003/invoice.pdf").write_bytes(b"neither an original nor a sidecar")
    verdict = check_library(library)
    assert [(problem.file, problem.found.partition(":")[0]) for problem in verdict.faults] == [
        (ORIGINALS[0], "missing"),
        ("samples/SH-002/more.HEIC", "added"),
        ("samples/SH-003/sample.yaml", "added"),
    ]
    assert verdict.unknown == 2


def test_settings_that_cannot_be_read_do_not_hide_the_rest(library: Path) -> None:
    (library / "mkdocs.yml").write_text("site_name: [", encoding="utf-8")
    (library / ORIGINALS[0]).write_bytes(b"other")
    found = said(check_library(library))
    assert "mkdocs.yml: changed" in found and f"{ORIGINALS[0]}: changed" in found


def test_without_a_ledger_nothing_can_be_told(library: Path) -> None:
    (library / "ledger.jsonl").unlink()
    assert said(check_library(library)).startswith("ledger.jsonl: there is no ledger yet")


def test_a_link_out_of_the_library_is_not_followed(library: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.jpg"
    outside.write_bytes((library / ORIGINALS[0]).read_bytes())
    (library / ORIGINALS[0]).unlink()
    (library / ORIGINALS[0]).symlink_to(outside)
    assert "a link that leads outside the library" in said(check_library(library))


def test_an_original_stays_one_where_it_is_moved(library: Path) -> None:
    moved = Draft(Deed.MOVED, "samples/SH-002/b.jpg", "0" * 64, 1, {"from": ORIGINALS[0]})
    Book(library, "little").append([moved], AT)
    ledger = read_ledger(library)
    assert ledger == read_ledger(library)
    assert list_originals(ledger) == {"samples/SH-002/b.jpg", ORIGINALS[1]}


def test_the_demo_is_as_its_own_ledger_has_it() -> None:
    """After a change to the demo: python -m tests.studio --ledger."""
    verdict = check_library(Path(__file__).parents[2])
    assert verdict.faults == []
