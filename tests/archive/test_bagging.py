"""A library bagged and taken out again is the same library; a bag is whole, or is not there."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
import zipfile
from pathlib import Path

import bagit
import pytest

from builder.archive import bagging
from builder.archive.bagging import make_bag, refuse_early
from builder.archive.choosing import choose_files
from builder.archive.file_times import read_times
from builder.archive.guide import write_guide
from builder.archive.restoring import restore_bag
from builder.errors import ArchiveError, LibraryError
from builder.ledger import read_ledger
from builder.safe_files import part_of
from tests.archive.bag_folders import judge, noted, said
from tests.archive.little_library import (
    AT,
    ORIGINALS,
    OWN,
    contents,
    make_little_library,
    order_bag,
)

TEXTS = {"READ-ME-FIRST.txt": "Read me.\n", "tables/pieces.csv": "piece\n"}
KINDS = pytest.mark.parametrize("zipped", [False, True], ids=["folder", "zip"])


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return make_little_library(tmp_path / "library")


def dest_of(tmp_path: Path, zipped: bool) -> Path:
    return tmp_path / ("kept.zip" if zipped else "kept")


def unpack(place: Path, tmp_path: Path) -> Path:
    """The bag's folder, unpacked by the standard library where it is a zip file."""
    if place.is_dir():
        return place
    with zipfile.ZipFile(place) as archive:
        archive.extractall(tmp_path / "unpacked")
    return tmp_path / "unpacked" / place.stem


@KINDS
def test_a_library_comes_out_of_its_bag_as_it_went_in(
    library: Path, tmp_path: Path, zipped: bool
) -> None:
    before = contents(library)
    dest = dest_of(tmp_path, zipped)
    make_bag(order_bag(library, dest, zipped), TEXTS)
    restored = restore_bag(dest, tmp_path / "again")
    assert restored.files == len(OWN)
    assert contents(tmp_path / "again") == {name: before[name] for name in OWN}
    assert contents(library) == before


@KINDS
def test_another_program_finds_our_bag_valid(library: Path, tmp_path: Path, zipped: bool) -> None:
    dest = dest_of(tmp_path, zipped)
    make_bag(order_bag(library, dest, zipped), TEXTS)
    bag = bagit.Bag(str(unpack(dest, tmp_path)))
    bag.validate()
    assert bag.version_info == (1, 0)
    assert sorted(bag.algorithms) == ["sha256", "sha512"]
    assert bag.info["External-Identifier"] == "little"
    assert bag.info["Bagging-Date"] == "2026-03-01"
    assert set(bag.payload_files()) == {
        *(f"data/library/{name}" for name in OWN),
        *(f"data/{name}" for name in TEXTS),
    }
    assert list(bag.missing_optional_tagfiles()) == []


@pytest.mark.skipif(not shutil.which("sha512sum"), reason="no sha512sum here")
def test_a_digest_tool_alone_checks_a_bag_and_a_line_of_its_ledger(
    library: Path, tmp_path: Path
) -> None:
    """The commands that the guide names."""
    ledger = read_ledger(library)
    dest = tmp_path / "kept"
    guide = write_guide("Little", choose_files(library), {"pieces.csv": {"piece": "x"}}, AT.date())
    make_bag(order_bag(library, dest), {**TEXTS, "READ-ME-FIRST.txt": guide})
    for kind in ("sha512", "sha256"):
        for manifest in ("manifest", "tagmanifest"):
            run = f"{kind}sum -c {manifest}-{kind}.txt"
            done = subprocess.run(run.split(), cwd=dest, capture_output=True)  # noqa: S603
            assert done.returncode == 0
    command = guide[guide.index("sed -n 5p") : guide.index("must give the seal")]
    told = subprocess.run(["/bin/sh", "-c", command], cwd=dest, capture_output=True, text=True)  # noqa: S603
    assert told.stdout.split()[0] == ledger.entries[4].seal == ledger.entries[5].before


def test_two_bags_of_the_same_library_are_the_same_bytes(library: Path, tmp_path: Path) -> None:
    made = []
    for place in ("one", "two"):
        (tmp_path / place).mkdir()
        make_bag(order_bag(library, tmp_path / place / "kept.zip", True), TEXTS)
        made.append((tmp_path / place / "kept.zip").read_bytes())
    assert made[0] == made[1]


def test_pictures_are_stored_and_words_are_packed(library: Path, tmp_path: Path) -> None:
    make_bag(order_bag(library, tmp_path / "kept.zip", True), TEXTS)
    with zipfile.ZipFile(tmp_path / "kept.zip") as archive:
        packed = {info.filename: info.compress_type for info in archive.infolist()}
    assert packed[f"kept/data/library/{ORIGINALS[0]}"] == zipfile.ZIP_STORED
    assert packed["kept/data/library/mkdocs.yml"] == zipfile.ZIP_DEFLATED


def test_each_file_is_opened_once_while_it_is_bagged(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    plain = Path.open

    def count(self: Path, *args: object, **kept: object) -> object:
        if self.is_relative_to(library / "samples"):
            opened.append(self.relative_to(library).as_posix())
        return plain(self, *args, **kept)  # type: ignore[call-overload]

    order = order_bag(library, tmp_path / "kept")
    monkeypatch.setattr(Path, "open", count)
    make_bag(order, TEXTS)
    assert sorted(opened) == sorted(name for name in OWN if name.startswith("samples/"))


def test_times_are_told_to_the_nanosecond(library: Path, tmp_path: Path) -> None:
    make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    told = read_times((tmp_path / "kept" / "file-times.tsv").read_bytes())
    assert told == {f"data/library/{name}": (library / name).stat().st_mtime_ns for name in OWN}
    assert (
        b"data/library/samples/SH-002/\xc3\x84 b.jpg\t2020-09-21T12:26:40.123456708Z\n"
        in (tmp_path / "kept" / "file-times.tsv").read_bytes()
    )


def test_a_per_cent_in_a_name_is_written_as_the_standard_has_it(
    library: Path, tmp_path: Path
) -> None:
    """RFC 8493, 2.1.3; the package bagit and digest tools take %25 for itself."""
    (library / "docs/100%.md").write_text("x", encoding="utf-8")
    verdict = make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    assert "  data/library/docs/100%25.md\n" in (tmp_path / "kept/manifest-sha512.txt").read_text(
        "utf-8"
    )
    assert "docs/100%.md: some programs for bags do not find names with a %" in noted(verdict)
    restore_bag(tmp_path / "kept", tmp_path / "again")
    assert (tmp_path / "again/docs/100%.md").is_file()


def test_a_time_before_1970_is_kept(library: Path, tmp_path: Path) -> None:
    os.utime(library / ORIGINALS[0], ns=(-1, -1))
    make_bag(order_bag(library, tmp_path / "kept.zip", True), TEXTS)
    restore_bag(tmp_path / "kept.zip", tmp_path / "again")
    assert (tmp_path / "again" / ORIGINALS[0]).stat().st_mtime_ns == -1


@KINDS
@pytest.mark.parametrize("same_size", [True, False])
def test_an_original_that_is_not_the_ledgers_stops_it(
    library: Path, tmp_path: Path, zipped: bool, same_size: bool
) -> None:
    data = bytearray((library / ORIGINALS[0]).read_bytes())
    data[100] ^= 1
    (library / ORIGINALS[0]).write_bytes(data if same_size else data + b"x")
    dest = dest_of(tmp_path, zipped)
    with pytest.raises(ArchiveError, match=f"{ORIGINALS[0]}: changed since the ledger's entry 2"):
        make_bag(order_bag(library, dest, zipped), TEXTS)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library"]
    make_bag(order_bag(library, dest, zipped, as_it_is=True), TEXTS)
    verdict = judge(dest)
    assert verdict.valid, said(verdict)
    assert ("Patinarium-As-It-Is", f"data/library/{ORIGINALS[0]}") in verdict.about
    assert f"data/library/{ORIGINALS[0]}: changed since the ledger's entry 2" in noted(verdict)
    restore_bag(dest, tmp_path / "again")


def test_an_original_that_is_gone_stops_it(library: Path, tmp_path: Path) -> None:
    (library / ORIGINALS[0]).unlink()
    with pytest.raises(ArchiveError, match=f"{ORIGINALS[0]}: missing"):
        make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    make_bag(order_bag(library, tmp_path / "kept", as_it_is=True), TEXTS)
    assert judge(tmp_path / "kept").valid


def test_a_ledger_with_a_fault_stops_it(library: Path, tmp_path: Path) -> None:
    ledger = library / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"SH-001", b"SH-009", 1))
    with pytest.raises(ArchiveError, match=r"ledger\.jsonl:2: this line was changed"):
        refuse_early(order_bag(library, tmp_path / "kept"))
    make_bag(order_bag(library, tmp_path / "kept", as_it_is=True), TEXTS)
    assert judge(tmp_path / "kept").valid


def test_a_note_edited_and_a_file_not_in_the_ledger_are_only_noted(
    library: Path, tmp_path: Path
) -> None:
    with (library / "samples/SH-001/sample.yaml").open("a", encoding="utf-8") as stream:
        stream.write("outcome: success\n")
    (library / "samples/SH-001/new.jpg").write_bytes(b"new")
    verdict = make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    assert "samples/SH-001/sample.yaml: changed since" in noted(verdict)
    assert "samples/SH-001/new.jpg: added: not in the ledger yet" in noted(verdict)
    assert judge(tmp_path / "kept").valid


def test_only_the_librarys_own_goes_in(library: Path) -> None:
    (library / "samples/SH-001/.DS_Store").write_bytes(b"x")
    (library / "samples/.git").mkdir()
    (library / "samples/.git/HEAD").write_bytes(b"x")
    chosen = choose_files(library)
    assert {file.path for file in chosen.files} == OWN
    assert chosen.passed_over == ("samples/.git", "samples/SH-001/.DS_Store")


@pytest.mark.parametrize(
    ("target", "reason"),
    [
        ("/etc", "a link that leads outside the library"),
        ("../../nowhere", "a link that leads nowhere"),
        ("../samples", "a link to a folder that it is in"),
        ("../.git", "a link to what is no part of the library"),
    ],
)
def test_a_link_that_leads_elsewhere_is_refused_by_name(
    library: Path, target: str, reason: str
) -> None:
    (library / "samples" / "SH-003").symlink_to(target)
    with pytest.raises(LibraryError, match=f"samples/SH-003: this is {reason}"):
        choose_files(library)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_is_refused_by_name(library: Path) -> None:
    os.mkfifo(library / "samples" / "pipe.jpg")
    with pytest.raises(LibraryError, match=r"samples/pipe.jpg: this is no file"):
        choose_files(library)


def test_a_link_within_the_library_is_bagged_as_the_file_it_leads_to(
    library: Path, tmp_path: Path
) -> None:
    (library / "samples/SH-001/b.jpg").symlink_to("../SH-002/sample.yaml")
    make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    there = tmp_path / "kept/data/library/samples/SH-001/b.jpg"
    assert not there.is_symlink()
    assert there.read_bytes() == (library / "samples/SH-002/sample.yaml").read_bytes()


def test_names_that_some_disks_cannot_keep_are_noted(library: Path, tmp_path: Path) -> None:
    for name in ("docs/About.md", "docs/what?.md"):
        (library / name).write_text("x", encoding="utf-8")
    verdict = make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    assert "docs/About.md: some disks take it and docs/about.md for one file" in noted(verdict)
    assert "docs/what?.md: this is a name that Windows cannot keep" in noted(verdict)


@KINDS
def test_a_bag_never_takes_anothers_place(library: Path, tmp_path: Path, zipped: bool) -> None:
    dest = dest_of(tmp_path, zipped)
    dest.write_text("mine", encoding="utf-8")
    with pytest.raises(ArchiveError, match="this name is taken"):
        make_bag(order_bag(library, dest, zipped), TEXTS)
    assert dest.read_text(encoding="utf-8") == "mine"


@KINDS
def test_nor_one_that_came_meanwhile(
    library: Path, tmp_path: Path, zipped: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    dest = dest_of(tmp_path, zipped)
    order = order_bag(library, dest, zipped)
    write_tags = bagging._write_tags

    def meanwhile(*args: object) -> None:
        dest.write_text("mine", encoding="utf-8")
        write_tags(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(bagging, "_write_tags", meanwhile)
    with pytest.raises(ArchiveError, match="could not be made"):
        make_bag(order, TEXTS)
    assert dest.read_text(encoding="utf-8") == "mine"
    assert not part_of(dest).exists()


@pytest.mark.parametrize("place", ["samples/kept", "docs/sub/kept", "site/kept", ".patinarium/k"])
def test_no_bag_is_made_in_a_folder_of_the_librarys_own(library: Path, place: str) -> None:
    with pytest.raises(ArchiveError, match="a folder of the library's own"):
        refuse_early(order_bag(library, library / place))


def test_a_place_that_is_not_there_is_named(library: Path, tmp_path: Path) -> None:
    with pytest.raises(ArchiveError, match="no folder to put it in"):
        refuse_early(order_bag(library, tmp_path / "stick" / "kept"))


def test_a_disk_without_room_is_told_at_once(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        bagging.shutil, "disk_usage", lambda path: shutil._ntuple_diskusage(9, 8, 1)
    )
    with pytest.raises(ArchiveError, match="0 MB free"):
        refuse_early(order_bag(library, tmp_path / "kept"))


@KINDS
def test_a_disk_that_fills_up_leaves_no_bag(
    library: Path, tmp_path: Path, zipped: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    left = [1 if zipped else 4]
    fsync = os.fsync

    def fill(handle: int) -> None:
        left[0] -= 1
        if left[0] <= 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        fsync(handle)

    monkeypatch.setattr(os, "fsync", fill)
    with pytest.raises(ArchiveError, match="No space left on device"):
        make_bag(order_bag(library, dest_of(tmp_path, zipped), zipped), TEXTS)
    assert [path.name for path in tmp_path.iterdir()] == ["library"]


@KINDS
def test_a_disk_that_keeps_other_bytes_leaves_no_bag(
    library: Path, tmp_path: Path, zipped: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    judge_bag = bagging._judge

    def spoil(part: Path, *rest: object) -> object:
        file = part / "data/library" / ORIGINALS[0] if part.is_dir() else part
        data = bytearray(file.read_bytes())
        data[data.find(b"\xff\xd8") + 100] ^= 1
        file.write_bytes(data)
        return judge_bag(part, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(bagging, "_judge", spoil)
    with pytest.raises(ArchiveError, match=ORIGINALS[0]):
        make_bag(order_bag(library, dest_of(tmp_path, zipped), zipped), TEXTS)
    assert [path.name for path in tmp_path.iterdir()] == ["library"]


KILLED = """
import os, signal, sys
from pathlib import Path
from builder.archive import bagging, restoring
from tests.archive.little_library import order_bag
if sys.argv[1] == "bag":
    bagging._write_tags = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
    order = order_bag(Path(sys.argv[2]), Path(sys.argv[3]), sys.argv[3].endswith("zip"))
    bagging.make_bag(order, {})
else:
    restoring._warn_of_code = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
    restoring.restore_bag(Path(sys.argv[2]), Path(sys.argv[3]))
"""


def run_killed(*words: object) -> None:
    root = Path(__file__).parents[2]
    run = subprocess.run(  # noqa: S603
        [sys.executable, "-c", KILLED, *map(str, words)], cwd=root, capture_output=True
    )
    assert run.returncode == -signal.SIGKILL, run.stderr


@pytest.mark.skipif(os.name == "nt", reason="killed otherwise")
@KINDS
def test_a_killed_run_leaves_no_bag_and_the_next_one_clears_up(
    library: Path, tmp_path: Path, zipped: bool
) -> None:
    dest = dest_of(tmp_path, zipped)
    run_killed("bag", library, dest)
    assert part_of(dest).exists() and not dest.exists()
    make_bag(order_bag(library, dest, zipped), TEXTS)
    assert judge(dest).valid
    run_killed("restore", dest, tmp_path / "again")
    assert part_of(tmp_path / "again").exists() and not (tmp_path / "again").exists()
    restore_bag(dest, tmp_path / "again")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["again", dest.name, "library"]


@KINDS
def test_one_flipped_bit_in_any_file_of_a_bag_is_found_and_named(
    library: Path, tmp_path: Path, zipped: bool
) -> None:
    dest = dest_of(tmp_path, zipped)
    make_bag(order_bag(library, dest, zipped), TEXTS)
    root = unpack(dest, tmp_path)
    for path in sorted(root.rglob("*")):
        if path.is_dir():
            continue
        data = path.read_bytes()
        flipped = bytearray(data)
        flipped[len(data) // 3] ^= 4
        path.write_bytes(flipped)
        verdict = judge(root)
        name = path.relative_to(root).as_posix()
        assert any(problem.file.startswith(name) for problem in verdict.faults), name
        path.write_bytes(data)
    assert judge(root).valid


def test_one_flipped_bit_in_any_place_of_a_zip_file_is_no_valid_other_library(
    library: Path, tmp_path: Path
) -> None:
    """Some bits of a zip file say nothing of its content (times, say); all else is found."""
    dest = tmp_path / "kept.zip"
    make_bag(order_bag(library, dest, True), TEXTS)
    data, whole = dest.read_bytes(), judge(dest).digests
    for place in range(0, len(data), 97):
        flipped = bytearray(data)
        flipped[place] ^= 1
        dest.write_bytes(flipped)
        try:
            verdict = judge(dest)
        except ArchiveError:
            continue
        assert verdict.faults or verdict.digests == whole, place


def test_a_restored_library_takes_nobodys_place(library: Path, tmp_path: Path) -> None:
    make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "precious.txt").write_text("mine", encoding="utf-8")
    for place in (mine, mine / "precious.txt"):
        with pytest.raises(ArchiveError, match="this"):
            restore_bag(tmp_path / "kept", place)
    assert contents(mine).keys() == {"precious.txt"}
    (tmp_path / "empty").mkdir()
    restore_bag(tmp_path / "kept", tmp_path / "empty")
    assert contents(tmp_path / "empty").keys() == OWN


def test_a_bag_with_a_fault_is_not_restored(library: Path, tmp_path: Path) -> None:
    make_bag(order_bag(library, tmp_path / "kept"), TEXTS)
    (tmp_path / "kept/data/library" / ORIGINALS[0]).write_bytes(b"other")
    with pytest.raises(ArchiveError, match=f"{ORIGINALS[0]}: changed"):
        restore_bag(tmp_path / "kept", tmp_path / "again")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["kept", "library"]


def test_a_disk_that_fills_up_leaves_no_library(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_bag(order_bag(library, tmp_path / "kept"), TEXTS)

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ArchiveError, match="No space left on device"):
        restore_bag(tmp_path / "kept", tmp_path / "again")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["kept", "library"]


def test_how_tables_became_pieces_goes_with_the_library(library: Path) -> None:
    (library / "imports").mkdir()
    (library / "imports" / "notebook.yaml").write_text("table: notebook.csv\n", encoding="utf-8")
    assert "imports/notebook.yaml" in {file.path for file in choose_files(library).files}
