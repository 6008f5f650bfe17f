"""Bags from strangers: nothing outside is read or written, and no run goes on without end."""

from __future__ import annotations

import os
import stat
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.archive import trees, zips
from builder.archive.restoring import restore_bag
from builder.errors import ArchiveError
from builder.ledger import seal_entries
from builder.records.ledger import Deed, Draft
from tests.archive.bag_folders import (
    V10,
    Files,
    digest,
    encode,
    judge,
    list_files,
    make_files,
    noted,
    said,
    seal,
    write_files,
)
from tests.archive.little_library import AT

LIBRARY = {
    "data/library/mkdocs.yml": "site_name: A\nplugins:\n  - patinarium\n",
    "data/library/samples/A-1/a.jpg": "a picture",
}


def zip_files(place: Path, files: Files, top: str = "bag/") -> Path:
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, content in files.items():
            archive.writestr(f"{top}{path}", encode(content))
    return place


def test_a_zip_file_is_judged_as_a_folder_is(tmp_path: Path) -> None:
    verdict = judge(zip_files(tmp_path / "a.zip", make_files(LIBRARY)))
    assert verdict.valid and verdict.notes == [], said(verdict)
    spoiled = {**make_files(LIBRARY), "data/library/samples/A-1/a.jpg": "another"}
    assert "a.jpg: changed" in said(judge(zip_files(tmp_path / "b.zip", spoiled)))


def test_a_bag_zipped_without_its_folder_is_taken_and_said(tmp_path: Path) -> None:
    verdict = judge(zip_files(tmp_path / "a.zip", make_files(LIBRARY), ""))
    assert verdict.valid
    assert "without a folder round them" in noted(verdict)


def test_what_lies_beside_the_bag_in_a_zip_file_is_named(tmp_path: Path) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    with zipfile.ZipFile(place, "a") as archive:
        archive.writestr("__MACOSX/bag/._x", b"left by a system")
        archive.writestr("other/evil.txt", b"x")
    assert said(judge(place)).startswith("other/evil.txt: this lies beside the bag")


@pytest.mark.parametrize(
    "name",
    ["../evil", "bag/../../evil", "/evil", "~/evil", "C:/evil", "bag\\..\\evil", "bag//evil"],
)
def test_a_member_that_leads_elsewhere_is_refused(tmp_path: Path, name: str) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    with zipfile.ZipFile(place, "a") as archive:
        archive.writestr(zipfile.ZipInfo(name), b"x")
    assert "this is" in said(judge(place))
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(ArchiveError):
        restore_bag(place, tmp_path / "new")
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(("kind", "found"), [(stat.S_IFLNK, "a link"), (stat.S_IFIFO, "no file")])
def test_a_link_or_a_pipe_in_a_zip_file_is_refused(tmp_path: Path, kind: int, found: str) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    member = zipfile.ZipInfo("bag/data/link")
    member.create_system, member.external_attr = 3, (kind | 0o777) << 16
    with zipfile.ZipFile(place, "a") as archive:
        archive.writestr(member, b"/etc/passwd")
    assert f"bag/data/link: this is {found}" in said(judge(place))


def test_a_link_in_a_folder_is_refused_and_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("secret", encoding="utf-8")
    payload = {**LIBRARY, "data/library/samples/A-1/b.jpg": "secret"}
    root = write_files(tmp_path / "bag", make_files(payload))
    link = root / "data/library/samples/A-1/b.jpg"
    link.unlink()
    link.symlink_to(secret)
    (root / "data/up").symlink_to(tmp_path, target_is_directory=True)
    verdict = judge(root)
    assert f"{link.relative_to(root)}: this is a link" in said(verdict)
    assert "data/up: this is a link" in said(verdict)
    assert "data/library/samples/A-1/b.jpg" not in verdict.digests


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_in_a_folder_does_not_make_it_wait(tmp_path: Path) -> None:
    root = write_files(tmp_path / "bag", make_files(LIBRARY))
    os.mkfifo(root / "data" / "pipe")
    assert "data/pipe: this is no file" in said(judge(root))


def test_a_member_there_twice_is_refused(tmp_path: Path) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(place, "a") as archive:
        archive.writestr("bag/data/library/mkdocs.yml", b"another")
    assert "bag/data/library/mkdocs.yml: this member is there twice" in said(judge(place))


def test_a_file_that_is_a_folder_too_is_refused(tmp_path: Path) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    with zipfile.ZipFile(place, "a") as archive:
        archive.writestr("bag/data/library/mkdocs.yml/x", b"x")
    assert "this is a file and a folder" in said(judge(place))


def test_what_would_swell_is_refused_unread(tmp_path: Path) -> None:
    files = make_files({**LIBRARY, "data/library/samples/A-1/b.tif": b"\x00" * 5_000_000})
    verdict = judge(zip_files(tmp_path / "a.zip", files))
    assert "would swell to 5000000" in said(verdict)
    assert "data/library/samples/A-1/b.tif" not in verdict.digests


def patch_sizes(place: Path, name: str, size: int) -> None:
    """Another size of the member in the zip file's list (APPNOTE 4.3.12: 24 bytes into it)."""
    data = bytearray(place.read_bytes())
    at = data.find(b"PK\x01\x02")
    while data[at + 46 : at + 46 + len(name)] != name.encode():
        at = data.find(b"PK\x01\x02", at + 1)
    struct.pack_into("<L", data, at + 24, size)
    place.write_bytes(data)


@pytest.mark.parametrize("size", [1, 900_000])
def test_a_member_of_another_size_than_it_declares_is_found(tmp_path: Path, size: int) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    patch_sizes(place, "bag/data/library/samples/A-1/a.jpg", size)
    verdict = judge(place)
    assert "data/library/samples/A-1/a.jpg: " in said(verdict)
    assert max(verdict.sizes.values()) < 1000


def test_members_that_lie_over_one_another_are_refused(tmp_path: Path) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    data = bytearray(place.read_bytes())
    first = data.find(b"PK\x01\x02")
    second = data.find(b"PK\x01\x02", first + 1)
    data[second + 42 : second + 46] = data[first + 42 : first + 46]  # where its bytes begin
    place.write_bytes(data)
    assert "lies over" in said(judge(place))


def test_an_encrypted_member_is_refused(tmp_path: Path) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    data = bytearray(place.read_bytes())
    data[data.find(b"PK\x01\x02") + 8] |= 1
    place.write_bytes(data)
    assert "this is encrypted" in said(judge(place))


@pytest.mark.parametrize("data", [b"", b"PK", b"PK\x05\x06" + b"\xff" * 18, b"\x00" * 100])
def test_rubbish_is_no_bag(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.zip").write_bytes(data)
    with pytest.raises(ArchiveError, match="cannot be opened"):
        judge(tmp_path / "a.zip")


def test_a_list_of_members_without_end_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = zip_files(tmp_path / "a.zip", make_files(LIBRARY))
    monkeypatch.setattr(zips, "_MOST_DIRECTORY", 100)
    with pytest.raises(ArchiveError, match="its list of members is too long"):
        judge(place)


@pytest.mark.parametrize("pack", [zip_files, write_files])
def test_bags_of_too_many_files_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pack: Callable[[Path, Files], Path]
) -> None:
    monkeypatch.setattr(trees, "MOST_FILES", 3)
    place = pack(tmp_path / "a.zip", make_files(LIBRARY))
    assert "there are more than 3" in said(judge(place))


def test_a_manifest_without_end_is_not_read(tmp_path: Path) -> None:
    root = write_files(tmp_path / "bag", make_files(LIBRARY))
    with (root / "manifest-sha512.txt").open("wb") as stream:
        stream.truncate(trees.MOST_TAG_BYTES + 1)
    assert "manifest-sha512.txt: it has more than 64000000 bytes" in said(judge(root))


def test_a_strangers_words_are_shown_as_they_are(tmp_path: Path) -> None:
    payload = {**LIBRARY, "data/\x1b[2J\u202egpj.exe": "x"}
    root = write_files(tmp_path / "bag", make_files(payload))
    (root / "data/\x1b[2J\u202egpj.exe").unlink()
    assert "data/\\x1b[2J\\u202egpj.exe: missing" in said(judge(root))


def test_a_ledger_in_a_bag_names_no_file_outside(tmp_path: Path) -> None:
    drafts = [
        Draft(Deed.BEGAN, facts={"library": "x"}),
        Draft(Deed.FILED, "../../../etc/passwd", "0" * 64, 1),
    ]
    ledger = seal_entries(drafts, None, AT)
    root = write_files(
        tmp_path / "bag", make_files({**LIBRARY, "data/library/ledger.jsonl": ledger})
    )
    assert "ledger.jsonl:2: an entry names a file outside the library" in said(judge(root))


def test_a_restored_library_holds_nothing_hidden(tmp_path: Path) -> None:
    payload = {
        **LIBRARY,
        "data/library/.git/hooks/post-checkout": "evil",
        "data/library/.patinarium/seen.sqlite3": "evil",
    }
    root = write_files(tmp_path / "bag", make_files(payload))
    restored = restore_bag(root, tmp_path / "new")
    assert sorted(path.name for path in (tmp_path / "new").iterdir()) == ["mkdocs.yml", "samples"]
    assert "a hidden file is no part of a library" in noted(restored.verdict)


def test_a_library_whose_settings_name_programs_is_told(tmp_path: Path) -> None:
    settings = LIBRARY["data/library/mkdocs.yml"] + "hooks:\n  - evil.py\n"
    root = write_files(
        tmp_path / "bag", make_files({**LIBRARY, "data/library/mkdocs.yml": settings})
    )
    assert "runs programs" in noted(restore_bag(root, tmp_path / "new").verdict)


def test_a_bag_without_a_library_is_not_restored(tmp_path: Path) -> None:
    root = write_files(tmp_path / "bag", make_files({"data/hello.txt": "hello"}))
    with pytest.raises(ArchiveError, match="there is no library in this bag"):
        restore_bag(root, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_two_names_for_one_manifest_line_do_not_pass_for_two_files(tmp_path: Path) -> None:
    payload = {"data/a.jpg": "x"}
    lines = list_files(payload) + f"{digest('x')}  data/A.jpg\n"
    files = seal({"bagit.txt": V10, "manifest-sha512.txt": lines, **payload})
    assert "is listed twice" in said(judge(write_files(tmp_path / "bag", files)))


def test_a_bag_that_would_swell_as_a_whole_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(zips, "_LITTLE", 1_000_000)
    files = {f"data/library/samples/A-1/{n}.tif": b"\x00" * 500_000 for n in range(4)}
    verdict = judge(zip_files(tmp_path / "a.zip", make_files({**LIBRARY, **files})))
    assert "bytes would swell to 2" in said(verdict)
    assert not verdict.digests


def test_a_bag_of_very_many_manifests_is_refused(tmp_path: Path) -> None:
    more = {f"manifest-x{number}.txt": "" for number in range(30)}
    verdict = judge(write_files(tmp_path / "bag", {**make_files(LIBRARY), **more}))
    assert "there are 32 manifests; at most 20" in said(verdict)


def test_what_is_wrong_is_told_so_often_and_no_more(tmp_path: Path) -> None:
    root = write_files(tmp_path / "bag", make_files(LIBRARY))
    (root / "manifest-sha512.txt").write_text("x\n" * 50_000, encoding="utf-8")
    assert len(judge(root).faults) < 1100


def test_a_value_of_very_many_lines_is_read_once_through(tmp_path: Path) -> None:
    files = make_files(LIBRARY)
    info = "Note: a\n" + " b\n" * 20_000
    verdict = judge(write_files(tmp_path / "bag", seal({**files, "bag-info.txt": info})))
    assert dict(verdict.about)["Note"] == "a" + " b" * 20_000
