"""A morning's twenty photographs go into a copy of the demo with one command."""

from __future__ import annotations

import difflib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from builder.digests import digest_file
from builder.ledger import read_ledger
from tests.pipeline.demo_library import ROOT, gathered_demo

TODAY = "2026-06-01"
#: The last recheck of each is what comes from the phone.
PIECES = (
    "SH-001", "SH-003", "SH-004", "SH-006", "SH-008", "SH-011", "SH-012", "SH-014",
    "SH-016", "SH-019", "SH-020", "SH-022", "SH-025", "SH-027", "SH-029",
)  # fmt: skip
HEIC = "SH-030"


def last_recheck(number: str) -> Path:
    return sorted((ROOT / "samples" / number).glob(f"{number}_*_recheck_front.jpg"))[-1]


@pytest.fixture(scope="module")
def morning(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A copy of the demo without its last rechecks, and the phone that has them."""
    gathered_demo()  # read and kept, as after any build
    folder = tmp_path_factory.mktemp("morning")
    library, phone = folder / "library", folder / "phone"
    library.mkdir()
    phone.mkdir()
    for name in ("samples", ".patinarium"):
        shutil.copytree(ROOT / name, library / name)
    shutil.copy2(ROOT / "mkdocs.yml", library)
    for number, piece in enumerate(PIECES, start=1):
        photo = last_recheck(piece)
        shutil.move(library / photo.relative_to(ROOT), phone / f"IMG_{number:04}.jpg")
    heif = pytest.importorskip("pillow_heif")
    with Image.open(last_recheck(HEIC)) as picture:
        heif.from_pillow(picture).save(phone / "IMG_0016.HEIC", quality=90)
    (library / last_recheck(HEIC).relative_to(ROOT)).unlink()
    with Image.open(last_recheck("SH-002")) as picture:
        width, height = picture.size
        picture.crop((0, 0, width // 3, height // 3)).save(phone / "IMG_0017.png")
    shutil.copy2(last_recheck("SH-002"), phone / "IMG_0018.jpg")  # filed already
    with Image.open(last_recheck("SH-010")) as picture:  # its label says SH-010
        picture.save(phone / "SH-009_2026-05-30.jpg", quality=92)
    shutil.copy2(last_recheck("SH-007"), phone / "IMG_0020.jpg")  # filed already
    return library, phone


def test_twenty_photographs_find_their_pieces(morning: tuple[Path, Path]) -> None:
    library, phone = morning
    handed_over = {path.name: digest_file(path) for path in phone.iterdir()}
    assert len(handed_over) == 20
    notes = {p: p.read_text(encoding="utf-8") for p in library.glob("samples/*/sample.yaml")}
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", "from builder.cli import main; main()", "add", str(phone),
         "--library", str(library), "--today", TODAY],
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True,
        check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 1, done.stderr  # two were left
    assert "16 filed, 2 there already, 2 left" in done.stdout

    for number, piece in enumerate((*PIECES, HEIC), start=1):
        original = last_recheck(piece)
        ending = ".heic" if piece == HEIC else ".jpg"
        name = f"{piece}_{original.name.split('_')[1]}{ending}"
        filed = library / "samples" / piece / name
        source = next(phone.glob(f"IMG_{number:04}.*"))
        assert digest_file(filed) == handed_over[source.name], name
        said = done.stdout.split(f"{source} → ")[1].split(f"\n{phone}")[0]
        assert said.startswith(f"{piece}, by the label in the picture")
        assert "recheck by the piece's dates" in said
        assert "; u " in said, said  # the verdict, at once

    assert "IMG_0017.png: nothing tells which piece it shows" in done.stderr
    assert "SH-009" in done.stderr
    assert "“SH-010”" in done.stderr
    assert {path.name: digest_file(path) for path in phone.iterdir()} == handed_over
    for path, before in notes.items():
        after = path.read_text(encoding="utf-8")
        gone = [line for line in difflib.ndiff(before.splitlines(), after.splitlines())
                if line.startswith("- ")]  # fmt: skip
        assert gone == [], path
    ledger = read_ledger(library)
    assert ledger.faults == ()
    assert sum(entry.what == "filed" for entry in ledger.entries) == 18
