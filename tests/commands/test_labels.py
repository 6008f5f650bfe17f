"""Labels by the command: sizes, ranges, part-used sheets."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.records.jig import read_label
from tests.pipeline.small_library import copy_small_library
from tests.sheets.raster import page_sizes, rasterise, read_codes


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return copy_small_library(tmp_path / "library")


def run(library: Path, *words: object) -> Result:
    asked = ("print", "labels", *map(str, words), "--library", str(library))
    result = CliRunner().invoke(cli, [*asked, "--out", str(library / "out")])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def test_a_known_sheet_is_filled_with_numbers_not_given_yet(library: Path) -> None:
    result = run(library, "SH-031..SH-060", "--size", "38.1x21.2", "--start-at", 40)
    assert "30 labels. 5 by 13 to a sheet of A4, each 38.1 × 21.2 mm. Print at 100 %" in (
        result.stdout
    )
    pages = rasterise((library / "out" / "labels-38.1x21.2-a4-SH-031-to-SH-060.pdf").read_bytes())
    assert [len(read_codes(page)) for page in pages] == [26, 4]
    assert read_label(next(iter(read_codes(pages[1])))) is not None


def test_any_sheet_is_told_in_millimetres(library: Path) -> None:
    asked = ("--size", "50x25", "--sheet", "letter", "--margin", "7,95×12.2", "--gap", "0x0")
    result = run(library, *asked, "--offset", "-0.5x1", "--second-line", "none", "--marks")
    assert "2 labels. 4 by 10 to a sheet of Letter" in result.stdout
    (file,) = (library / "out").iterdir()
    assert file.name == "labels-50x25-letter-SH-012-to-SH-014.pdf"
    assert page_sizes(file.read_bytes()) == [pytest.approx((612.0, 792.0), abs=0.001)]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--size", "letter"), "--sheet letter"),
        (("--size", "50"), "38.1x21.2"),
        (("--size", "50x-25"), "38.1x21.2"),
        (("--margin", "wide"), "5x10.7"),
        (("--size", "nanx5"), "38.1x21.2"),
    ],
)
def test_a_length_that_is_none_is_told_how_to_be_written(
    library: Path, words: tuple[str, ...], said: str
) -> None:
    result = run(library, *words)
    assert result.exit_code == 2 and said in result.stderr
    assert not (library / "out").exists()


def test_a_start_past_the_sheets_last_label_is_refused(library: Path) -> None:
    result = run(library, "--size", "99.1x67.7", "--start-at", 9)
    assert result.exit_code == 1 and "from 1 to 8" in result.stderr
    assert not (library / "out").exists()
