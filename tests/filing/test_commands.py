"""``patinarium add`` and ``record`` as they are typed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.records.ledger import LEDGER
from tests.filing.conftest import TODAY, demo

RECHECK = "2025-04-20_recheck_front"


def type_in(*words: object) -> Result:
    return CliRunner().invoke(cli, [str(word) for word in words])


def test_a_picture_is_filed_and_its_verdict_said(library: Path, tmp_path: Path) -> None:
    photo = Path(shutil.copy2(demo("SH-014", RECHECK), tmp_path / "IMG_1.jpg"))
    told = ("add", photo, "--library", library, "--today", TODAY, "--seen", "nothing")
    dry = type_in(*told, "--dry-run")
    assert dry.exit_code == 0, dry.output
    assert "Nothing was done: this was a dry run." in dry.output
    assert not (library / LEDGER).exists()
    done = type_in(*told)
    assert done.exit_code == 0, done.output
    assert f"{photo} → SH-014, by the label in the picture" in done.output
    assert "186 days after sealing" in done.output
    assert "1 filed. What you handed over is as it was." in done.output
    sidecar = (library / "samples/SH-014/sample.yaml").read_text(encoding="utf-8")
    assert "- {date: 2025-04-20, state: recheck, seen: []}" in sidecar
    assert photo.exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--date", "2027-01-01"), "is in the future"),
        (("--setup", "attic"), "no set-up “attic”"),
        (("--seen", "sligt, powdering"), "sligt"),
        (("--state", "sleepy"), "sleepy"),
    ],
)
def test_what_cannot_be_is_said_before_anything_is_done(
    library: Path, tmp_path: Path, words: tuple[str, str], said: str
) -> None:
    photo = shutil.copy2(demo("SH-014", RECHECK), tmp_path / "IMG_1.jpg")
    done = type_in("add", photo, "--library", library, "--today", TODAY, *words)
    assert done.exit_code != 0
    assert said in done.output
    assert not (library / LEDGER).exists()
    assert len(list((library / "samples/SH-014").glob("*.jpg"))) == 2


def test_what_was_seen_is_of_one_piece(library: Path, tmp_path: Path) -> None:
    phone = tmp_path / "phone"
    phone.mkdir()
    shutil.copy2(demo("SH-014", RECHECK), phone / "IMG_1.jpg")
    shutil.copy2(demo("SH-012", "2025-10-15_recheck_front"), phone / "IMG_2.jpg")
    done = type_in("add", phone, "--library", library, "--today", TODAY, "--seen", "nothing")
    assert done.exit_code == 2
    assert "--seen is of one piece; these are SH-012 and SH-014" in done.output


def test_record_writes_down_what_is_there_and_asks_why_where_it_must(library: Path) -> None:
    first = type_in("record", "--library", library, "--today", TODAY)
    assert first.exit_code == 0, first.output
    assert "8 entries written" in first.output
    assert "0 entries written" in type_in("record", "--library", library).output
    photo = library / "samples/SH-014/SH-014_2025-10-19_recheck_front.jpg"
    photo.unlink()
    gone = type_in("record", "--library", library)
    assert gone.exit_code == 1
    assert "it is gone; the ledger has it since" in gone.output
    assert type_in("record", photo, "--library", library).exit_code == 2
    told = type_in("record", photo, "--library", library, "--why", "blurred")
    assert told.exit_code == 0, told.output
    assert f"removed: {photo.relative_to(library).as_posix()}" in told.output
    other = type_in("record", library / "mkdocs.yml", "--library", library, "--why", "x")
    assert "neither changed nor gone" in other.output
