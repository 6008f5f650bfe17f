"""What was put in, moved or edited by hand is written down; what changed or is gone is asked."""

from __future__ import annotations

import shutil
from pathlib import Path

from builder.filing.recording import Unwritten, list_unwritten
from builder.ledger import Book, read_ledger
from builder.pipeline import gather
from builder.read.settings import read_settings_file
from builder.records.ledger import Deed
from tests.filing.conftest import NOW, TODAY

SIDECAR = "samples/SH-014/sample.yaml"
PHOTO = "samples/SH-014/SH-014_2025-10-19_recheck_front.jpg"


def record(library: Path, *vouched: str, why: str = "") -> Unwritten:
    findings = gather(library, read_settings_file(library), TODAY).findings
    book = Book(library, "a name")
    unwritten = list_unwritten(findings, book, vouched, why)
    book.append(unwritten.drafts, NOW)
    assert read_ledger(library).faults == ()
    return unwritten


def deeds(unwritten: Unwritten) -> list[tuple[Deed, str]]:
    return [(draft.what, draft.file) for draft in unwritten.drafts]


def test_all_that_is_there_is_written_down_once(library: Path) -> None:
    first = record(library)
    assert [what for what, _ in deeds(first)].count(Deed.FILED) == 4
    assert {file for what, file in deeds(first) if what is Deed.NOTED} == {
        "mkdocs.yml",
        "samples/SH-012/sample.yaml",
        SIDECAR,
        "samples/sparrowhithe-card.txt",
    }
    assert deeds(record(library)) == []
    assert gather(library, read_settings_file(library), TODAY).unrecorded == 0


def test_an_edited_sidecar_is_noted_and_what_it_puts_right_is_an_entry(library: Path) -> None:
    record(library)
    sidecar = library / SIDECAR
    name = PHOTO.rpartition("/")[2]
    more = f"photos:\n  - {{file: {name}, date: 2025-10-20}}\n"
    sidecar.write_text(sidecar.read_text(encoding="utf-8") + more, encoding="utf-8")
    unwritten = record(library)
    assert deeds(unwritten) == [(Deed.CORRECTED, PHOTO), (Deed.NOTED, SIDECAR)]
    assert unwritten.drafts[0].facts == {"day": "2025-10-20", "day_from": "written"}
    assert deeds(record(library)) == []


def test_a_moved_original_keeps_its_chain(library: Path) -> None:
    record(library)
    to = "samples/SH-014/SH-014_2025-10-19_recheck.jpg"
    shutil.move(library / PHOTO, library / to)
    assert deeds(record(library)) == [(Deed.MOVED, to)]
    chain = read_ledger(library).chains()[to]
    assert [entry.what for entry in chain] == [Deed.FILED, Deed.MOVED]
    assert deeds(record(library)) == []


def test_a_missing_original_is_asked_about_until_the_maker_says_why(library: Path) -> None:
    record(library)
    (library / PHOTO).unlink()
    unwritten = record(library)
    assert deeds(unwritten) == []
    assert unwritten.problems[0].file == PHOTO
    assert "it is gone; the ledger has it since 2026-01-20" in unwritten.problems[0].found
    assert deeds(record(library, PHOTO, why="blurred")) == [(Deed.REMOVED, PHOTO)]
    assert record(library).problems == []


def test_a_changed_original_is_told_by_every_build_until_the_maker_says_why(library: Path) -> None:
    record(library)
    data = bytearray((library / PHOTO).read_bytes())
    data[-3] ^= 1
    (library / PHOTO).write_bytes(bytes(data))
    findings = gather(library, read_settings_file(library), TODAY).findings
    said = [problem for problem in findings.problems if problem.file == PHOTO]
    assert "changed since it was filed on 2026-01-20" in said[0].found
    looks = [
        look for s in findings.strands for look in s.looks if look.observation.file.path == PHOTO
    ]
    assert looks[0].excluded == "changed since it was filed on 2026-01-20"
    assert deeds(record(library)) == []
    assert deeds(record(library, PHOTO, why="trimmed in the phone")) == [(Deed.REPLACED, PHOTO)]
    findings = gather(library, read_settings_file(library), TODAY).findings
    assert not [problem for problem in findings.problems if problem.file == PHOTO]
