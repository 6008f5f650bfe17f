"""A jig card read back from paper: its label, its picture, its words."""

from __future__ import annotations

import base64
import datetime as dt
import io
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from builder.errors import PrintError
from builder.records.jig import A4, JIGS, Jig, read_label
from builder.relate.findings import Findings
from builder.sheets.jig_cards import (
    FOLD_DOWN_MM,
    FOLD_MM,
    HEIGHT_MM,
    WIDTH_MM,
    JigCard,
    choose_cards,
    draw_card,
    lay_out_cards,
)
from builder.sheets.lettering import measure_words
from builder.sheets.printing import print_cards
from builder.sheets.shapes import Code, Frame, Photo, Words
from tests.publish.fixture import findings
from tests.relate.demo import entry_of, find, find_written
from tests.sheets.raster import cut, page_sizes, rasterise, read_codes

DAY = dt.date(2025, 10, 20)
BOTH = pytest.mark.parametrize("paper", JIGS, ids=lambda jig: jig.name)
SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"
NAMES = ["SH-014", "1", "TP-001_second-batch.of.the-autumn", "W" * 60, "Grün-07"]
#: Grey levels: a JPEG drawn smaller by another's resampling.
DRAWN_ALIKE = 4.0


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> tuple[Findings, Path]:
    """Pictures of two bare pieces and one that is sealed on an unwritten day."""
    folder = tmp_path_factory.mktemp("made")
    found = findings(folder, ("SH-001", "SH-012", "SH-014"))
    return replace(found, today=DAY), folder


def words_of(card: JigCard) -> list[Words]:
    return [shape for shape in draw_card(card, (0.0, 0.0)) if isinstance(shape, Words)]


@BOTH
def test_every_cards_label_is_read_back_by_its_number(
    paper: Jig, drawn: tuple[Findings, Path]
) -> None:
    cards = choose_cards(*drawn, ("SH-014", "SH-001", "SH-012"))
    pdf = print_cards(cards, DAY, paper, ("pdf",))[0].content
    (page,) = rasterise(pdf)
    assert sorted(filter(None, map(read_label, read_codes(page)))) == ["SH-001", "SH-012", "SH-014"]
    # Standing paper: ISO 216, ANSI/ASME Y14.1
    assert page_sizes(pdf)[0] == pytest.approx(
        (paper.height * 72 / 25.4, paper.width * 72 / 25.4), abs=0.001
    )


def test_the_picture_on_paper_is_the_last_photograph_whole_and_upright(
    drawn: tuple[Findings, Path],
) -> None:
    found, folder = drawn
    cards = choose_cards(found, folder, ("SH-012",))
    (strand,) = found.strands_of("SH-012")
    last = max((look for look in strand.looks if look.taken and look.taken <= DAY), key=_taken)
    web = next(web for web in last.observation.picture.webs if web.width == 960)
    assert cards[0].jpeg == (folder / web.name).read_bytes()
    assert cards[0].taken == str(last.taken)
    (sheet,) = lay_out_cards(cards, A4)
    photo = next(shape for shape in sheet.shapes if isinstance(shape, Photo))
    left, top, right, bottom = photo.box
    assert (right - left) / (bottom - top) == pytest.approx(web.width / web.height)
    page = cut(rasterise(print_cards(cards, DAY, A4, ("pdf",))[0].content)[0], photo.box)
    with Image.open(folder / web.name) as image:
        grey = np.asarray(image.convert("L").resize((60, 45), Image.Resampling.BOX), dtype=float)
    seen = np.asarray(Image.fromarray(page).resize((60, 45), Image.Resampling.BOX), dtype=float)
    inner = (slice(1, -1), slice(1, -1))
    assert np.abs(seen - grey)[inner].mean() < DRAWN_ALIKE
    assert np.abs(seen[::-1] - grey)[inner].mean() > DRAWN_ALIKE  # the check sees one upside down


def _taken(look: object) -> dt.date:
    return look.taken  # type: ignore[attr-defined, no-any-return]


def test_the_svg_holds_the_very_bytes_and_asks_for_nothing_from_elsewhere(
    drawn: tuple[Findings, Path],
) -> None:
    cards = choose_cards(*drawn, ("SH-012",))
    text = print_cards(cards, DAY, A4, ("svg",))[0].content.decode("utf-8")
    images = list(ET.fromstring(text).iter(f"{SVG}image"))  # noqa: S314  # our own
    assert len(images) == 1
    kind, _, data = images[0].get(LINK, "").partition(",")
    assert kind == "data:image/jpeg;base64"
    assert base64.b64decode(data) == cards[0].jpeg
    assert "SH-012, its last photograph" in (images[0].findtext(f"{SVG}title") or "")


def test_without_names_the_pieces_that_are_due_come_by_date() -> None:
    cards = choose_cards(find_written(dt.date(2025, 6, 10)), Path("none"))
    assert [card.piece for card in cards[:3]] == ["SH-020", "SH-026", "SH-027"]
    assert cards[0].due == ("6 months, due on 2025-05-14",)
    assert cards[0].setup == "bench"


def test_zones_that_are_due_on_one_day_are_one_line() -> None:
    (card,) = choose_cards(find_written(dt.date(2025, 11, 1)), Path("none"), ("sh-024",))
    assert card.due == ("12 months, due on 2025-12-03",)


def test_what_cannot_be_told_is_said(drawn: tuple[Findings, Path]) -> None:
    (card,) = choose_cards(*drawn, ("SH-014",))
    assert card.due == ("not due: the day of sealing is not written",)


def test_a_piece_without_a_photograph_gets_a_card_with_an_empty_place() -> None:
    entry = entry_of(started="2024-01-31", exposure="1 min", sealant="none")
    (card,) = choose_cards(find((entry,), [], DAY), Path("none"))
    assert card.jpeg is None
    assert "no photograph yet" in [words.text for words in words_of(card)]


@pytest.mark.parametrize("name", NAMES)
def test_no_word_leaves_its_card(name: str) -> None:
    stream = io.BytesIO()
    Image.new("RGB", (40, 90)).save(stream, "JPEG")
    due = ("left, right: " + "12 months, due on 2025-10-16 " * 5, "centre: not due: lost", "third")
    card = JigCard(name, due, "the bench by the north window " * 4, stream.getvalue(), 4 / 9, "x")
    shapes = list(draw_card(card, (0.0, 0.0)))
    for words in words_of(card):
        assert words.text
        assert words.at[0] + measure_words(words.text, words.size, words.bold) <= WIDTH_MM - 2
        assert 2 < words.at[1] < HEIGHT_MM - 2
    photo = next(shape for shape in shapes if isinstance(shape, Photo))
    assert photo.box[3] - photo.box[1] == pytest.approx(72)
    assert (photo.box[2] - photo.box[0]) / 72 == pytest.approx(4 / 9)


@BOTH
def test_folded_twice_a_card_fits_the_labels_place_on_the_sheet(paper: Jig) -> None:
    left, top, right, bottom = paper.label
    assert right - left >= WIDTH_MM - FOLD_MM and bottom - top >= FOLD_DOWN_MM
    shapes = list(draw_card(JigCard("P-1", ("due",), "bench", b"", 1.0, "x"), (0.0, 0.0)))
    photo = next(shape for shape in shapes if isinstance(shape, Photo))
    code = next(shape for shape in shapes if isinstance(shape, Code))
    assert photo.box[2] < FOLD_MM < code.box[0] and code.box[3] < FOLD_DOWN_MM


@BOTH
def test_three_cards_lie_on_a_page_and_none_over_another(paper: Jig) -> None:
    sheets = lay_out_cards([JigCard(f"P-{n}", (), "") for n in range(7)], paper)
    assert len(sheets) == 3
    for sheet in sheets:
        frames = [s.box for s in sheet.shapes if isinstance(s, Frame) and not s.pen.dashes]
        assert all(one[3] <= other[1] + 1e-9 for one, other in pairwise(frames))
        assert min(min(box) for box in frames) > 5
        assert max(box[3] for box in frames) < sheet.height - 8


def test_an_unknown_piece_is_named_with_what_to_do() -> None:
    with pytest.raises(PrintError, match="did you mean “SH-012”"):
        choose_cards(find_written(DAY), Path("none"), ("SH-0122",))


def test_a_library_in_which_nothing_is_due_says_so() -> None:
    entry = entry_of(started="2024-01-31", sealant="none", outcome="lost")
    with pytest.raises(PrintError, match="nothing is due"):
        choose_cards(find((entry,), [], DAY), Path("none"))


def test_a_picture_that_is_gone_is_a_problem(drawn: tuple[Findings, Path], tmp_path: Path) -> None:
    with pytest.raises(PrintError, match="cannot be read"):
        choose_cards(drawn[0], tmp_path, ("SH-012",))


def test_the_same_cards_give_the_same_bytes(drawn: tuple[Findings, Path]) -> None:
    cards = choose_cards(*drawn)
    assert print_cards(cards, DAY, A4, ("pdf", "svg")) == print_cards(
        cards, DAY, A4, ("pdf", "svg")
    )
