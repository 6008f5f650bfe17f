"""``patinarium import``, ``new`` and ``start --from-photos`` as a newcomer meets them."""

from __future__ import annotations

import csv
import datetime as dt
import logging
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook
from PIL import Image

import builder.commands.importing
from builder.cli import cli
from builder.collect.starting import start_library
from builder.digests import digest_file
from builder.ledger import read_ledger
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.piece import Piece
from tests.importing.messy_table import FILE, MADE, write_messy_table

TODAY = dt.date(2026, 6, 1)
SMALL = "No.,Metal,Process,Date,Ammonia (ml),Notes\nKM-1,brass,fume,{},120,lovely\n"


@pytest.fixture(autouse=True)
def quiet() -> Iterator[None]:
    level = logging.getLogger("mkdocs").level
    yield
    logging.getLogger("mkdocs").setLevel(level)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "library"
    start_library(root, "Kettlemoor", TODAY, first_piece=False)
    return root


def run(*words: object, answers: str | None = None) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words], input=answers)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def bring(table: Path, library: Path, *words: object, answers: str | None = None) -> Result:
    return run("import", table, *words, "--library", library, "--today", TODAY, answers=answers)


def small(tmp_path: Path, day: str = "2024-10-01", text: str = SMALL) -> Path:
    path = tmp_path / "notes.csv"
    path.write_text(text.format(day), encoding="utf-8")
    return path


def bytes_of(folder: Path) -> dict[str, str]:
    return {p.relative_to(folder).as_posix(): digest_file(p)
            for p in folder.rglob("*") if p.is_file() and ".patinarium" not in p.parts}  # fmt: skip


def pieces_of(library: Path) -> dict[str, Piece]:
    read = read_library(library, read_settings_file(library), TODAY)
    return {entry.piece.piece: entry.piece for entry in read.entries}


def sidecar(library: Path, number: str) -> Path:
    return library / "samples" / number / "sample.yaml"


def shot(path: Path, day: dt.date, colour: tuple[int, int, int]) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = f"{day:%Y:%m:%d} 10:00:00"  # DateTimeOriginal, Exif 2.32
    Image.new("RGB", (320, 240), colour).save(path, exif=exif)
    return path


def test_the_messy_table_is_as_its_script_writes_it(tmp_path: Path) -> None:
    write_messy_table(tmp_path / "t.xlsx")
    assert (tmp_path / "t.xlsx").read_bytes() == FILE.read_bytes()


def test_a_dry_run_shows_all_and_does_nothing(library: Path) -> None:
    before = bytes_of(library)
    result = bring(FILE, library, "--dry-run")
    assert bytes_of(library) == before
    assert result.exit_code == 1  # a row is left out
    out = result.stdout
    assert "header in rows 4 to 5" in out and "by their headings" in out
    assert "Bath / Ammonia (ml)  ingredient ammonia, amount" in out
    assert f"{MADE} new" in out and "this was a dry run" in out
    said = " ".join(result.stderr.split())
    for doubt in (
        "Coverege %: it is like coverage_pct, and goes to the notes",
        "row 6, Metal: “copper” is merged down to row 10",
        'row 7, Bath / Salt: “"” says “as above”; taken for “½ cup” (row 6)',
        "row 10, Notes: the notes speak of 3 tsp",
        'row 18, Notes: “=HYPERLINK("x","y")” looks like a formula',
        "row 29: the row has no number",
        "row 39, Date coloured: “6/8/2024”: the column has dates of two orders",
        "row 44: KM-035 is the number of row 43 too; the row is left out",
        "rows 55–59, 61–70, Gauge: thickness is “20”: that looks like a gauge without its system",
        "row 63, Temp °F: temperature_c is “warm”",
        "row 64, Piece #: the number is written “KM 054”; it becomes KM-054",
        "row 72: this row begins “Total”; passed over",
    ):
        assert doubt in said


def test_the_messy_table_becomes_pieces_that_say_what_it_said(library: Path) -> None:
    digest = digest_file(FILE)
    assert bring(FILE, library, "--yes").exit_code == 1  # the row of the double number is left out
    assert digest_file(FILE) == digest
    pieces = pieces_of(library)
    assert len(pieces) == MADE
    piece = pieces["KM-018"]
    assert (piece.metal.value, piece.method.written) == ("brass", "buried in damp sawdust")
    amounts = {i.name.written: i.amount.written for i in piece.ingredients}
    assert amounts == {"salt": "½ cup", "vinegar": "120 ml", "sawdust": "200 g"}
    salt = piece.ingredients[0].amount.value
    assert salt is not None and salt.number == pytest.approx(118.29411825)  # NIST SP 811: US cup
    warm = piece.temperature_c
    assert warm.written == "64 °F" and warm.value is not None
    assert warm.value.number == pytest.approx(17.777778)  # NIST SP 811, B.8: (t - 32)/1.8
    assert piece.sealant.coats.value is not None and piece.sealant.coats.value.number == 2
    assert piece.sealant.date.written == "2024-05-21"
    assert piece.notes.written == "Lovely sea-green; not what was picked\nCoverege %: 58"
    assert pieces["KM-008"].exposure.written == "overnight"
    assert pieces["KM-008"].exposure.value is None
    assert pieces["KM-031"].started.written == "6/8/2024"  # open, and so no day
    assert pieces["KM-032"].started.written == "2024-08-13"  # 13/8/2024 is one day only
    assert pieces["KM-047"].started.written == "2024-11-26"  # the visitor's 11/26/2024
    assert {"TEMP-001", "TEMP-002", "KM-054"} <= set(pieces) and "KM-036" not in pieces
    text = sidecar(library, "KM-018").read_text(encoding="utf-8")
    schema = text.splitlines()[0].removeprefix("# yaml-language-server: $schema=")
    assert (sidecar(library, "KM-018").parent / schema).resolve().is_file()
    noted = {e.file for e in read_ledger(library).entries if e.file}
    assert len(noted) == MADE and not read_ledger(library).faults


def test_what_was_imported_builds(library: Path) -> None:
    bring(FILE, library, "--yes", "--dates", "dmy")
    assert pieces_of(library)["KM-031"].started.written == "2024-08-06"
    result = run("build", library, "--today", TODAY)
    assert result.exit_code == 0
    assert f"{MADE} pieces" in result.stdout and "0 of them left out" in result.stdout
    pages = {page.stem for page in (library / "site" / "pieces").glob("*.html")}
    assert len(pages - {"index"}) == MADE
    page = (library / "site" / "pieces" / "KM-012.html").read_text(encoding="utf-8")
    assert "=HYPERLINK(&#34;x&#34;,&#34;y&#34;)" in page or "=HYPERLINK(&quot;x&quot;" in page
    assert "overnight" in (library / "site" / "pieces" / "KM-008.html").read_text(encoding="utf-8")


def test_a_second_import_of_the_same_table_touches_nothing(library: Path) -> None:
    bring(FILE, library, "--yes")
    before = bytes_of(library)
    result = bring(FILE, library)
    assert f"{MADE} as it was" in result.stdout
    assert bytes_of(library) == before


def test_edits_on_both_sides_are_brought_together(library: Path, tmp_path: Path) -> None:
    table = Path(shutil.copy(FILE, tmp_path / "evenings.xlsx"))
    bring(table, library, "--yes")
    for number, old, new in (
        ("KM-001", "metal: copper", "metal: copper   # C101, I looked"),
        ("KM-002", "metal: copper", "metal: gilding metal"),
        ("KM-003", "amount: 43 ml", "amount: 45 ml"),
        ("KM-010", "exposure: 1 days", "exposure: 30 h"),
        ("KM-018", "Coverege %: 58", "Coverege %: 58\n  rubs off, seen in May"),
    ):
        path = sidecar(library, number)
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), encoding="utf-8")
    edited = bytes_of(library)
    book = load_workbook(table)
    sheet = book["Evenings"]
    sheet["C6"] = "brass"  # merged: KM-001 to KM-005
    sheet["F8"] = 50  # KM-003's ammonia
    sheet["K15"] = "1 days"  # KM-010, as it was
    sheet["T24"] = "Lovely sea-green"  # KM-018
    sheet["L24"], sheet["M24"] = "shellac", 3
    sheet["G24"] = None  # no salt after all
    sheet["A29"] = "KM-022"  # the row without a number has one now
    sheet["A71"], sheet["B71"], sheet["C71"] = "KM-061", "25 Mar 2025", "brass"  # a new row
    book.save(table)
    result = bring(table, library)
    said = " ".join(result.stderr.split())
    assert "1 new, 5 changed, 54 as it was" in result.stdout
    assert ("row 7: metal: the table now says “brass” (before: “copper”), and the sidecar was "
            "edited to “gilding metal”") in said  # fmt: skip
    assert ("row 8: ingredients.ammonia.amount: the table now says “50 ml” (before: “43 ml”), and "
            "the sidecar was edited to “45 ml”") in said  # fmt: skip
    one = sidecar(library, "KM-001").read_text(encoding="utf-8")
    assert "metal: brass   # C101, I looked" in one
    assert "metal: gilding metal" in sidecar(library, "KM-002").read_text(encoding="utf-8")
    assert "exposure: 30 h" in sidecar(library, "KM-010").read_text(encoding="utf-8")
    piece = pieces_of(library)["KM-018"]
    assert piece.notes.written == "Lovely sea-green\nCoverege %: 58\nrubs off, seen in May"
    assert piece.sealant.kind.written == "shellac"
    assert [i.name.written for i in piece.ingredients] == ["vinegar", "sawdust"]
    assert not (library / "samples" / "TEMP-001").exists()
    assert pieces_of(library)["KM-022"].started.written == "2024-06-04"
    assert pieces_of(library)["KM-061"].started.written == "25 Mar 2025"
    changed = {file for file, digest in bytes_of(library).items() if edited.get(file) != digest}
    assert changed == {
        *(f"samples/KM-{n}/sample.yaml" for n in ("001", "003", "004", "005", "018", "022", "061")),
        "imports/evenings.last.json", "ledger.jsonl",
    }  # fmt: skip
    assert run("record", "--library", library, "--today", TODAY).exit_code == 0
    assert "gone" not in run("check", library, "--today", TODAY).stderr


def test_columns_that_nobody_looked_at_are_not_taken(library: Path, tmp_path: Path) -> None:
    result = bring(small(tmp_path), library)
    assert result.exit_code == 1
    assert "nobody has looked yet" in result.stderr
    assert not list((library / "samples").iterdir())


def _at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal:
        def isatty(self) -> bool:
            return True

    class System:
        stdin = Terminal()
        exit = builder.commands.importing.sys.exit

    monkeypatch.setattr(builder.commands.importing, "sys", System)


def test_at_a_terminal_the_columns_and_the_order_of_dates_are_asked(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _at_a_terminal(monkeypatch)
    result = bring(small(tmp_path, "03/04/2024"), library, answers="y\nmonth\n")
    assert "Is this what they are?" in result.stdout and "Which comes first" in result.stdout
    assert pieces_of(library)["KM-1"].started.written == "2024-03-04"
    assert "dates: mdy" in (library / "imports" / "notes.yaml").read_text(encoding="utf-8")
    assert bring(small(tmp_path, "03/04/2024"), library).exit_code == 0  # it is remembered


def test_a_no_leaves_a_mapping_to_be_edited_which_is_then_followed(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _at_a_terminal(monkeypatch)
    result = bring(small(tmp_path), library, answers="n\n")
    assert "No piece was made" in result.stdout and not list((library / "samples").iterdir())
    mapping = library / "imports" / "notes.yaml"
    text = mapping.read_text(encoding="utf-8")
    text = text.replace("field: notes", "field: drop").replace(
        "# always: {metal: brass}", "always: {made_by: R.T.}"
    )
    mapping.write_text(text, encoding="utf-8")
    assert bring(small(tmp_path), library).exit_code == 0
    piece = pieces_of(library)["KM-1"]
    assert piece.notes.written == "" and piece.made_by.written == "R.T."
    assert mapping.read_text(encoding="utf-8") == text


def test_a_dry_run_ends_as_the_run_would(library: Path, tmp_path: Path) -> None:
    doubted = small(tmp_path, "sometime")
    dry = bring(doubted, library, "--dry-run")
    assert "sometime" in dry.stderr
    assert dry.exit_code == bring(doubted, library, "--yes").exit_code == 0


def test_a_number_in_another_spelling_is_told(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    other = small(tmp_path, text=SMALL.replace("KM-1", "km01"))
    assert "km01 is KM-1 in another spelling" in bring(other, library).stderr


def test_dates_that_nothing_tells_are_never_guessed(library: Path, tmp_path: Path) -> None:
    table = small(tmp_path, "03/04/2024")
    result = bring(table, library, "--yes")
    assert result.exit_code == 1
    assert "say --dates dmy or --dates mdy" in result.stderr
    assert not list((library / "samples").iterdir())
    assert "say --dates dmy" in " ".join(bring(table, library, "--dry-run").stderr.split())
    assert bring(table, library, "--yes", "--dates", "dmy").exit_code == 0
    assert pieces_of(library)["KM-1"].started.written == "2024-04-03"


def test_a_piece_that_came_from_elsewhere_is_left(library: Path, tmp_path: Path) -> None:
    path = sidecar(library, "KM-1")
    path.parent.mkdir()
    path.write_text("piece: KM-1\nmetal: copper\n", encoding="utf-8")
    result = bring(small(tmp_path), library, "--yes")
    assert "did not come from this table" in " ".join(result.stderr.split())
    assert path.read_text(encoding="utf-8") == "piece: KM-1\nmetal: copper\n"


def test_an_import_that_was_stopped_goes_on(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    (library / "imports" / "notes.last.json").unlink()  # written last
    assert "1 as it was" in bring(small(tmp_path), library).stdout
    corrected = small(tmp_path, text=SMALL.replace("brass", "copper"))
    assert "1 changed" in bring(corrected, library).stdout
    assert pieces_of(library)["KM-1"].metal.written == "copper"


def test_a_piece_that_its_maker_took_out_does_not_come_back(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    shutil.rmtree(library / "samples" / "KM-1")
    result = bring(small(tmp_path), library)
    assert "KM-1 was imported before and is gone" in " ".join(result.stderr.split())
    assert not (library / "samples" / "KM-1").exists()


def test_a_row_like_one_without_a_number_is_not_taken_for_it(library: Path, tmp_path: Path) -> None:
    row = "{},brass,fume,2024-10-01,120,lovely\n"
    head = SMALL.splitlines()[0] + "\n"
    bring(small(tmp_path, text=head + row.format("KM-1") + row.format("")), library, "--yes")
    assert set(pieces_of(library)) == {"KM-1", "TEMP-001"}
    result = bring(small(tmp_path, text=head + row.format("KM-1")), library)
    assert "1 as it was; 0 doubts" in result.stdout
    assert set(pieces_of(library)) == {"KM-1", "TEMP-001"}


@pytest.mark.parametrize(
    "cell",
    ["a: b # c", "- x", "{{ x }}", "%(day)s", "<script>", "'\"\\", "=1+1", "\u2028\x85\x07 é ½",
     "!tag", "&a *a", "| >", "---", "...", "# x", "a\n\n  b\n", "\ufeffx"],
)  # fmt: skip
def test_any_cell_is_kept_as_written(library: Path, tmp_path: Path, cell: str) -> None:
    table = tmp_path / "t.csv"
    with table.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([["No.", "Metal", "Why", "Notes"], ["A", "tin", "x", cell]])
    bring(table, library, "--yes")
    assert pieces_of(library)["A"].notes.written == cell.strip()
    assert "1 as it was" in bring(table, library).stdout


def test_what_is_saved_while_the_import_asks_is_not_written_over(
    library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bring(small(tmp_path), library, "--yes")
    path = sidecar(library, "KM-1")
    mine = path.read_text(encoding="utf-8").replace("brass", "gilding metal")
    plan_now = builder.commands.importing.plan_pieces

    def plan_and_be_edited(*words: object) -> object:
        plan = plan_now(*words)  # type: ignore[arg-type]
        path.write_text(mine, encoding="utf-8")
        return plan

    monkeypatch.setattr(builder.commands.importing, "plan_pieces", plan_and_be_edited)
    corrected = small(tmp_path, text=SMALL.replace("brass", "copper"))
    result = bring(corrected, library)
    assert "was saved meanwhile" in result.stderr and "1 left" in result.stdout
    assert path.read_text(encoding="utf-8") == mine
    monkeypatch.undo()
    assert "metal: the table now says “copper”" in " ".join(
        bring(corrected, library).stderr.split()
    )


def test_a_final_number_beside_now_in_the_mapping_is_taken(library: Path, tmp_path: Path) -> None:
    table = small(tmp_path, text=SMALL.replace("KM-1,", ","))
    bring(table, library, "--yes")
    mapping = library / "imports" / "notes.yaml"
    text = mapping.read_text(encoding="utf-8")
    mapping.write_text(text.replace('now: ""', "now: KM-9"), encoding="utf-8")
    assert "was TEMP-001" in bring(table, library).stdout
    assert list(pieces_of(library)) == ["KM-9"]
    assert "1 as it was" in bring(table, library).stdout


def test_a_numbered_folder_with_photographs_is_not_moved(library: Path, tmp_path: Path) -> None:
    table = small(tmp_path, text=SMALL.replace("KM-1,", ","))
    bring(table, library, "--yes")
    shot(library / "samples" / "TEMP-001" / "a.jpg", TODAY, (9, 9, 9))
    result = bring(small(tmp_path), library)
    assert "rename the folder to KM-1" in " ".join(result.stderr.split())
    assert list(pieces_of(library)) == ["TEMP-001"]


def test_a_column_that_is_gone_is_said_and_nothing_emptied(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    before = bytes_of(library)
    without = "No.,Metall,Process,Date,Ammonia (ml),Notes\nKM-1,brass,fume,2024-10-01,120,lovely\n"
    result = bring(small(tmp_path, text=without), library)
    assert result.exit_code == 1 and "there is no column “Metal”" in result.stderr
    assert "did you mean “Metall”?" in result.stderr
    assert bytes_of(library) == before


def test_a_new_column_and_a_title_above_are_no_trouble(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    head, row = SMALL.format("2024-10-01").splitlines()
    text = f"Evenings\n\n{head},Salt (g)\n{row},15\n"
    result = bring(small(tmp_path, text=text), library)
    assert (
        "the header now stands in row 3" in result.stderr and "this column is new" in result.stderr
    )
    assert [i.name.written for i in pieces_of(library)["KM-1"].ingredients] == ["ammonia", "salt"]
    assert "column: Salt (g)" in (library / "imports" / "notes.yaml").read_text(encoding="utf-8")


def test_semicolons_bring_decimal_commas(library: Path, tmp_path: Path) -> None:
    text = "No.;Metal;Thickness mm;Date\nA;brass;0,9;1.10.2024\nB;brass;1,2;25.10.2024\n"
    bring(small(tmp_path, text=text), library, "--yes")
    piece = pieces_of(library)["A"]
    assert (piece.thickness.written, piece.started.written) == ("0.9 mm", "2024-10-01")


def test_photographs_come_with_their_pieces_and_their_folder_stays_as_it_was(
    library: Path, tmp_path: Path
) -> None:
    phone = tmp_path / "phone"
    shot(phone / "IMG_2201.JPG", dt.date(2024, 1, 16), (90, 120, 100))  # named in row 6
    shot(phone / "KM-002_front.jpg", dt.date(2024, 1, 23), (10, 120, 100))
    shot(phone / "KM-003" / "IMG_1.jpg", dt.date(2024, 1, 24), (90, 20, 100))
    shot(phone / "IMG_77.jpg", dt.date(2024, 2, 13), (190, 120, 10))  # KM-006's day
    shot(phone / "IMG_78.jpg", dt.date(2023, 2, 13), (190, 220, 10))
    before = bytes_of(phone)
    dry = bring(FILE, library, phone, "--dry-run")
    for line in (
        "IMG_2201.JPG → KM-001, by the file named in the table",
        "KM-002_front.jpg → KM-002, by its file name",
        "IMG_1.jpg → KM-003, by the name of its folder",
        "IMG_77.jpg → KM-006, by its day alone",
    ):
        assert line in dry.stdout
    said = " ".join(dry.stderr.split())
    assert "photograph IMG_78.jpg: nothing tells which piece it shows" in said
    assert "row 7: there is no photograph “IMG_2202.JPG”" in said
    result = bring(FILE, library, phone, "--yes")
    assert "Photographs: 4 filed, 1 left." in result.stdout
    assert bytes_of(phone) == before
    filed = sorted(p.relative_to(library / "samples").as_posix()
                   for p in (library / "samples").rglob("*.jpg"))  # fmt: skip
    assert filed == [
        "KM-001/KM-001_2024-01-16.jpg", "KM-002/KM-002_2024-01-23.jpg",
        "KM-003/KM-003_2024-01-24.jpg", "KM-006/KM-006_2024-02-13.jpg",
    ]  # fmt: skip
    ledger = {entry.file for entry in read_ledger(library).entries}
    assert {f"samples/{file}" for file in filed} <= ledger
    assert "0 filed, 4 there already" in bring(FILE, library, phone).stdout


def test_new_begins_a_piece_and_says_where(library: Path, tmp_path: Path) -> None:
    bring(small(tmp_path), library, "--yes")
    result = run("new", "KM-2", "--like", "KM-1", "--change", "exposure=14d", "--library", library)
    assert result.exit_code == 0
    assert f"made {sidecar(library, 'KM-2')}" in result.stdout
    lines = sidecar(library, "KM-2").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "# yaml-language-server: $schema=../../docs/sidecar.schema.json"
    assert lines[1:5] == ["piece: KM-2", "same_as: KM-1", "change:", "  exposure: 14d"]
    again = run("new", "KM-2", "--like", "KM-1", "--library", library)
    assert again.exit_code == 1 and "there is a piece of this number" in again.stderr


def test_a_library_begins_from_photographs(tmp_path: Path) -> None:
    phone, library = tmp_path / "phone", tmp_path / "bells"
    shot(phone / "BT-1_wet.jpg", dt.date(2024, 10, 15), (90, 120, 100))
    shot(phone / "BT-1_dry.jpg", dt.date(2024, 10, 16), (90, 10, 100))
    shot(phone / "BT-2" / "IMG_1.jpg", dt.date(2024, 10, 15), (9, 120, 100))
    shot(phone / "IMG_2.jpg", dt.date(2024, 10, 15), (200, 120, 100))
    before = bytes_of(phone)
    result = run("start", library, "--title", "Bells", "--from-photos", phone)
    assert result.exit_code == 0
    assert "BT-1: 2 photographs, 2024-10-15 to 2024-10-16" in result.stdout
    assert "3 photographs filed" in result.stdout
    assert "nothing tells which piece it shows" in result.stderr
    assert bytes_of(phone) == before
    pieces = pieces_of(library)
    assert list(pieces) == ["BT-1", "BT-2"]
    assert [check.date.written for check in pieces["BT-1"].checks] == ["2024-10-15", "2024-10-16"]
    said = run("check", library).stderr
    assert "BT-1 has no metal" in said and "BT-1 has no date" not in said


def test_photographs_that_tell_no_piece_begin_nothing(tmp_path: Path) -> None:
    shot(tmp_path / "phone" / "IMG_2.jpg", TODAY, (200, 120, 100))
    result = run("start", tmp_path / "bells", "--from-photos", tmp_path / "phone")
    assert result.exit_code == 1
    assert not (tmp_path / "bells").exists()
