"""What a picture's name says. Names: common practice, no source."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.photo_names import PhotoName, learn_numbering, read_photo_name
from builder.records.photo import Light, State
from builder.records.words import SIDES

NUMBERS = ("SH-012", "SH-014")
OURS = learn_numbering(NUMBERS)
DAY = dt.date(2025, 1, 14)


def test_a_full_name_tells_everything():
    assert read_photo_name("SH-012_2025-01-14_recheck_front_xpol.jpg", OURS) == PhotoName(
        "SH-012", DAY, State.RECHECK, "front", Light.CROSS_POLARISED
    )


@pytest.mark.parametrize(
    "name",
    ["IMG_1234.HEIC", "IMG-20250114-WA0001.jpg", "DSC_0042.JPG", "1234.jpg", "photo.png", ".jpg"],
)
def test_a_bare_phone_name_tells_nothing(name):
    assert read_photo_name(name, OURS) == PhotoName()


@pytest.mark.parametrize("state", ["before-seal", "before_seal", "before seal", "Before-Seal"])
def test_a_state_of_two_words_is_found_however_they_are_joined(state):
    assert read_photo_name(f"SH-012_{state}.jpg", OURS).state is State.BEFORE_SEAL


@pytest.mark.parametrize(
    ("part", "light"),
    [("xpol", Light.CROSS_POLARISED), ("cross-polarised", Light.CROSS_POLARISED),
     ("raking", Light.RAKING), ("plain", Light.PLAIN), ("warm", None)],
)  # fmt: skip
def test_light_is_told_by_its_word(part, light):
    assert read_photo_name(f"SH-012_{part}.jpg", OURS).light is light


def test_parts_may_come_in_any_order():
    name = read_photo_name("SH-012_back_recheck_2025-01-14.jpg", OURS)
    assert (name.number, name.day, name.state, name.side) == ("SH-012", DAY, State.RECHECK, "back")


def test_a_number_is_found_whatever_its_capitals():
    assert read_photo_name("sh-012 2025-01-14.jpg", OURS).number == "SH-012"


def test_a_number_the_library_does_not_have_is_still_a_number():
    assert read_photo_name("SH-099_recheck.jpg", OURS).number == "SH-099"


def test_a_longer_number_is_not_taken_for_a_shorter_one():
    numbers = ("SH-1", "SH-12", "SH-12_b")
    assert read_photo_name("SH-12_wet.jpg", learn_numbering(numbers)).number == "SH-12"
    assert read_photo_name("SH-12_b_wet.jpg", learn_numbering(numbers)).number == "SH-12_b"


def test_numbers_of_figures_alone_are_found_only_where_the_library_has_them():
    assert read_photo_name("12_wet.jpg", learn_numbering(("12", "14"))).number == "12"
    assert read_photo_name("13_wet.jpg", learn_numbering(("12", "14"))).number == ""


def test_a_day_the_calendar_does_not_have_is_told():
    name = read_photo_name("SH-012_2025-02-30_wet.jpg", OURS)
    assert (name.day, name.not_a_day, name.state) == (None, "2025-02-30", State.WET)


def test_a_word_within_a_word_is_no_word():
    assert read_photo_name("SH-012_barely_wetted_drying.jpg", OURS).state is None


@given(
    st.sampled_from(NUMBERS),
    st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31)),
    st.sampled_from(list(State)),
    st.sampled_from(SIDES),
    st.sampled_from([("plain", Light.PLAIN), ("xpol", Light.CROSS_POLARISED)]),
    st.sampled_from(["-", "_"]),
    st.sampled_from(["jpg", "HEIC", "tiff"]),
)
def test_a_name_made_of_facts_tells_them(number, day, state, side, light, joint, ending):
    words = state.value.replace(" ", joint)
    name = f"{number}_{day}_{words}_{side}_{light[0]}.{ending}"
    assert read_photo_name(name, OURS) == PhotoName(number, day, state, side, light[1])


@given(st.text())
def test_no_name_makes_reading_raise(name):
    read_photo_name(name, OURS)
