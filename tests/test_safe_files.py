"""A file is whole under its name, or not there."""

from __future__ import annotations

import errno
import hashlib
import os
from pathlib import Path

import pytest

from builder import safe_files
from builder.safe_files import (
    ChangedCopyError,
    append_whole,
    clear_parts,
    copy_whole,
    part_of,
    write_whole,
)


def list_names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_copy_has_the_bytes_and_the_time_of_its_source(tmp_path: Path) -> None:
    source, target = tmp_path / "IMG_1.jpg", tmp_path / "kept.jpg"
    source.write_bytes(b"x" * 3_000_001)
    os.utime(source, ns=(1_700_000_000_123_456_789, 1_700_000_000_123_456_789))
    copied = copy_whole(source, target)
    assert target.read_bytes() == source.read_bytes()
    assert copied.sha256 == hashlib.sha256(source.read_bytes()).hexdigest()
    assert copied.bytes == 3_000_001
    assert target.stat().st_mtime_ns == source.stat().st_mtime_ns
    assert list_names(tmp_path) == ["IMG_1.jpg", "kept.jpg"]


@pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
def test_a_copy_never_takes_the_place_of_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    if not links:  # as on a FAT stick

        def refuse(*_: object) -> None:
            raise OSError(errno.EPERM, "no links here")

        monkeypatch.setattr(os, "link", refuse)
    source, target = tmp_path / "new.jpg", tmp_path / "kept.jpg"
    source.write_bytes(b"new")
    target.write_bytes(b"old")
    with pytest.raises(FileExistsError):
        copy_whole(source, target)
    assert target.read_bytes() == b"old"
    target.unlink()
    copy_whole(source, target)
    assert target.read_bytes() == b"new"
    assert list_names(tmp_path) == ["kept.jpg", "new.jpg"]


def test_a_copy_that_reads_back_otherwise_gets_no_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source, target = tmp_path / "new.jpg", tmp_path / "kept.jpg"
    source.write_bytes(b"new")
    monkeypatch.setattr(safe_files, "digest_file", lambda path: "0" * 64)
    with pytest.raises(ChangedCopyError):
        copy_whole(source, target)
    assert list_names(tmp_path) == ["new.jpg"]


def test_a_full_disk_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "sample.yaml"
    target.write_bytes(b"piece: SH-001\n")

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(target, b"other")
    with pytest.raises(OSError, match="No space left"):
        append_whole(target, b"more")
    with pytest.raises(OSError, match="No space left"):
        copy_whole(target, tmp_path / "copy.yaml")
    assert target.read_bytes() == b"piece: SH-001\n"
    assert list_names(tmp_path) == ["sample.yaml"]


@pytest.mark.skipif(os.name == "nt", reason="permissions of another kind")
def test_a_file_keeps_its_permissions(tmp_path: Path) -> None:
    target = tmp_path / "sample.yaml"
    target.write_bytes(b"old")
    target.chmod(0o640)
    write_whole(target, b"new")
    assert target.read_bytes() == b"new"
    assert target.stat().st_mode & 0o777 == 0o640


def test_what_a_killed_run_left_is_cleared_and_nothing_else(tmp_path: Path) -> None:
    part_of(tmp_path / "a.jpg").write_bytes(b"half")
    (tmp_path / ".hidden").write_bytes(b"mine")
    (tmp_path / "a.patinarium-part").write_bytes(b"mine")
    clear_parts(tmp_path)
    assert list_names(tmp_path) == [".hidden", "a.patinarium-part"]
