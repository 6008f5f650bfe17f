"""A sidecar on the disk is added to whole, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder.collect.sidecar_file import add_to_sidecar, digest_sidecar
from builder.digests import digest_bytes
from builder.errors import FilingError
from builder.read.sidecar import read_sidecar
from builder.read.sidecar_edits import Edited, append_check
from builder.records.notes import CheckNote
from builder.records.settings import Limits

NAME = "samples/SH-014/sample.yaml"
TEXT = "piece: SH-014  # mine\r\nchecks:\r\n  - 2025-01-14\r\n"
LIMIT = 100_000


@pytest.fixture
def library(tmp_path: Path) -> Path:
    sidecar = tmp_path / NAME
    sidecar.parent.mkdir(parents=True)
    sidecar.write_bytes(TEXT.encode())
    return tmp_path


def look(data: bytes) -> Edited:
    return append_check(data, NAME, 1, CheckNote("2026-01-18", "recheck", ()))


def names(library: Path) -> list[str]:
    return sorted(path.name for path in (library / NAME).parent.iterdir())


def test_a_look_is_read_back_as_it_was_added(library: Path) -> None:
    added = add_to_sidecar(library, NAME, look, LIMIT, digest_sidecar(library, NAME))
    data = (library / NAME).read_bytes()
    assert data.decode() == TEXT + "  - {date: 2026-01-18, state: recheck, seen: []}\r\n"
    assert (added.digest, added.bytes, added.lines) == (digest_bytes(data), len(data), (4,))
    (attempt,) = read_sidecar(library / NAME, NAME, "SH-014", Limits()).attempts
    assert attempt.tree["checks"][1] == {"date": "2026-01-18", "state": "recheck", "seen": []}
    assert names(library) == ["sample.yaml"]


def test_a_change_since_it_was_looked_at_is_not_written_over(library: Path) -> None:
    seen = digest_sidecar(library, NAME)
    (library / NAME).write_text("piece: SH-014\nnotes: mine\n", encoding="utf-8")
    with pytest.raises(FilingError, match="has changed meanwhile"):
        add_to_sidecar(library, NAME, look, LIMIT, seen)
    assert (library / NAME).read_text(encoding="utf-8") == "piece: SH-014\nnotes: mine\n"


def test_a_change_while_it_is_edited_is_not_written_over(library: Path) -> None:
    def slowly(data: bytes) -> Edited:
        (library / NAME).write_bytes(data + b"notes: mine\r\n")
        return look(data)

    with pytest.raises(FilingError, match="has changed meanwhile"):
        add_to_sidecar(library, NAME, slowly, LIMIT)
    assert (library / NAME).read_bytes().decode() == TEXT + "notes: mine\r\n"


def test_a_file_that_cannot_be_added_to_stays(library: Path) -> None:
    (library / NAME).write_bytes(b"piece: SH-014\nchecks: 2025-01-14\n")
    with pytest.raises(FilingError, match="by hand"):
        add_to_sidecar(library, NAME, look, LIMIT)
    assert (library / NAME).read_bytes() == b"piece: SH-014\nchecks: 2025-01-14\n"


def test_a_file_does_not_grow_beyond_what_is_read(library: Path) -> None:
    with pytest.raises(FilingError, match=f"larger than {len(TEXT)} bytes"):
        add_to_sidecar(library, NAME, look, len(TEXT))
    assert (library / NAME).read_bytes().decode() == TEXT


def test_a_disk_that_refuses_leaves_the_file_as_it_was(library: Path, monkeypatch) -> None:
    def refuse(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(FilingError, match="No space left on device"):
        add_to_sidecar(library, NAME, look, LIMIT)
    assert (library / NAME).read_bytes().decode() == TEXT
    assert names(library) == ["sample.yaml"]


def test_a_file_that_is_not_to_be_written_is_said(library: Path, monkeypatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # a root may all
    with pytest.raises(FilingError, match="change their permissions"):
        add_to_sidecar(library, NAME, look, LIMIT)
    assert (library / NAME).read_bytes().decode() == TEXT


def test_a_file_that_is_not_there_is_said(library: Path) -> None:
    with pytest.raises(FilingError, match="cannot be read"):
        add_to_sidecar(library, "samples/SH-015/sample.yaml", look, LIMIT)
    with pytest.raises(FilingError, match="cannot be read"):
        digest_sidecar(library, "samples/SH-015/sample.yaml")


@pytest.mark.skipif(os.name == "nt", reason="permissions and links are of another kind there")
def test_permissions_and_links_stay(library: Path) -> None:
    real = library / "kept.yaml"
    (library / NAME).rename(real)
    real.chmod(0o640)
    (library / NAME).symlink_to(real)
    add_to_sidecar(library, NAME, look, LIMIT)
    assert (library / NAME).is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert real.read_bytes().decode().startswith(TEXT)


@pytest.mark.skipif(os.name == "nt", reason="links are of another kind there")
def test_nothing_outside_the_library_is_written_to(library: Path, tmp_path_factory) -> None:
    outside = tmp_path_factory.mktemp("outside") / "sample.yaml"
    outside.write_bytes(TEXT.encode())
    (library / NAME).unlink()
    (library / NAME).symlink_to(outside)
    with pytest.raises(FilingError, match="leads outside the library"):
        add_to_sidecar(library, NAME, look, LIMIT)
    (library / NAME).unlink()
    (library / NAME).symlink_to(library / NAME)
    with pytest.raises(FilingError):
        add_to_sidecar(library, NAME, look, LIMIT)
    assert outside.read_bytes().decode() == TEXT
