"""The whole library."""

import datetime as dt
import os
from pathlib import Path

import pytest

from builder.errors import LibraryError, Problem, Weight
from builder.read.library import order_number, read_library
from builder.read.settings import read_settings_file
from builder.records.facts import Known
from builder.records.settings import Settings
from tests.read.library_folder import TODAY

HOME = Path(__file__).parents[2]


def numbers(library):
    return [(entry.piece.piece, entry.piece.attempt) for entry in library.read().entries]


def test_entries_come_in_the_order_of_number_and_attempt(library):
    for number in ("SH-10", "SH-2", "SH-1"):
        library.whole(number)
    library.write("SH-3", "piece: SH-3\nattempt: 2\n---\npiece: SH-3\nattempt: 1\n")
    assert numbers(library) == [("SH-1", 1), ("SH-2", 1), ("SH-3", 1), ("SH-3", 2), ("SH-10", 1)]


def test_figures_in_a_number_count_as_numbers():
    assert sorted(["B-1", "a-10", "a-9", "7"], key=order_number) == ["7", "a-9", "a-10", "B-1"]


def test_two_folders_with_one_number_leave_the_second_out(library):
    library.whole("SH-001")
    library.write("SH-001-copy", "piece: SH-001\nmetal: brass\nmethod: dip\nstarted: 2024-10-01\n")
    read = library.read()
    assert [entry.file for entry in read.entries] == ["samples/SH-001/sample.yaml"]
    (problem,) = [problem for problem in read.problems if problem.weight is Weight.LEFT_OUT]
    assert (problem.file, problem.line) == ("samples/SH-001-copy/sample.yaml", 1)
    said = "attempt 1 at SH-001 is written in samples/SH-001/sample.yaml (line 1) too"
    assert problem.found == said


def test_numbers_that_differ_in_capitals_alone_would_share_a_page(library):
    library.whole("SH-001")
    library.write("other", "piece: sh-001\nmetal: brass\nmethod: dip\nstarted: 2024-10-01\n")
    assert numbers(library) == [("SH-001", 1)] or numbers(library) == [("sh-001", 1)]
    assert any("differ in capitals alone" in said for said in library.problems())


def test_one_bad_sidecar_leaves_the_rest(library):
    library.whole("SH-001", "", "a.jpg")
    library.write("SH-002", "piece: [\n", "b.jpg")
    library.write("SH-003", b"\xff\xfe\x00", "c.jpg")
    read = library.read()
    assert [entry.piece.piece for entry in read.entries] == ["SH-001"]
    assert [photo.path for photo in read.photos] == ["samples/SH-001/a.jpg"]
    assert [problem.file for problem in read.problems] == [
        "samples/SH-002/sample.yaml", "samples/SH-003/sample.yaml",
    ]  # fmt: skip


def test_a_folder_without_a_sidecar_is_told(library):
    for name in ("a.jpg", "sample.yml"):
        folder = library.root / "samples" / f"with-{name}"
        folder.mkdir()
        (folder / name).write_bytes(b"")
    (library.root / "samples" / "empty").mkdir()
    (library.root / "samples" / ".hidden").mkdir()
    first, second = library.problems()
    assert "there is no sample.yaml in this folder; expected sample.yaml; write one" in first
    assert second.endswith("rename “sample.yml”")


def test_pictures_that_lie_in_no_folder_are_told(library):
    (library.root / "samples" / "lost.jpg").write_bytes(b"")
    (library.root / "samples" / "card.txt").write_bytes(b"")
    (said,) = library.problems()
    assert said.startswith("samples/lost.jpg: this lies in no piece's folder")


def test_a_library_without_pieces_is_one(library):
    read = library.read()
    assert (read.entries, read.photos, read.problems) == ((), (), ())


def test_no_folder_of_pieces_stops_the_run(tmp_path):
    with pytest.raises(LibraryError, match="there is no such folder"):
        read_library(tmp_path, Settings(samples="pieces"), TODAY)


def test_problems_of_the_settings_are_told_with_the_others(library):
    problem = Problem("card.txt", 1, "a fault", "", "")
    assert library.read(Settings(problems=(problem,))).problems == (problem,)


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege on Windows")
def test_links_out_of_the_library_are_left_out(library, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (outside / "sample.yaml").write_text("piece: SH-666\nnotes: secret\n")
    samples = library.root / "samples"
    (samples / "SH-666").symlink_to(outside)
    (samples / "SH-667").mkdir()
    (samples / "SH-667" / "sample.yaml").symlink_to(outside / "sample.yaml")
    (samples / "SH-668").mkdir()
    (samples / "SH-668" / "sample.yaml").symlink_to(samples / "SH-668" / "sample.yaml")
    read = library.read()
    assert read.entries == ()
    assert [problem.weight for problem in read.problems] == [Weight.LEFT_OUT] * 3
    assert "secret" not in "".join(map(str, read.problems))


def test_reading_changes_nothing(library):
    library.whole("SH-001", "notes: one\n", "a.jpg")
    before = {path: (path.stat().st_mtime_ns, path.read_bytes() if path.is_file() else b"")
              for path in sorted(library.root.rglob("*"))}  # fmt: skip
    first, second = library.read(), library.read()
    assert first == second
    after = {path: (path.stat().st_mtime_ns, path.read_bytes() if path.is_file() else b"")
             for path in sorted(library.root.rglob("*"))}  # fmt: skip
    assert before == after


def test_every_problem_says_where_what_and_how(library):
    library.write(
        "SH-001",
        "pece: 1\nmetal: [a]\nsame_as: SH-9\nexposure: long\nchecks: [{date: 2031-01-01}]\n",
    )
    for problem in library.read().problems:
        assert problem.file
        assert problem.found
        assert problem.expected.startswith("expected ")
        assert problem.remedy


@pytest.fixture(scope="module")
def demo():
    return read_library(HOME, read_settings_file(HOME), dt.date(2026, 6, 1))


def test_the_demo_library_is_read_whole(demo):
    assert len(demo.entries) == 30
    assert len(demo.photos) > 200
    assert all(entry.piece.metal.given and entry.piece.started.given for entry in demo.entries)
    assert all(problem.weight is Weight.NOTED for problem in demo.problems)


def test_the_faults_planted_in_the_demo_are_told_and_nothing_else(demo):
    told = [str(problem) for problem in demo.problems]
    planted = (
        "samples/SH-014/SH-012_2024-11-05_recheck_front.jpg: the file's name says SH-012",
        "is before the piece began, 2024-11-12",
        "samples/SH-029/sample.yaml:4: thickness is “20”",
        "is “a splash”",
    )
    for fault in planted:
        assert any(fault in said for said in told), fault
    assert len(told) == len(planted), "\n".join(told)


def test_the_demo_keeps_unknown_and_not_measured_apart(demo):
    pieces = {entry.piece.piece: entry.piece for entry in demo.entries}
    assert pieces["SH-028"].humidity_pct.known is Known.UNKNOWN
    assert pieces["SH-029"].humidity_pct.known is Known.NOT_MEASURED
