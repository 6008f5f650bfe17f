"""A morning's photographs go to the right pieces; what was handed over stays as it was."""

from __future__ import annotations

import datetime as dt
import difflib
import hashlib
import shutil
from pathlib import Path

import pytest
from PIL import Image

from builder.digests import digest_file
from builder.errors import Problem
from builder.filing import carrying
from builder.filing.planning import Told
from builder.filing.telling import say_verdicts
from builder.ledger import read_ledger
from builder.records.ledger import Deed
from builder.records.notes import SeenNote
from builder.records.photo import State, StateFrom
from tests.filing.conftest import add, demo, plan

RECHECK = "2025-04-20_recheck_front"


def tree(folder: Path) -> dict[str, str]:
    """Digest and time of every file of the maker's."""
    return {
        path.relative_to(folder).as_posix(): f"{digest_file(path)} {path.stat().st_mtime_ns}"
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".patinarium" not in path.parts
    }


def take(phone: Path, name: str, number: str, rest: str) -> Path:
    return Path(shutil.copy2(demo(number, rest), phone / name))


def found(problems: tuple[Problem, ...]) -> list[str]:
    return [problem.found for problem in problems]


def test_labelled_pictures_go_to_their_pieces_and_nothing_else_changes(
    library: Path, phone: Path
) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    take(phone, "IMG_2.jpg", "SH-012", "2025-10-15_recheck_front")
    before, handed_over = tree(library), tree(phone)
    done, findings = add(library, [phone])
    assert [filing.path for filing in done.filings] == [
        "samples/SH-014/SH-014_2025-04-20.jpg",
        "samples/SH-012/SH-012_2025-10-15.jpg",
    ]
    assert done.problems == ()
    assert tree(phone) == handed_over
    after = tree(library)
    new = {"ledger.jsonl", *(filing.path for filing in done.filings)}
    assert {path: after[path] for path in after if path not in new} == before
    for filing in done.filings:
        assert after[filing.path] == handed_over[filing.source.name]
        assert filing.look is not None
        assert (filing.look.state, filing.look.state_from) == (State.RECHECK, StateFrom.DATES)
    said = say_verdicts("samples/SH-012/SH-012_2025-10-15.jpg", findings)
    assert "moved, ΔE00" in said[0]  # 6.3 at a year: tests/data/demo_pieces.csv
    assert "days after colouring" in said[0]


def test_the_ledger_says_what_came_from_where(library: Path, phone: Path) -> None:
    source = take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    add(library, [source])
    ledger = read_ledger(library)
    assert ledger.faults == ()
    assert [entry.what for entry in ledger.entries] == [Deed.BEGAN, Deed.NOTED, Deed.FILED]
    entry = ledger.entries[-1]
    assert entry.sha256 == hashlib.sha256(source.read_bytes()).hexdigest()
    assert entry.bytes == source.stat().st_size
    assert entry.facts["named"] == "IMG_1.jpg"
    assert entry.facts["day"] == "2025-04-20"
    assert entry.facts["day_from"] == "camera"
    assert entry.facts["camera_time"].startswith("2025-04-20T")


def test_the_same_again_changes_nothing(library: Path, phone: Path) -> None:
    source = take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    add(library, [source])
    before = tree(library)
    done, _ = add(library, [source, phone])
    assert done.filings == ()
    assert [path for _, path in done.there] == ["samples/SH-014/SH-014_2025-04-20.jpg"]
    assert tree(library) == before


def test_a_dry_run_writes_nothing(library: Path, phone: Path) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    before = tree(library)
    intake = plan(library, [phone])
    assert [filing.path for filing in intake.plan.filings] == [
        "samples/SH-014/SH-014_2025-04-20.jpg"
    ]
    assert tree(library) == before


def test_a_picture_of_another_piece_is_left_with_both_named(library: Path, phone: Path) -> None:
    wrong = take(phone, "SH-014_2025-01-14.jpg", "SH-012", "2025-04-15_recheck_front")
    twice = take(phone, "SH-014_again.jpg", "SH-012", "2025-01-14_recheck_front")
    before = tree(library)
    done, _ = add(library, [wrong, twice])
    assert done.filings == ()
    assert ["SH-012" in words and "SH-014" in words for words in found(done.problems)] == [True]
    assert [path for _, path in done.there] == [
        "samples/SH-012/SH-012_2025-01-14_recheck_front.jpg"
    ]
    assert tree(library).keys() - before.keys() <= {"ledger.jsonl"}


def test_a_picture_that_says_nothing_is_left_or_told(library: Path, phone: Path) -> None:
    with Image.open(demo("SH-014", RECHECK)) as whole:
        plain = whole.crop(
            (whole.width // 3, whole.height // 3, whole.width // 2, whole.height // 2)
        )
    plain.save(phone / "crop.png")
    done, _ = add(library, [phone])
    assert "nothing tells which piece it shows" in found(done.problems)[0]
    done, _ = add(library, [phone], Told(piece="SH-014", state=State.WET))
    assert [filing.path for filing in done.filings] == ["samples/SH-014/SH-014_crop_wet.png"]


def test_heic_comes_in_as_it_is(library: Path, phone: Path) -> None:
    heif = pytest.importorskip("pillow_heif")
    with Image.open(demo("SH-014", RECHECK)) as picture:
        heif.from_pillow(picture).save(phone / "IMG_9.HEIC", quality=90)
    done, findings = add(library, [phone])
    assert [filing.path for filing in done.filings] == ["samples/SH-014/SH-014_2025-04-20.heic"]
    seen = {o.file.path: o.picture.format for o in findings.observations}
    assert seen["samples/SH-014/SH-014_2025-04-20.heic"] == "HEIC"


def test_a_picture_that_vanishes_meanwhile_is_named_and_the_rest_is_filed(
    library: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    take(phone, "IMG_2.jpg", "SH-012", "2025-10-15_recheck_front")
    true = carrying.copy_whole

    def vanish(source: Path, target: Path) -> object:
        gone.unlink(missing_ok=True)
        return true(source, target)

    monkeypatch.setattr(carrying, "copy_whole", vanish)
    done, _ = add(library, [phone])
    assert [filing.file.piece for filing in done.filings] == ["SH-012"]
    assert found(done.problems) == ["it is gone since it was looked at"]


def test_a_full_disk_stops_with_what_is_filed_whole(
    library: Path, phone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    take(phone, "IMG_2.jpg", "SH-012", "2025-10-15_recheck_front")

    def full(source: Path, target: Path) -> object:
        raise OSError(28, "No space left on device")

    before = tree(library)
    monkeypatch.setattr(carrying, "copy_whole", full)
    done, _ = add(library, [phone])
    assert done.filings == ()
    assert "no room left" in found(done.problems)[0]
    assert "and 1 more" in found(done.problems)[0]
    monkeypatch.undo()
    assert tree(library) == before
    assert len(add(library, [phone])[0].filings) == 2


def test_a_copy_whose_run_was_killed_gets_its_entry_by_the_next(library: Path, phone: Path) -> None:
    source = take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    target = library / "samples" / "SH-014" / "SH-014_2025-04-20.jpg"
    shutil.copy2(source, target)  # as far as the run came
    half = target.with_name(".SH-014_2025-05-01.jpg.patinarium-part")
    half.write_bytes(b"half")
    done, _ = add(library, [phone])
    assert [path for _, path in done.there] == ["samples/SH-014/SH-014_2025-04-20.jpg"]
    assert "samples/SH-014/SH-014_2025-04-20.jpg" in read_ledger(library).standing()
    assert not half.exists()


def test_a_day_that_cannot_be_is_doubted(library: Path, phone: Path) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    intake = plan(library, [phone], today=dt.date(2025, 4, 1))
    assert found(intake.plan.filings[0].doubts) == [
        "the photograph is dated in the future: 2025-04-20"
    ]


def test_what_was_seen_stands_in_the_sidecar_and_every_line_of_its_maker_too(
    library: Path, phone: Path
) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    sidecar = library / "samples" / "SH-014" / "sample.yaml"
    before = sidecar.read_text(encoding="utf-8").splitlines()
    told = Told(
        caption="after the hot week",
        seen=(SeenNote("powdering", "lower edge", severity="slight", moving="active"),),
    )
    done, findings = add(library, [phone], told)
    after = sidecar.read_text(encoding="utf-8").splitlines()
    added = [line[2:] for line in difflib.ndiff(before, after) if line.startswith("+ ")]
    assert not [line for line in difflib.ndiff(before, after) if line.startswith("- ")]
    assert any("date: 2025-04-20, state: recheck" in line for line in added)
    assert any("{what: powdering, where: lower edge" in line for line in added)
    assert any("caption: after the hot week" in line for line in added)
    piece = next(e.piece for e in findings.library.entries if e.piece.piece == "SH-014")
    assert piece.checks[-1].seen[0].what.written == "powdering"
    assert len(done.filings) == 1
    chain = read_ledger(library).chains()["samples/SH-014/sample.yaml"]
    assert [entry.what for entry in chain] == [Deed.NOTED, Deed.NOTED]


def test_a_sidecar_that_cannot_be_added_to_leaves_the_picture_where_it_is(
    library: Path, phone: Path
) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    sidecar = library / "samples" / "SH-014" / "sample.yaml"
    text = sidecar.read_text(encoding="utf-8")
    sidecar.write_text(text[: text.index("checks:")] + "checks: 2025-01-01\n", encoding="utf-8")
    before = tree(library)
    done, _ = add(library, [phone], Told(seen=()))
    assert done.filings == ()
    assert len(done.problems) == 1
    assert tree(library) == before


def test_the_same_picture_saved_again_is_doubted_before_it_is_filed(
    library: Path, phone: Path
) -> None:
    again = "2025-01-14_recheck_front"
    with Image.open(demo("SH-012", again)) as picture:
        small = picture.resize((picture.width // 2, picture.height // 2))
        small.save(phone / "SH-012_sent.jpg", quality=80)
    intake = plan(library, [phone])
    assert any(
        f"SH-012_{again}.jpg" in words and "saved again" in words
        for words in found(intake.plan.filings[0].doubts)
    )


def test_the_good_original_of_a_changed_one_is_told_where_it_belongs(
    library: Path, phone: Path
) -> None:
    source = take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    add(library, [source])
    filed = library / "samples/SH-014/SH-014_2025-04-20.jpg"
    data = bytearray(filed.read_bytes())
    data[-3] ^= 1
    filed.write_bytes(bytes(data))
    done, _ = add(library, [source])
    assert done.filings == ()
    assert "these are the bytes that were filed as samples/SH-014/" in found(done.problems)[0]
    assert filed.read_bytes() == bytes(data)
    filed.unlink()
    done, findings = add(library, [source])
    assert "that file is gone" in found(done.problems)[0]
    assert any("it is gone; the ledger has it" in words for words in found(findings.problems))


def test_what_is_said_of_a_picture_filed_before_is_noted_once(library: Path, phone: Path) -> None:
    take(phone, "IMG_1.jpg", "SH-014", RECHECK)
    add(library, [phone])
    sidecar = library / "samples" / "SH-014" / "sample.yaml"
    told = Told(seen=(SeenNote("bloom"),), caption="again")
    before = sidecar.read_text(encoding="utf-8")
    done, _ = add(library, [phone], told)
    assert (done.filings, done.problems, len(done.there)) == ((), (), 1)
    after = sidecar.read_text(encoding="utf-8")
    assert after.count("bloom") == before.count("bloom") + 1
    assert "caption: again" in after
    add(library, [phone], told)
    assert sidecar.read_text(encoding="utf-8") == after


def test_a_picture_filed_by_word_alone_is_not_asked_for_again(library: Path, phone: Path) -> None:
    with Image.open(demo("SH-014", RECHECK)) as whole:
        width, height = whole.size
        whole.crop((width // 3, height // 3, width // 2, height // 2)).save(phone / "crop.png")
    add(library, [phone], Told(piece="SH-014"))
    intake = plan(library, [phone], ask=lambda question, candidates: pytest.fail("asked"))
    assert [path for _, path in intake.plan.there] == ["samples/SH-014/SH-014_crop.png"]


def test_every_picture_of_a_batch_gets_its_own_verdict(library: Path, phone: Path) -> None:
    take(phone, "IMG_1.jpg", "SH-012", "2025-04-15_recheck_front")
    take(phone, "IMG_2.jpg", "SH-012", "2025-10-15_recheck_front")
    done, findings = add(library, [phone])
    for filing in done.filings:
        (line,) = say_verdicts(filing.path, findings)
        assert "moved, ΔE00" in line
