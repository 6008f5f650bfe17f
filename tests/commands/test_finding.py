"""``patinarium find`` as it speaks."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from builder.cli import cli
from builder.commands.finding import _one, _read_piece, _read_wanted, _report
from builder.errors import PictureError
from builder.measure.difference import delta_e_2000
from builder.read.settings import read_settings_file
from builder.records.photo import Lab
from builder.relate.colour_matches import list_candidates
from builder.relate.colour_spelling import from_srgb, spell_colour
from tests.pipeline.small_library import copy_small_library
from tests.relate.demo import ROOT, find_demo

SETTINGS = read_settings_file(ROOT)
CANDIDATES = list_candidates(find_demo())
VERDIGRIS = (48.3, -20.6, 3.9)  # SH-014 after a year, `tests/data/demo_pieces.csv`
SAME_READING = 3.0  # ΔE00: a photograph's reading against the colour it was drawn with


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copy_small_library(tmp_path_factory.mktemp("read") / "library")


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def report(lab: Lab, at_twelve: bool = False) -> list[str]:
    return list(_report(_one(lab), CANDIDATES, at_twelve))


def test_the_nearest_stands_first_in_aligned_lines() -> None:
    wanted, first, *rest = report(VERDIGRIS)
    assert wanted == "moderate green, L* 48 a* −21 b* 4"
    assert first.split()[0] == "SH-014"
    assert "the same within the noise of the reading" in first
    assert len({line.index("ΔE00") for line in (first, *rest[:19])}) == 1
    assert rest[-1] == f"  and {len(CANDIDATES) - 20} farther off"


def test_what_is_not_known_at_twelve_months_is_named() -> None:
    assert not any("Not known" in line for line in report(VERDIGRIS, at_twelve=True))
    young = [one for one in CANDIDATES if one.strand.entry.piece.piece == "SH-001"]
    unwatched = [type(one)(one.strand, one.latest, None, one.repeated) for one in young]
    lines = list(_report(_one(VERDIGRIS), unwatched, at_twelve=True))
    assert lines[-1] == "Not known at twelve months: SH-001."


def test_names_of_style_sheets_are_read() -> None:
    for name, hex_ in (("teal ", "#008080"), ("RebeccaPurple", "#663399")):
        # CSS Color Module Level 4
        assert _read_wanted(name, SETTINGS).tones[0].lab == spell_colour(hex_)


def test_a_photograph_is_read_with_its_card() -> None:
    photo = next((ROOT / "samples" / "SH-014").glob("*2025-10-19_recheck_front.jpg"))
    wanted = _read_wanted(str(photo), SETTINGS)
    assert not wanted.warning
    assert "by its grey card" in wanted.words
    assert float(delta_e_2000(wanted.tones[0].lab, VERDIGRIS)) < SAME_READING


def test_a_photograph_without_one_is_read_in_its_middle_and_said_to_be_uncorrected(
    tmp_path: Path,
) -> None:
    pixels = np.full((300, 400, 3), 255, dtype=np.uint8)
    pixels[120:180, 160:240] = (75, 127, 112)
    Image.fromarray(pixels).save(tmp_path / "mine.png")
    wanted = _read_wanted(str(tmp_path / "mine.png"), SETTINGS)
    assert wanted.tones[0].lab == pytest.approx(from_srgb((75, 127, 112)), abs=0.01)
    assert "Uncorrected" in wanted.warning


def test_what_of_a_photograph_can_be_seen_through_does_not_count(tmp_path: Path) -> None:
    pixels = np.full((300, 400, 4), (255, 255, 255, 0), dtype=np.uint8)
    pixels[130:150, 180:220] = (75, 127, 112, 255)
    Image.fromarray(pixels).save(tmp_path / "cut-out.png")
    wanted = _read_wanted(str(tmp_path / "cut-out.png"), SETTINGS)
    assert wanted.tones[0].lab == pytest.approx(from_srgb((75, 127, 112)), abs=0.01)
    Image.fromarray(pixels[..., :] * np.uint8(0)).save(tmp_path / "nothing.png")
    with pytest.raises(PictureError, match="seen through"):
        _read_wanted(str(tmp_path / "nothing.png"), SETTINGS)


def test_a_piece_is_gone_by_in_all_its_colours_or_in_one() -> None:
    every = _read_piece("sh-023", CANDIDATES, None)
    assert every.words == "Like SH-023, all its colours by area: "
    assert len(every.tones) == 2
    one = _read_piece("SH-024 left", CANDIDATES, 2)
    assert one.words == "Like the colour that covers 30 % of SH-024 left: "
    assert len(one.tones) == 1
    line, first, *_ = _report(every, CANDIDATES, at_twelve=False)
    assert line.startswith("Like SH-023, all its colours by area: 70 % moderate brown, L* 39")
    assert "mean over the area" in first


def test_a_piece_that_is_not_there_or_has_no_such_colour_is_said(library: Path) -> None:
    unknown = run("find", "like SH-999", library)
    assert unknown.exit_code == 1
    assert "no piece of that name has a reading" in unknown.stderr
    assert "--tone 9" in run("find", "like SH-012", library, "--tone", "9").stderr
    assert "--tone is for a piece" in run("find", "teal", library, "--tone", "1").stderr


def test_a_piece_is_not_found_like_itself(library: Path) -> None:
    lines = run("find", "like SH-012", library).stdout.splitlines()
    assert lines[0].startswith("Like ")
    assert not any(line.strip().startswith("SH-012") for line in lines[1:])


def test_an_alpha_is_refused_with_a_word(library: Path) -> None:
    result = run("find", "5a9e8f80", library)
    assert result.exit_code == 1
    assert "has an alpha" in result.stderr


def test_sealed_and_bare_together_are_refused(library: Path) -> None:
    result = run("find", "teal", library, "--sealed", "--bare")
    assert result.exit_code == 2
    assert "no piece is both" in result.stderr


def test_words_that_are_no_colour_are_said_to_be_none(library: Path) -> None:
    result = run("find", "greenish", library)
    assert result.exit_code == 1
    assert "neither a colour nor a photograph" in result.stderr


def test_a_picture_that_cannot_be_opened_is_told_as_ever(library: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"\xff\xd8 no picture")
    result = run("find", broken, library)
    assert result.exit_code == 1
    assert "broken.jpg" in result.stderr


def test_a_library_is_asked_and_its_filters_narrow(library: Path) -> None:
    every = run("find", "#5a9e8f", library)
    assert every.exit_code == 0
    pieces = {line.split()[0] for line in every.stdout.splitlines() if line.startswith("  ")}
    assert pieces
    for flags in (("--sealed",), ("--bare",), ("--metal", "copper"), ("--repeatable",)):
        some = run("find", "#5a9e8f", library, *flags)
        found = {line.split()[0] for line in some.stdout.splitlines() if line.startswith("  ")}
        assert found <= pieces
    none = run("find", "#5a9e8f", library, "--metal", "gold")
    assert none.exit_code == 1
    assert "copper (" in none.stderr


def test_nothing_of_the_library_is_changed(library: Path) -> None:
    run("find", "#5a9e8f", library)
    before = {p: p.read_bytes() for p in (library / "samples").rglob("*") if p.is_file()}
    own = shutil.copy(next((library / "samples").rglob("*.jpg")), library.parent / "own.jpg")
    run("find", own, library)
    after = {p: p.read_bytes() for p in (library / "samples").rglob("*") if p.is_file()}
    assert after == before
