"""A bench card says what to do with what is at hand, and keeps three kinds of absence apart."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builder.cli import cli
from builder.reckon.scaling import Bench
from builder.records.jig import read_label
from builder.records.piece import Entry, Piece
from builder.records.settings import Price
from builder.relate.cautions import FIRST, cautions_of
from builder.sheets.bench_cards import PAPERS, draw_card
from builder.sheets.bench_words import Absence, BenchCard, write_card
from builder.sheets.lettering import CAP, measure_words, wrap
from builder.sheets.pdf import write_pdf
from builder.sheets.shapes import Code, Sheet, Words
from tests.pipeline.small_library import copy_small_library
from tests.reckon.recipes import buried, fumed, piece
from tests.sheets.raster import page_sizes, rasterise, read_codes

POINTS = 72 / 25.4
LEAST_MM = 2.3  # 6.5 points: the line at the foot; what is worked by is 7 points and more
LONG = "a very long sentence that a maker wrote down on a rainy evening " * 6


def card(of: Piece, bench: Bench | None = None, *cautions: str, **more: Any) -> BenchCard:
    return write_card(Entry(piece=of, file="x"), bench or Bench(), cautions, **more)


def said(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(s.text for sheet in sheets for s in sheet.shapes if isinstance(s, Words))


FULL = buried(
    prep=[{"step": "pickle", "with": "citric acid", "strength": "100 g/l", "minutes": "20"}],
    temper="half hard",
    temperature_c="18",
    humidity_pct="not measured",
    exposure="7 d",
    stop="lifted out",
    dry={"how": "on a rack", "for": "7 d"},
    sealant={"kind": "shellac", "coats": "2", "how": "brushed"},
)


def test_every_step_is_on_the_card_in_order() -> None:
    words = said(draw_card(card(FULL), PAPERS["A4"]))
    steps = (
        "Pickle with citric acid, 100 g/l, 20 min", "200 g", "120 ml", "malt vinegar, 5 %", "15 g",
        "buried in damp sawdust", "7 d", "lifted out", "on a rack, 7 d",
        "shellac, 2 coats, brushed", "Date", "Room, °C", "Humidity, %", "Start", "Seen",
    )  # fmt: skip
    places = [words.index(step) for step in steps]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("size", "said"),
    [
        ("50x50x0.9 mm", {"plate": "50 × 50 mm"}),
        ("50x50x0.9", {"plate": "50 × 50 × 0.9 mm"}),
        ("2x3 in", {"plate": "2 in × 3 in"}),
    ],
)
def test_a_unit_is_said_once(size: str, said: dict[str, str]) -> None:
    told = {one.label: one.words for one in card(piece(size_mm=size)).blank}
    assert told.items() >= said.items()
    assert not any("mm mm" in words for words in told.values())


def test_amounts_are_for_the_tub_and_the_bottle_at_hand() -> None:
    bench = Bench(tub=6, bottles={"malt vinegar": "10 %"})
    sawdust, vinegar, salt = card(FULL, bench).mixture or ()
    assert sawdust.amount == "400\u00a0g"
    # 240 ml × 1.0052 × 5/10 = 120.6 g = 119 ml at 1.0121 g/ml; as much water: m₁w₁ = m₂w₂
    assert vinegar.amount == "119\u00a0ml + 121\u00a0g water"
    assert vinegar.name == "malt vinegar, 10 %"
    assert "was 15 g, noted as “2½ tsp”" in salt.asides


def test_missing_unknown_and_not_measured_stay_three() -> None:
    told = card(buried(temperature_c="unknown", humidity_pct="not measured"))
    by_label = {one.label: one for one in told.colour}
    assert by_label["temperature"].absence is Absence.UNKNOWN
    assert by_label["humidity"].absence is Absence.NOT_MEASURED
    assert by_label["for"].absence is Absence.MISSING
    words = said(draw_card(told, PAPERS["A4"]))
    assert "? unknown" in words and "– not measured" in words and "not recorded" in words


def test_no_mixture_and_a_mixture_not_spoken_of_are_two_things() -> None:
    assert card(piece(method="heat colour", ingredients=[])).mixture == ()
    assert card(piece(method="heat colour")).mixture is None
    nothing = said(draw_card(card(piece(ingredients=[])), PAPERS["A4"]))
    assert "there is no mixture" in nothing
    assert "Mixture not recorded." in said(draw_card(card(piece()), PAPERS["A4"]))


def test_every_card_says_what_goes_first() -> None:
    assert card(piece()).cautions == (FIRST,)
    assert FIRST in said(draw_card(card(piece()), PAPERS["A5"]))


def test_what_must_not_meet_stands_before_the_first_step() -> None:
    brass = fumed(metal="brass", temper="half hard")
    cautions = [caution.said for caution in cautions_of(Entry(piece=brass, file="x"))]
    told = card(brass, None, *cautions)
    words = said(draw_card(told, PAPERS["A4"]))
    assert words.index("stress-corrosion cracking") < words.index("1  Prepare")
    assert told.cautions[-1] == FIRST


def test_the_box_at_hand_is_told_beside_the_box_it_was() -> None:
    told = card(fumed(), Bench(tub=10, bottles={"ammonia": "5 %"}))
    air = next(line for line in told.figures if "not for safety" in line.words)
    assert "(was 0.08" in air.words


def test_cost_stands_on_the_card_only_where_it_is_asked_for() -> None:
    prices = (Price("copper", 0.12, "cm2"),)
    assert "cost" not in str(card(buried()).figures)
    (cost,) = card(buried(), prices=prices).figures
    assert cost.words == "18.0"


@pytest.mark.parametrize(
    ("share", "words"),
    [({}, ""), ({"recipe": "public"}, ""), ({"recipe": "private"}, "private"),
     ({"recipe": "students"}, "students")],
)  # fmt: skip
def test_a_recipe_that_is_not_for_all_says_so(share: dict[str, str], words: str) -> None:
    assert words in card(buried(share=share)).shared
    assert bool(words) == bool(card(buried(share=share)).shared)


CROWDED = buried(
    prep=[{"step": LONG}] * 12,
    notes=LONG,
    stop=LONG,
    exposure="unknown",
    zones=[{"name": f"zone {n} of many", "sealant": "microcrystalline wax"} for n in range(9)],
)
BARE = piece()


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("of", [FULL, CROWDED, BARE], ids=["full", "crowded", "bare"])
def test_no_word_leaves_the_paper_or_is_too_small(of: Piece, size: str) -> None:
    width, height = PAPERS[size]
    for sheet in draw_card(card(of, None, LONG), PAPERS[size]):
        for shape in sheet.shapes:
            if not isinstance(shape, Words):
                continue
            wide = measure_words(shape.text, shape.size, shape.bold)
            start = {"start": 0.0, "middle": wide / 2, "end": wide}[shape.anchor]
            assert shape.at[0] - start >= 5.0 and shape.at[0] - start + wide <= width - 5.0
            assert shape.at[1] - CAP * shape.size >= 4.0 and shape.at[1] <= height - 4.0
            assert shape.size >= LEAST_MM or "bench card" in shape.text


def test_no_two_lines_of_a_card_overlap() -> None:
    for sheet in draw_card(card(CROWDED, None, LONG), PAPERS["A5"]):
        boxes = [
            (
                s.at[0],
                s.at[1] - CAP * s.size,
                s.at[0] + measure_words(s.text, s.size, s.bold),
                s.at[1],
            )
            for s in sheet.shapes
            if isinstance(s, Words) and s.anchor == "start"
        ]
        for n, (left, top, right, bottom) in enumerate(boxes):
            for other in boxes[n + 1 :]:
                apart = left >= other[2] or right <= other[0] or top >= other[3] - 0.05
                assert apart or bottom <= other[1] + 0.05


def test_a_card_that_is_too_full_goes_on_several_sheets_each_with_its_number() -> None:
    sheets = draw_card(card(CROWDED), PAPERS["A5"])
    assert len(sheets) > 1
    assert all("X-1" in said((sheet,)) for sheet in sheets)
    assert f"page 1 of {len(sheets)}" in said(sheets)
    assert len(draw_card(card(FULL), PAPERS["A5"])) == 1


@pytest.mark.parametrize("size", PAPERS)
def test_the_number_is_read_back_from_the_paper(size: str) -> None:
    pdf = write_pdf(draw_card(card(FULL), PAPERS[size]))
    (page,) = rasterise(pdf)
    assert [read_label(text) for text in read_codes(page)] == ["X-1"]
    width, height = PAPERS[size]
    assert page_sizes(pdf)[0] == pytest.approx((width * POINTS, height * POINTS), abs=0.001)


def test_the_code_has_its_quiet_zone() -> None:
    # four modules: ISO/IEC 18004
    (sheet,) = draw_card(card(FULL), PAPERS["A4"])
    code = next(shape for shape in sheet.shapes if isinstance(shape, Code))
    quiet = 4 * (code.box[2] - code.box[0]) / 21
    assert sheet.width - code.box[2] >= quiet and code.box[1] >= quiet
    for shape in sheet.shapes:
        if isinstance(shape, Words) and shape.at[1] - CAP * shape.size < code.box[3] + quiet:
            right = shape.at[0] + measure_words(shape.text, shape.size, shape.bold)
            assert right < code.box[0] - quiet


def test_the_same_card_gives_the_same_bytes() -> None:
    one, two = (write_pdf(draw_card(card(FULL), PAPERS["A4"])) for _ in range(2))
    assert one == two


@pytest.mark.parametrize("text", ["", "word", LONG, "x" * 200, "a " + "y" * 90 + " b"])
def test_wrapped_words_are_all_there_and_none_too_wide(text: str) -> None:
    lines = wrap(text, 40.0, 4.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(measure_words(line, 4.0) <= 40.0 for line in lines)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return copy_small_library(tmp_path / "library")


def run(library: Path, *words: str) -> Any:
    return CliRunner().invoke(cli, ["print", "bench-card", *words, "--library", str(library)])


def test_the_command_writes_the_file_named(library: Path, tmp_path: Path) -> None:
    file = tmp_path / "to print" / "card.pdf"
    done = run(
        library, "sh-012", "--tub", "5", "--plate", "100x150", "--strength", "vinegar=10%",
        "-o", str(file),
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    (page,) = rasterise(file.read_bytes())
    assert [read_label(text) for text in read_codes(page)] == ["SH-012"]
    again = run(library, "SH-012", "-o", str(file))
    assert again.exit_code == 1 and "another file of this name" in again.output


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("--tub", "big"), "write litres"),
        (("--tub", "0"), "write litres"),
        (("--plate", "100"), "width and height"),
        (("--plate", "100x-5"), "width and height"),
        (("--strength", "ammonia"), "name and strength"),
        (("--strength", "=5 %"), "name and strength"),
    ],
)
def test_what_is_at_hand_has_to_be_readable(
    library: Path, words: tuple[str, ...], expected: str
) -> None:
    done = run(library, "SH-012", *words)
    assert done.exit_code == 2
    assert expected in done.output


def test_a_piece_that_is_not_there_is_named(library: Path) -> None:
    done = run(library, "SH-12")
    assert done.exit_code == 1 and "did you mean “SH-012”?" in done.output


def test_no_card_is_made_of_things_that_are_never_to_meet(library: Path, tmp_path: Path) -> None:
    folder = library / "samples" / "KW-17"
    folder.mkdir()
    sidecar = folder / "sample.yaml"
    sidecar.write_text("piece: KW-17\nmetal: copper\ningredients: [ammonia, bleach]\n", "utf-8")
    file = tmp_path / "card.pdf"
    done = run(library, "KW-17", "-o", str(file))
    assert done.exit_code == 1
    assert "samples/KW-17/sample.yaml:3: H1 of the safety table: Never together" in done.output
    assert "Nothing is printed; expected a mixture that can be worked by; put right" in done.output
    assert not file.exists()


def test_a_bottle_at_hand_may_make_a_mixture_that_is_not_printed(
    library: Path, tmp_path: Path
) -> None:
    folder = library / "samples" / "KW-18"
    folder.mkdir()
    (folder / "sample.yaml").write_text(
        "piece: KW-18\nmetal: copper\ningredients:\n  - malt vinegar\n"
        "  - {name: hydrogen peroxide, strength: 3 %}\n",
        "utf-8",
    )
    out = ("-o", str(tmp_path / "card.pdf"))
    assert run(library, "KW-18", "--strength", "hydrogen peroxide=30%", *out).exit_code == 1
    assert run(library, "KW-18", *out).exit_code == 0
