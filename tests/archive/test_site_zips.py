"""A site as one file."""

from __future__ import annotations

import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from builder import safe_files
from builder.archive.site_zips import (
    LONGEST_PATH,
    pack_site,
    refuse_names,
    refuse_zip,
)
from builder.changeover import MARK, zip_beside
from builder.errors import SiteError
from builder.safe_files import PART


def make_site(folder: Path) -> Path:
    site = folder / "site-for-clients"
    (site / "pictures").mkdir(parents=True)
    (site / "pieces").mkdir()
    (site / MARK).write_text("made by a build")
    (site / "index.html").write_text("<p>" + "words " * 200)
    (site / "404.html").write_text("<p>none")
    (site / "pieces" / "SH-Ä 1.html").write_text("<p>one")
    (site / "pictures" / "a.jpg").write_bytes(b"\xff\xd8" + b"\0" * 900)
    return site


def test_the_same_site_gives_the_same_bytes_wherever_it_lies(tmp_path: Path) -> None:
    one, other = make_site(tmp_path / "one"), make_site(tmp_path / "another place")
    (one / "index.html").touch()
    for site in (one, other):
        pack_site(site, zip_beside(site), "A library")
    packed = zip_beside(one)
    assert packed.name == "site-for-clients.zip"
    assert packed.read_bytes() == zip_beside(other).read_bytes()


def test_all_lies_in_one_folder_with_a_hint_and_the_first_page_on_top(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    pack_site(site, zip_beside(site), "A library")
    with zipfile.ZipFile(zip_beside(site)) as archive:
        names = archive.namelist()
        kinds = {info.filename: info.compress_type for info in archive.infolist()}
        guide = archive.read("site-for-clients/README.txt").decode()
        assert archive.testzip() is None
    assert names[:2] == ["site-for-clients/README.txt", "site-for-clients/index.html"]
    assert names[2:] == sorted(names[2:])
    assert {name.partition("/")[0] for name in names} == {"site-for-clients"}
    assert kinds["site-for-clients/index.html"] == zipfile.ZIP_DEFLATED
    assert kinds["site-for-clients/pictures/a.jpg"] == zipfile.ZIP_STORED
    assert guide.startswith("A library\r\n") and "Unzip first" in guide
    assert "%" not in guide


def test_another_program_unpacks_it(tmp_path: Path) -> None:
    unzip = shutil.which("unzip")
    if unzip is None:
        pytest.skip("unzip was not found")
    site = make_site(tmp_path)
    pack_site(site, zip_beside(site), "A library")
    command = [unzip, "-q", str(zip_beside(site)), "-d", str(tmp_path / "out")]
    subprocess.run(command, check=True, capture_output=True)  # noqa: S603  # our own command
    for path in filter(Path.is_file, site.rglob("*")):
        assert (tmp_path / "out" / path.relative_to(tmp_path)).read_bytes() == path.read_bytes()


@pytest.mark.parametrize(
    "name", ["pieces/con.html", "pieces/what?.html", "pieces/LPT1.html", "a" * LONGEST_PATH]
)
def test_a_name_that_windows_cannot_keep_is_refused(tmp_path: Path, name: str) -> None:
    site = make_site(tmp_path)
    refuse_names(site, site.name)
    (site / name).write_text("x")
    with pytest.raises(SiteError, match=name[:9].replace("?", r"\?")):
        refuse_names(site, site.name)


def test_two_names_that_differ_by_case_alone_are_refused(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    (site / "pieces" / "sh-ä 1.html").write_text("x")
    with pytest.raises(SiteError, match="some disks take"):
        refuse_names(site, site.name)


def test_no_zip_file_is_written_among_the_originals_or_over_another_file(tmp_path: Path) -> None:
    site = make_site(tmp_path)
    target = zip_beside(site)
    with pytest.raises(SiteError, match="folder of the library's own"):
        refuse_zip(tmp_path / "samples" / "site.zip", (tmp_path / "samples",))
    target.write_bytes(b"somebody's own")
    with pytest.raises(SiteError, match="made by no build"):
        refuse_zip(target, ())
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr("mine.txt", "somebody's own")
    with pytest.raises(SiteError, match="made by no build"):
        refuse_zip(target, ())
    pack_site(site, target, "A library")
    refuse_zip(target, ())


def test_a_full_disk_leaves_the_last_zip_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = make_site(tmp_path)
    target = zip_beside(site)
    pack_site(site, target, "A library")
    before = target.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(safe_files.os, "fsync", full)
    with pytest.raises(SiteError, match="No space left"):
        pack_site(site, target, "Another")
    assert target.read_bytes() == before
    assert not list(tmp_path.glob(f".*{PART}"))
