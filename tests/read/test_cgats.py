"""Card files. The format: CGATS.17 and ISO 28178; its usual white D50: ISO 13655. The small files
here are made up for the test."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import CardError, Weight
from builder.read.cgats import read_cgats

HEAD = 'CGATS.17\nORIGINATOR "a test"\nNUMBER_OF_FIELDS 4\n'
FORMAT = "BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
DATA = "NUMBER_OF_SETS 2\nBEGIN_DATA\nA1 92.0 -0.3 0.8\nA2 22.0 0.3 0.2\nEND_DATA\n"
GOOD = HEAD + FORMAT + DATA


def labs(text):
    table = read_cgats(text, "card.txt")
    return [tuple(row.fields[name] for name in ("LAB_L", "LAB_A", "LAB_B")) for row in table.rows]


def refuse(text):
    with pytest.raises(CardError) as refusal:
        read_cgats(text, "card.txt")
    (problem,) = refusal.value.problems
    assert problem.weight is Weight.LEFT_OUT
    return str(problem)


def test_a_plain_table_is_read():
    assert labs(GOOD) == [("92.0", "-0.3", "0.8"), ("22.0", "0.3", "0.2")]


def test_rows_may_run_over_lines_and_counts_be_quoted():
    text = GOOD.replace("A1 92.0 -0.3 0.8", "A1\t92.0\n  -0.3\n0.8").replace("SETS 2", 'SETS "2"')
    assert labs(text) == labs(GOOD)


def test_names_may_be_quoted_and_remarks_stand_anywhere():
    text = GOOD.replace("A1 92.0", '"A1" 92.0').replace("-0.3 0.8", "-0.3 0.8 # white")
    assert labs("# a card\n" + text) == labs(GOOD)


def test_the_first_table_with_lab_is_taken():
    other = "BEGIN_DATA_FORMAT\nSAMPLE_ID XYZ_X XYZ_Y XYZ_Z\nEND_DATA_FORMAT\n"
    first = f"{other}NUMBER_OF_SETS 1\nBEGIN_DATA\nA1 1 2 3\nEND_DATA\n"
    assert labs(HEAD + first + FORMAT + DATA) == labs(GOOD)


def test_fields_are_found_in_any_order_and_case():
    text = HEAD + (
        "BEGIN_DATA_FORMAT\nLab_B RGB_R Sample_Name LAB_L LAB_A\nEND_DATA_FORMAT\n"
        "BEGIN_DATA\n0.8 250 A1 92.0 -0.3\nEND_DATA\n"
    )
    assert labs(text) == [("92.0", "-0.3", "0.8")]


@pytest.mark.parametrize(
    ("keyword", "white", "written"),
    [
        ("", "D50", False),
        ('WHITE_POINT "D65"', "D65", True),
        ("ILLUMINANT D65", "D65", True),
        (
            'WEIGHTING_FUNCTION "ILLUMINANT, D50"\nWEIGHTING_FUNCTION "OBSERVER, 2 degree"',
            "D50",
            True,
        ),
        ('MEASUREMENT_SOURCE "Illumination=D50 ObserverAngle=2° WhiteBase=Abs"', "D50", True),
        ('KEYWORD "WHITE_POINT"\nWHITE_POINT "D65"', "D65", True),
    ],
)
def test_the_white_is_the_one_the_file_names_or_the_formats_own(keyword, white, written):
    table = read_cgats(f"CGATS.17\n{keyword}\n{FORMAT}{DATA}", "card.txt")
    assert (table.white, table.white_written) == (white, written)


@pytest.mark.parametrize(
    ("keyword", "why"),
    [
        ("ILLUMINANT A", "white A"),
        ('WHITE_POINT "D55"', "white D55"),
        ("WHITE_POINT D50\nILLUMINANT D65", "two whites"),
        ('OBSERVER "10"', "expected values for the 2° observer"),
        ('WEIGHTING_FUNCTION "OBSERVER, 10 degree"', "expected values for the 2° observer"),
    ],
)
def test_a_white_or_observer_that_cannot_be_used_is_told(keyword, why):
    assert why in refuse(f"CGATS.17\n{keyword}\n{FORMAT}{DATA}")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no table in this file"),
        ("hello\nworld", "no table in this file"),
        (GOOD.replace(" LAB_B", ""), "no table has L*a*b*"),
        (GOOD.replace("0.3 0.2\n", "0.3\n"), "card.txt:10: the last row has 3 values; expected 4"),
        (GOOD.replace("SETS 2", "SETS 3"), "there are 2 rows; expected 3"),
        (GOOD.replace("SETS 2", "SETS two"), "NUMBER_OF_SETS is “two”"),
        (GOOD.replace("END_DATA\n", ""), "has no end"),
        (GOOD.replace("A1 92", '"A1 92'), "card.txt:9: a quotation mark that is not closed"),
        (HEAD + FORMAT + "BEGIN_DATA\nEND_DATA\n", "the table has no rows"),
        (HEAD + "BEGIN_DATA\nA1 1 2 3\nEND_DATA\n", "no table has L*a*b*"),
    ],
)
def test_a_file_that_cannot_be_used_is_told(text, why):
    assert why in refuse(text)


WORDS = st.sampled_from(
    ["CGATS.17", "BEGIN_DATA_FORMAT", "END_DATA_FORMAT", "BEGIN_DATA", "END_DATA", "LAB_L", "LAB_A",
     "LAB_B", "SAMPLE_ID", "NUMBER_OF_SETS", "2", '"2"', "A1", "-0.3", "#", '"', "\n", "ILLUMINANT"]
)  # fmt: skip


@given(st.text() | st.lists(WORDS, max_size=40).map(" ".join))
def test_no_text_raises_anything_but_a_card_error(text):
    try:
        assert read_cgats(text, "card.txt").rows
    except CardError as error:
        assert error.problems
