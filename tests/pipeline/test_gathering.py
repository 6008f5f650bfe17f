"""What is gathered, how often an original is opened for it, and what strangers' files do to it."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
from pathlib import Path

import pytest

from builder.digests import digest_file
from builder.errors import BusyError, LibraryError, Weight
from builder.look import opening
from builder.pipeline import Gathered, gather
from builder.read.settings import read_settings_file
from builder.relate import changes, ways
from tests.pipeline.small_library import PHOTOGRAPHS, copy_small_library

TODAY = dt.date(2026, 6, 1)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return copy_small_library(tmp_path / "library")


@pytest.fixture
def openings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every original opened, by name. Few photographs are seen in this very process."""
    opened: list[str] = []
    true = opening.read_bytes

    def counted(path: Path, most: int) -> tuple[bytes, dt.date]:
        opened.append(path.name)
        return true(path, most)

    monkeypatch.setattr(opening, "read_bytes", counted)
    return opened


def gather_all(root: Path) -> Gathered:
    return gather(root, read_settings_file(root), TODAY)


def test_each_original_is_opened_once_for_everything(library: Path, openings: list[str]) -> None:
    gathered = gather_all(library)
    assert gathered.opened == PHOTOGRAPHS
    assert len(openings) == len(set(openings)) == PHOTOGRAPHS
    seen = gathered.findings.observations
    assert all(one.readings and one.picture.webs and one.picture.thumbnail for one in seen)


def test_nothing_changed_opens_no_photograph(library: Path, openings: list[str]) -> None:
    first = gather_all(library)
    openings.clear()
    second = gather_all(library)
    assert openings == []
    assert (second.opened, second.kept) == (0, PHOTOGRAPHS)
    assert second.findings == first.findings


def test_long_sums_are_not_made_again(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = gather_all(library)
    made: list[str] = []

    def count(where: object, what: str) -> None:
        real = getattr(where, what)
        monkeypatch.setattr(where, what, lambda *told: made.append(what) or real(*told))

    count(changes, "find_changes")
    count(ways, "find_way")
    store = library / ".patinarium"
    for lost in ("", "carried.sqlite3"):  # either of the two places has the answers
        if lost:
            (store / lost).unlink()
        assert gather_all(library).findings.strands == first.findings.strands
        assert made == []
    (store / "carried.sqlite3").unlink()
    (store / "seen.sqlite3").unlink()
    gather_all(library)
    assert {"find_changes", "find_way"} == set(made)  # else nothing was counted


def test_only_a_new_photograph_is_opened(library: Path, openings: list[str]) -> None:
    gather_all(library)
    openings.clear()
    piece = library / "samples" / "SH-012"
    new = piece / "SH-012_2025-02-01_recheck_front.jpg"
    new.write_bytes((piece / "SH-012_2025-01-14_recheck_front.jpg").read_bytes())
    gather_all(library)
    assert openings == [new.name]


def test_a_touched_but_unchanged_photograph_is_known_by_its_digest(
    library: Path, openings: list[str]
) -> None:
    gather_all(library)
    openings.clear()
    photo = library / "samples" / "SH-012" / "SH-012_2025-01-14_recheck_front.jpg"
    os.utime(photo, (1, 1))
    assert gather_all(library).opened == 0
    assert openings == []


def test_a_change_of_set_up_reads_its_photographs_again(library: Path, openings: list[str]) -> None:
    gather_all(library)
    openings.clear()
    settings = library / "mkdocs.yml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("card_mm: [70, 70]", "card_mm: [71, 71]"), "utf-8")
    assert gather_all(library).opened == PHOTOGRAPHS


def test_a_lost_web_picture_is_made_again(library: Path, openings: list[str]) -> None:
    gathered = gather_all(library)
    openings.clear()
    lost = gathered.findings.observations[0].picture
    (gathered.pictures / lost.webs[0].name).unlink()
    gather_all(library)
    assert openings == [Path(lost.path).name]


def test_a_web_picture_cut_short_is_made_again(library: Path) -> None:
    gathered = gather_all(library)
    web = gathered.findings.observations[0].picture.webs[0]
    (gathered.pictures / web.name).write_bytes(b"cut")
    gather_all(library)
    assert (gathered.pictures / web.name).stat().st_size == web.bytes


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(
            "update seen set path = cast(x'ff' as text) where path = (select max(path) from seen)",
            id="no text",
        ),
        pytest.param("update away set text = 'other'", id="another text put away"),
        pytest.param("delete from away", id="nothing put away"),
    ],
)
def test_a_store_that_turns_out_damaged_is_begun_anew(library: Path, spoil: str) -> None:
    first = gather_all(library)
    store = library / ".patinarium"
    (store / "carried.sqlite3").unlink()
    connection = sqlite3.connect(store / "seen.sqlite3")
    with connection:
        connection.execute(spoil)
        connection.execute("delete from worked")
    connection.close()
    again = gather_all(library)
    assert again.opened == PHOTOGRAPHS
    assert again.findings == first.findings


def test_a_photograph_written_to_with_size_and_time_kept_is_noticed(
    library: Path, openings: list[str]
) -> None:
    gather_all(library)
    openings.clear()
    photo = library / "samples" / "SH-012" / "SH-012_2025-01-14_recheck_front.jpg"
    before, data = photo.stat(), photo.read_bytes()
    photo.write_bytes(data[:-3] + b"x" + data[-2:])
    os.utime(photo, ns=(before.st_atime_ns, before.st_mtime_ns))
    gather_all(library)
    assert openings == [photo.name]


@pytest.mark.parametrize("place", [".patinarium", ".patinarium/pictures"])
def test_a_store_that_is_a_link_is_refused(library: Path, tmp_path: Path, place: str) -> None:
    gather_all(library)
    elsewhere = tmp_path / "elsewhere"
    (library / place).rename(elsewhere)
    (library / place).symlink_to(elsewhere)
    with pytest.raises(BusyError) as stopped:
        gather_all(library)
    assert place in str(stopped.value)


def test_a_damaged_store_is_begun_anew(library: Path) -> None:
    gather_all(library)
    (library / ".patinarium" / "seen.sqlite3").write_bytes(b"not a database" * 1000)
    assert gather_all(library).opened == PHOTOGRAPHS


def test_nothing_of_the_makers_is_changed(library: Path) -> None:
    def digests() -> dict[str, str]:
        files = [p for p in library.rglob("*") if p.is_file() and ".patinarium" not in p.parts]
        return {p.relative_to(library).as_posix(): digest_file(p) for p in files}

    before = digests()
    gather_all(library)
    assert digests() == before


BAD_PICTURES = {
    "empty.jpg": b"",
    "words.jpg": b"this is only a text with another ending\n" * 20,
    "cut.jpg": None,  # a photograph cut short
}


@pytest.mark.parametrize("name", BAD_PICTURES)
def test_a_picture_that_cannot_be_opened_is_named_and_the_rest_is_built(
    library: Path, name: str
) -> None:
    piece = library / "samples" / "SH-012"
    whole = (piece / "SH-012_2025-01-14_recheck_front.jpg").read_bytes()
    data = BAD_PICTURES[name]
    (piece / name).write_bytes(whole[: len(whole) // 3] if data is None else data)
    for _ in range(2):  # seen, then known from the store
        gathered = gather_all(library)
        (problem,) = [p for p in gathered.findings.problems if p.file.endswith(name)]
        assert problem.weight is Weight.LEFT_OUT
        assert problem.found and problem.expected and problem.remedy
        assert len(gathered.findings.observations) == PHOTOGRAPHS
    assert gathered.opened == 0


BAD_SIDECARS = {
    "no YAML": "piece: [SH-013\nmetal: copper\n",
    "a tab": "piece: SH-013\n\tmetal: copper\n",
    "a key twice": "piece: SH-013\nmetal: copper\nmetal: brass\n",
    "a python tag": "piece: SH-013\nmetal: !!python/object/apply:os.system [echo]\n",
    "an alias bomb": "a: &a [x, x, x, x, x, x, x, x, x]\n"
    + "".join(
        f"{n}: &{n} [*{m}, *{m}, *{m}, *{m}, *{m}, *{m}, *{m}, *{m}, *{m}]\n"
        for m, n in zip("abcdefgh", "bcdefghi", strict=True)
    ),
    "no text": "\x00\x01\x02",
    "nothing": "",
    "a list": "- piece\n- SH-013\n",
}


@pytest.mark.parametrize("name", BAD_SIDECARS)
def test_a_sidecar_that_cannot_be_read_is_named_and_the_rest_is_built(
    library: Path, name: str
) -> None:
    folder = library / "samples" / "SH-013"
    folder.mkdir()
    (folder / "sample.yaml").write_text(BAD_SIDECARS[name], encoding="utf-8")
    findings = gather_all(library).findings
    problems = [p for p in findings.problems if p.file == "samples/SH-013/sample.yaml"]
    assert problems
    assert all(p.found and p.expected and p.remedy for p in problems)
    assert {s.entry.piece.piece for s in findings.strands} >= {"SH-012", "SH-014"}


def test_all_problems_of_a_run_are_told_together(library: Path) -> None:
    for number, text in (("SH-013", "piece: [SH-013"), ("SH-015", "piece: SH-015\nmettal: x\n")):
        (library / "samples" / number).mkdir()
        (library / "samples" / number / "sample.yaml").write_text(text, encoding="utf-8")
    (library / "samples" / "SH-012" / "empty.png").write_bytes(b"")
    files = {p.file for p in gather_all(library).findings.problems}
    assert {
        "samples/SH-013/sample.yaml",
        "samples/SH-015/sample.yaml",
        "samples/SH-012/empty.png",
    } <= files


def test_unreadable_settings_stop_the_run_with_their_line(library: Path) -> None:
    settings = library / "mkdocs.yml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("card_mm: [70, 70]", "card_nm: [70, 70]")
    )
    with pytest.raises(LibraryError) as stopped:
        gather_all(library)
    (problem,) = stopped.value.problems
    assert problem.line > 1 and problem.weight is Weight.STOPS
    assert "card_mm" in problem.remedy


def test_a_photograph_after_sealing_of_a_bare_piece_is_no_drift(library: Path) -> None:
    piece = library / "samples" / "SH-012"
    recheck = piece / "SH-012_2025-01-14_recheck_front.jpg"
    recheck.rename(piece / "SH-012_2025-01-14_after-seal_front.jpg")
    findings = gather_all(library).findings
    (strand,) = findings.strands_of("SH-012")
    assert strand.drifts == ()
    assert any("left bare" in p.found for p in findings.problems)


def test_a_card_that_is_not_there_is_said(library: Path) -> None:
    settings = library / "mkdocs.yml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("card_mm: [70, 70]", "card_mm: [40, 40]"), "utf-8")
    findings = gather_all(library).findings
    said = [p for p in findings.problems if p.found.startswith("card not found")]
    assert len(said) == PHOTOGRAPHS
    assert all(s.drifts == () for s in findings.strands)
