"""What was seen, said in one line. The words: ``builder/records/words.py``; the classes of extent
are those of the sidecar's page."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import FilingError
from builder.read.seen_words import find_extent, read_seen
from builder.records.notes import SeenNote
from builder.records.piece import Condition
from builder.records.words import CONDITIONS, EXTENTS, MOVING, SEVERITIES

WHOLE = SeenNote("powdering", "lower edge", "5-25", "slight", "active")


def refuse(*lines: str) -> str:
    with pytest.raises(FilingError) as refusal:
        read_seen(lines)
    return str(refusal.value)


@pytest.mark.parametrize(
    "rest", list(itertools.permutations(["lower edge", "12 %", "slight", "active"])), ids=", ".join
)
def test_the_order_after_the_condition_is_free(rest):
    assert read_seen([f"powdering, {', '.join(rest)}"]) == (WHOLE,)


def test_what_is_not_said_stays_empty():
    assert read_seen(["powdering"]) == (SeenNote("powdering"),)
    assert read_seen([" Powdering ,, slight,"]) == (SeenNote("powdering", severity="slight"),)


def test_each_line_is_a_condition():
    assert read_seen(["tide-line, left", "Tide line, stable"]) == (
        SeenNote("tide line", where="left"),
        SeenNote("tide line", moving="stable"),
    )


def test_nothing_seen_is_not_nothing_said():
    assert read_seen(["none"]) == read_seen([" Nothing "]) == ()
    assert read_seen([]) is None


@pytest.mark.parametrize(
    ("said", "extent"),
    [
        ("trace", "trace"), ("Trace", "trace"), ("2", "trace"), ("4.9 %", "trace"),
        ("< 5 %", "trace"), ("under 5", "trace"), ("5", "5-25"), ("12 %", "5-25"),
        ("12 per cent", "5-25"), ("5-25", "5-25"), ("5–25 %", "5-25"), ("5 to 25", "5-25"),
        ("10-20 %", "5-25"), ("25 %", "5-25"), ("26", "25-50"), ("25 - 50", "25-50"),
        ("25–50", "25-50"), ("50 %", "25-50"), ("51 %", "over 50"), ("over 50 %", "over 50"),
        (">50", "over 50"), ("100", "over 50"),
        ("0", ""), ("0 %", ""), ("101 %", ""), ("10-30", ""), ("lower edge", ""), ("", ""),
    ],
)  # fmt: skip
def test_a_share_falls_into_its_class(said, extent):
    assert find_extent(said) == extent


def test_a_share_that_falls_into_two_classes_is_asked_about():
    assert "“10-30 %” is no word of the trade" in refuse("powdering, 10-30 %")
    assert "“0 %” is no word" in refuse("powdering, 0 %")


def test_a_place_is_in_the_makers_own_words():
    for place in ("lower edge", "3 mm from the rim", "under the lip", "all over", "Face"):
        assert read_seen([f"powdering, {place}"]) == (SeenNote("powdering", where=place),)


def test_of_a_place_and_a_slip_the_slip_is_named_with_what_it_is_like():
    said = refuse("powdering, lower edge, sevre")
    assert "“sevre” is no word of the trade" in said
    assert "slight, moderate, severe" in said
    assert "did you mean “severe”?" in said


def test_a_slip_of_the_finger_is_no_place():
    assert "did you mean “slight”?" in refuse("powdering, sligt")
    assert "did you mean “active”?" in refuse("powdering, actvie")
    assert "did you mean “staining”?" in refuse("powdering, stainig")


def test_words_that_run_together_are_not_taken_for_a_condition():
    assert "runs together" in refuse("powdering lower edge slight")
    assert read_seen(["verdigris spots"]) == (SeenNote("verdigris spots"),)


def test_a_condition_the_trade_has_no_word_for_is_kept():
    assert read_seen(["spotting, top left"]) == (SeenNote("spotting", where="top left"),)
    assert read_seen(["wasp nest, back"]) == (SeenNote("wasp nest", where="back"),)


def test_a_condition_comes_first_and_alone():
    assert "did you mean “powdering”?" in refuse("powderin, lower edge")
    assert "begin with “powdering”" in refuse("lower edge, powdering")
    assert "“slight” is no condition" in refuse("slight, lower edge")
    assert "give it a --seen of its own" in refuse("powdering, staining")
    assert "nothing is said" in refuse(" , ")
    assert "“none” beside what was seen" in refuse("none", "powdering")


def test_one_thing_is_said_once():
    assert "“severe” is a second word for one thing" in refuse("run, slight, severe")
    assert "“25-50” is a second word" in refuse("run, trace, 25-50")


def test_every_line_that_cannot_be_read_is_told():
    said = refuse("powdering, slight, severe", "run, left", "flakin")
    assert len(said.splitlines()) == 2
    assert all(line.startswith("--seen: ") for line in said.splitlines())


@given(
    st.sampled_from(CONDITIONS),
    st.permutations([EXTENTS, SEVERITIES, MOVING]).flatmap(
        lambda kinds: st.tuples(*(st.sampled_from(kind) for kind in kinds))
    ),
)
def test_every_word_of_the_trade_is_read_as_the_sidecar_reads_it(what, rest):
    (seen,) = read_seen([", ".join([what.upper(), *(word.title() for word in rest)])]) or ()
    read = Condition.model_validate({"what": what})
    assert seen.what == read.what.value
    assert {seen.extent, seen.severity, seen.moving} == set(rest)
    assert seen.where == ""


@given(st.lists(st.text(max_size=20), max_size=3))
def test_any_words_are_read_or_refused(lines):
    try:
        seen = read_seen(lines)
    except FilingError:
        return
    assert seen is None or len(seen) in (0, len(lines))
