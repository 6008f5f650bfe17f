"""Files are written once, and never over another."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.errors import PrintError
from builder.records.jig import A4
from builder.sheets.printing import PrintFile, keep_files, print_jig

FILES = (PrintFile("one.pdf", b"1"), PrintFile("two.svg", b"2"))


def test_files_are_named_for_paper_and_number() -> None:
    assert [file.name for file in print_jig(A4, 12, ("pdf", "svg"))] == [
        "jig-a4-0012.pdf",
        "jig-a4-0012.svg",
    ]


def test_files_of_the_same_bytes_are_left(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "place"
    assert [new for _, new in keep_files(folder, FILES)] == [True, True]
    assert [new for _, new in keep_files(folder, FILES)] == [False, False]
    assert (folder / "two.svg").read_bytes() == b"2"


def test_another_file_of_that_name_is_kept_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "two.svg").write_bytes(b"mine")
    with pytest.raises(PrintError, match=r"two\.svg: another file"):
        keep_files(tmp_path, FILES)
    assert (tmp_path / "two.svg").read_bytes() == b"mine"
    assert not (tmp_path / "one.pdf").exists()


def test_a_folder_that_is_a_file_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "taken").write_bytes(b"")
    with pytest.raises(PrintError, match="--out"):
        keep_files(tmp_path / "taken", FILES)
