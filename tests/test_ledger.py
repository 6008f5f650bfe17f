"""The ledger shows what was changed, removed or put in after it was written."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
from pathlib import Path

import pytest

from builder.errors import ArchiveError
from builder.ledger import Book, parse_ledger, read_ledger, seal_entries
from builder.records.ledger import LEDGER, NO_ENTRY, Deed, Draft

AT = dt.datetime(2025, 1, 14, 10, 31, 7, tzinfo=dt.UTC)
DRAFTS = (
    Draft(Deed.BEGAN, facts={"library": "kiln"}),
    Draft(Deed.FILED, "samples/SH-001/a.jpg", "1" * 64, 10, {"piece": "SH-001", "named": "Ä.jpg"}),
    Draft(Deed.NOTED, "samples/SH-001/sample.yaml", "2" * 64, 20),
    Draft(Deed.CORRECTED, "samples/SH-001/a.jpg", facts={"day": "2025-01-13", "why": "clock"}),
    Draft(
        Deed.MOVED, "samples/SH-002/a.jpg", "1" * 64, 10, {"from": "samples/SH-001/a.jpg"}
    ),
)  # fmt: skip
DATA = seal_entries(DRAFTS, None, AT)


def test_a_line_can_be_checked_with_a_digest_tool_alone() -> None:
    before = NO_ENTRY
    for line in DATA.splitlines():
        body, _, rest = line.partition(b',"seal":"')
        assert json.loads(line)["before"] == before
        before = hashlib.sha256(body).hexdigest()
        assert rest == before.encode() + b'"}'


def test_a_whole_ledger_has_no_fault() -> None:
    ledger = parse_ledger(DATA)
    assert ledger.faults == ()
    assert [entry.what for entry in ledger.entries] == [draft.what for draft in DRAFTS]
    assert ledger.name == "kiln"
    assert ledger.entries[1].at == AT


def test_one_flipped_bit_anywhere_is_found_at_its_line() -> None:
    starts = [0]
    for line in DATA.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    for place in range(len(DATA)):
        for bit in range(8):
            flipped = bytearray(DATA)
            flipped[place] ^= 1 << bit
            ledger = parse_ledger(bytes(flipped))
            line = sum(start <= place for start in starts)
            if place == len(DATA) - 1:  # the last line end: seal and sign run together
                assert ledger.torn
                continue
            assert ledger.faults, (place, bit)
            assert line in {ledger.faults[0].line, ledger.faults[0].line + 1}, (place, bit)


@pytest.mark.parametrize("gone", range(len(DRAFTS) - 1))
def test_a_line_removed_is_found(gone: int) -> None:
    lines = DATA.splitlines(keepends=True)
    ledger = parse_ledger(b"".join(lines[:gone] + lines[gone + 1 :]))
    assert [fault.found for fault in ledger.faults] == [f"entry {gone + 1} is missing"]


def test_a_line_rewritten_with_a_seal_of_its_own_is_found() -> None:
    lines = DATA.splitlines(keepends=True)
    read = parse_ledger(DATA)
    other = Draft(Deed.NOTED, "samples/SH-001/sample.yaml", "3" * 64)
    forged = seal_entries([other], read.entries[1], AT)
    ledger = parse_ledger(b"".join([*lines[:2], forged, *lines[3:]]))
    assert [(f.line, f.found) for f in ledger.faults] == [
        (4, "this line does not follow from the one before it")
    ]


def test_what_stands_is_the_last_word_on_each_file() -> None:
    standing = parse_ledger(DATA).standing()
    assert set(standing) == {"samples/SH-001/sample.yaml", "samples/SH-002/a.jpg"}


def test_a_files_chain_goes_through_its_earlier_places() -> None:
    chains = parse_ledger(DATA).chains()
    assert set(chains) == {"samples/SH-001/sample.yaml", "samples/SH-002/a.jpg"}
    chain = chains["samples/SH-002/a.jpg"]
    assert [entry.what for entry in chain] == [Deed.FILED, Deed.CORRECTED, Deed.MOVED]


def test_entries_are_added_after_those_there(tmp_path: Path) -> None:
    Book(tmp_path, "kiln").append(DRAFTS[1:3], AT)
    before = (tmp_path / LEDGER).read_bytes()
    book = Book(tmp_path, "another name")
    for draft in DRAFTS[3:]:
        book.append([draft], AT)
    book.append([], AT)
    assert DATA.startswith(before)
    assert (tmp_path / LEDGER).read_bytes() == DATA
    assert book.standing == parse_ledger(DATA).standing()


@pytest.mark.parametrize("left", [1, 40, len(DATA.splitlines()[-1]) - 1])
def test_an_entry_torn_by_a_crash_never_was(tmp_path: Path, left: int) -> None:
    lines = DATA.splitlines(keepends=True)
    (tmp_path / LEDGER).write_bytes(b"".join(lines[:-1]) + lines[-1][:left])
    assert read_ledger(tmp_path).torn == left
    Book(tmp_path, "kiln").append(DRAFTS[-1:], AT)
    assert (tmp_path / LEDGER).read_bytes() == DATA


def test_a_last_entry_whose_line_end_is_gone_is_kept(tmp_path: Path) -> None:
    lines = DATA.splitlines(keepends=True)
    (tmp_path / LEDGER).write_bytes(b"".join(lines[:-1]).rstrip(b"\n"))
    ledger = read_ledger(tmp_path)
    assert (len(ledger.entries), ledger.torn, ledger.faults) == (len(lines) - 1, 0, ())
    Book(tmp_path, "kiln").append(DRAFTS[-1:], AT)
    assert (tmp_path / LEDGER).read_bytes() == DATA


def test_an_emptied_ledger_is_no_new_one(tmp_path: Path) -> None:
    (tmp_path / LEDGER).touch()
    with pytest.raises(ArchiveError, match="it is empty"):
        Book(tmp_path, "kiln")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such thing there")
def test_what_is_no_plain_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / LEDGER)
    with pytest.raises(ArchiveError, match="no plain file"):
        read_ledger(tmp_path)


def test_turned_line_ends_are_one_fault() -> None:
    faults = parse_ledger(DATA.replace(b"\n", b"\r\n")).faults
    assert [fault.found.partition(":")[0] for fault in faults] == [
        "its line ends are no longer LF alone"
    ]


def test_nothing_is_added_to_a_ledger_with_a_fault(tmp_path: Path) -> None:
    spoiled = DATA.replace(b"SH-001", b"SH-003", 1)
    (tmp_path / LEDGER).write_bytes(spoiled)
    with pytest.raises(ArchiveError, match=r"ledger\.jsonl:2: this line was changed"):
        Book(tmp_path, "kiln")
    assert (tmp_path / LEDGER).read_bytes() == spoiled


@pytest.mark.parametrize(
    "data", [b"\n", b"[]\n", b"{}\n", b"\xff\xfe\n", b"[" * 100_000 + b"\n", b'{"n":1e999}\n']
)
def test_rubbish_is_told_at_its_line(data: bytes) -> None:
    assert parse_ledger(data).faults[0].line == 1


def test_a_ledger_of_nothing_but_faults_is_not_read_to_its_end() -> None:
    ledger = parse_ledger(b"x\n" * 50_000)
    assert len(ledger.faults) == 1001
    assert "the rest was not looked at" in ledger.faults[-1].found


def test_a_line_without_end_is_no_entry() -> None:
    ledger = parse_ledger(b'{"n":' + b" " * 100_000 + b"1}\n")
    assert [fault.line for fault in ledger.faults] == [1]
