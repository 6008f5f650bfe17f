"""Reference cards from a file or written out."""

import pytest

from builder.errors import CardError
from builder.read.cards import read_card_file, read_written_card
from builder.records.settings import CardPatch

LIMIT = 10_000
TEMPLATE = (
    "CGATS.17\n{white}\nBEGIN_DATA_FORMAT\n{name} LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
    "BEGIN_DATA\n{rows}\nEND_DATA\n"
)


def read_file(tmp_path, rows, grid=None, white="", said="WHITE_POINT D65", name="SAMPLE_ID"):
    path = tmp_path / "card.txt"
    text = TEMPLATE.format(rows=rows.replace(";", "\n"), white=said, name=name)
    path.write_text(text, encoding="utf-8")
    return read_card_file(path, "samples/card.txt", grid, LIMIT, white)


def test_patches_are_placed_by_row_and_column(tmp_path):
    card = read_file(tmp_path, "B2 22 0.3 0.2;A1 92 -0.3 0.8")
    assert card.patches == (
        CardPatch("A1", 0, 0, (92.0, -0.3, 0.8)), CardPatch("B2", 1, 1, (22.0, 0.3, 0.2)),
    )  # fmt: skip
    assert (card.name, card.rows, card.columns, card.white) == ("card", 2, 2, "D65")


def test_a_grid_may_be_larger_than_the_patches_that_are_listed(tmp_path):
    card = read_file(tmp_path, "A1 92 -0.3 0.8", grid=(4, 6))
    assert (card.rows, card.columns, len(card.patches)) == (4, 6, 1)


@pytest.mark.parametrize("name", ["a1", "A01", '"A1"'])
def test_a_place_may_be_written_in_several_ways(tmp_path, name):
    assert read_file(tmp_path, f"{name} 92 0 0").patches[0].name == "A1"


def test_names_that_are_no_place_are_not_used(tmp_path):
    card = read_file(tmp_path, "A1 92 0 0;GS0 50 0 0;17 40 0 0", name="SAMPLE_NAME")
    assert [patch.name for patch in card.patches] == ["A1"]


def test_without_a_word_on_white_it_is_the_formats_own_or_the_setups(tmp_path):
    assert read_file(tmp_path, "A1 92 0 0", said="").white == "D50"
    assert read_file(tmp_path, "A1 92 0 0", said="", white="D65").white == "D65"


@pytest.mark.parametrize(
    ("rows", "grid", "white", "why"),
    [
        ("A1 92 0 0;A1 92 0 0", None, "", "patch A1 is there twice"),
        ("A1 92 0 0;C3 20 0 0", (2, 3), "", "reach row 3 and column 3, the grid only 2 and 3"),
        ("A1 92,0 0 0", None, "", "patch A1 has L*a*b* “92,0, 0, 0”"),
        ("A1 920 0 0", None, "", "patch A1 has L*a*b*"),
        ("A1 nan 0 0", None, "", "patch A1 has L*a*b*"),
        ("1 92 0 0;2 20 0 0", None, "", "no patch is named by its place"),
        ("A1 92 0 0", None, "D50", "the file says its white is D65, the set-up D50"),
    ],
)
def test_a_card_that_cannot_be_used_is_told(tmp_path, rows, grid, white, why):
    with pytest.raises(CardError) as refusal:
        read_file(tmp_path, rows, grid, white)
    assert why in str(refusal.value)
    assert "no card until then" in str(refusal.value)


def test_a_binary_file_is_no_card(tmp_path):
    path = tmp_path / "card.txt"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\x00")
    with pytest.raises(CardError):
        read_card_file(path, "card.txt", None, LIMIT)


def write(patches, grid=None):
    return read_written_card("bench", patches, grid, "D50", "mkdocs.yml", 7)


def test_a_card_may_be_written_out():
    card = write({"A1": ["92", "-0.3", "0.8"], "A2": [22, 0.3, 0.2]})
    assert [patch.lab for patch in card.patches] == [(92, -0.3, 0.8), (22, 0.3, 0.2)]
    assert card.white == "D50"


@pytest.mark.parametrize(
    ("patches", "why"),
    [
        ({}, "the card has no patches"),
        ({"white patch": [92, 0, 0]}, "a patch “white patch”; expected row and column"),
        ({"A1": [92, 0]}, "A1 of card is a list; expected three numbers"),
        ({"A1": "92 0 0"}, "A1 of card is “92 0 0”"),
        ({"A1": [92, 0, 0], "a01": [92, 0, 0]}, "patch A1 is there twice"),
    ],
)
def test_a_card_written_out_wrongly_is_told_with_its_line(patches, why):
    with pytest.raises(CardError, match=r"^mkdocs.yml:7: ") as refusal:
        write(patches)
    assert why in str(refusal.value)
