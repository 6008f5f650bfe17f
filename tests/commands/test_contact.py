"""The contact sheet: what is chosen, what is kept private, and the command."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.commands.contact import choose_tiles
from builder.errors import PrintError
from builder.records.jig import A4
from builder.relate.findings import Findings
from builder.sheets.contact_sheet import ContactSheet
from builder.sheets.printing import print_contact
from tests.pipeline.small_library import PHOTOGRAPHS, copy_small_library
from tests.publish.fixture import TODAY, findings
from tests.sheets.raster import page_sizes, read_pictures
from tests.telling.told import tell_students

NUMBERS = ("SH-001", "SH-012", "SH-014")


@pytest.fixture
def drawn(tmp_path: Path) -> tuple[Findings, Path]:
    return findings(tmp_path, NUMBERS), tmp_path


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def text_of(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def test_a_tile_has_metal_two_words_and_the_verdict(drawn: tuple[Findings, Path]) -> None:
    made = choose_tiles(*drawn)
    assert [tile.piece for tile in made] == list(NUMBERS)
    piece = next(e.piece for e in drawn[0].library.entries if e.piece.piece == "SH-012")
    words = ", ".join(word.written for word in piece.colour_words[:2])
    assert made[1].lines == ("copper", words, "Moved")


def test_the_latest_picture_is_shown_or_the_fresh_one_or_both(
    drawn: tuple[Findings, Path],
) -> None:
    found, folder = drawn
    (strand,) = found.strands_of("SH-014")
    bytes_of = {}
    for name, look in (("latest", strand.latest), ("fresh", strand.fresh)):
        assert look and look.observation.picture.view
        bytes_of[name] = (folder / look.observation.picture.view.name).read_bytes()
        (tile,) = choose_tiles(found, folder, ("sh-014",), (name,))
        assert [shot.jpeg for shot in tile.shots] == [bytes_of[name]]
        assert tile.shots[0].size == look.observation.picture.view_mm
    (tile,) = choose_tiles(found, folder, ("SH-014",), ("fresh", "latest"))
    assert [shot.jpeg for shot in tile.shots] == [bytes_of["fresh"], bytes_of["latest"]]
    assert [shot.under.split(",")[0] for shot in tile.shots] == ["fresh", "latest"]


def test_what_a_sidecar_keeps_private_is_not_printed(tmp_path: Path) -> None:
    private = {"photos": "private", "metal": "private", "colour_words": "private"}
    found = findings(tmp_path, NUMBERS, SH_012={"share": private})
    made = choose_tiles(tell_students(found), tmp_path)
    assert made[1].shots == () and made[0].shots and made[2].shots
    pdf = print_contact(ContactSheet("Title", TODAY, made, "latest"), A4, "x.pdf").content
    assert "photographs kept private" in text_of(pdf) and "metal kept private" in text_of(pdf)
    piece = next(e.piece for e in found.library.entries if e.piece.piece == "SH-012")
    assert made[1].lines == ("metal kept private", "", "Cannot tell yet")
    assert piece.colour_words[0].written
    assert read_pictures(pdf) == [made[0].shots[0].jpeg, made[2].shots[0].jpeg]


def test_no_recipe_is_printed_whoever_may_see_it(drawn: tuple[Findings, Path]) -> None:
    made = choose_tiles(*drawn)
    text = text_of(print_contact(ContactSheet("T", TODAY, made, "x"), A4, "x.pdf").content)
    for entry in drawn[0].library.entries:
        assert entry.piece.ingredients
        for item in entry.piece.ingredients:
            assert item.name.written not in text and item.amount.written not in text.split()


def test_a_planned_piece_stands_there_only_where_it_is_named_and_says_so(
    drawn: tuple[Findings, Path],
) -> None:
    found, folder = drawn
    (strand,) = found.strands_of("SH-001")
    found = replace(
        found,
        strands=tuple(s for s in found.strands if s is not strand),
        planned=(replace(strand, looks=(), fresh=None, latest=None),),
    )
    assert [tile.piece for tile in choose_tiles(found, folder)] == list(NUMBERS[1:])
    none_begun = replace(found, strands=(), planned=found.strands + found.planned)
    with pytest.raises(PrintError, match="no piece is begun yet"):
        choose_tiles(none_begun, folder)
    (tile,) = choose_tiles(found, folder, ("SH-001",))
    assert tile.lines[-1] == "Planned" and tile.instead == "no photograph yet"


def test_an_unknown_number_is_named_with_what_to_do(drawn: tuple[Findings, Path]) -> None:
    with pytest.raises(PrintError, match="did you mean “SH-012”"):
        choose_tiles(*drawn, ("SH-0122",))


def test_the_command_prints_title_and_the_day_it_is_told(tmp_path: Path) -> None:
    library = copy_small_library(tmp_path / "library")
    out = tmp_path / "to print" / "all.pdf"
    asked = ("print", "contact-sheet", "all", "--library", library, "--today", "2026-03-01")
    result = run(*asked, "-o", out, "--size", "letter")
    assert result.exit_code == 0 and "2 pieces." in result.stdout
    first = out.read_bytes()
    text = text_of(first)
    for words in ("Sparrowhithe Metal Evenings", "2026-03-01", "page 1 of 1", "SH-012", "1 : "):
        assert words in text
    assert "made up for show" in text and "vinegar" not in text
    assert page_sizes(first)[0] == pytest.approx((8.5 * 72, 11 * 72), abs=0.001)
    assert len(read_pictures(first)) == 2 < PHOTOGRAPHS
    assert "the very same" in run(*asked, "-o", out, "--size", "letter").stdout


def test_only_a_pdf_is_written(tmp_path: Path) -> None:
    result = run("print", "contact-sheet", "-o", tmp_path / "x.png")
    assert result.exit_code == 2 and ".pdf" in result.stderr
