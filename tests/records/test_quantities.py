"""Words to quantities, against published sizes of units (source beside each value)."""

import csv
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builder.records.gauges import find_awg_diameter
from builder.records.piece import Piece
from builder.records.quantities import (
    read_amount,
    read_celsius,
    read_count,
    read_duration,
    read_litres,
    read_millimetres,
    read_minutes,
    read_percent,
    read_strength,
    read_thickness,
)

DATA = Path(__file__).parents[1] / "data"
READERS = (
    read_amount, read_celsius, read_count, read_duration, read_litres, read_millimetres,
    read_minutes, read_percent, read_strength, read_thickness,
)  # fmt: skip
EXACT = 1e-11  # relative: definitions are exact, sizes are rounded to twelve figures
CHART_MM = 0.001  # charts turn inches rounded to 0.0001 into mm, so they agree no finer
CHART_IN = 0.00005  # half of the last figure printed


def rows(name):
    with (DATA / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("row", rows("measures.csv"), ids=lambda row: row["unit"])
def test_a_unit_has_its_published_size(row):
    read = read_millimetres if row["si_unit"] == "mm" else read_amount
    quantity = read(row["written"])
    assert quantity.unit == row["si_unit"], row["source"]
    assert quantity.number == pytest.approx(float(row["value"]), rel=EXACT), row["source"]


@pytest.mark.parametrize("row", rows("awg.csv"), ids=lambda row: row["gauge"])
def test_american_gauge_follows_its_formula_and_the_printed_chart(row):
    quantity = read_thickness(f"{row['gauge']} AWG")
    assert quantity.unit == "mm"
    assert quantity.number == pytest.approx(float(row["mm"]), abs=CHART_MM), row["source"]
    inches = quantity.number / 25.4
    assert inches == pytest.approx(float(row["inches_rounded"]), abs=CHART_IN * 1.001)


def test_american_gauge_halves_about_every_six_numbers():
    # Exact ratio 2.005: 92^(6/39), ASTM B258.
    assert find_awg_diameter(10) / find_awg_diameter(16) == pytest.approx(2.005, abs=0.0005)


@pytest.mark.parametrize("written", ["20 B&S", "B&S 20", "20 gauge AWG", "20 Brown & Sharpe"])
def test_american_gauge_goes_by_several_names(written):
    assert read_thickness(written) == read_thickness("20 AWG")


def test_british_gauge_is_kept_as_its_number():
    quantity = read_thickness("20 SWG")
    assert (quantity.number, quantity.unit) == (20, "SWG")


@pytest.mark.parametrize("written", ["20", "8", "20 gauge", "20 ga", "00"])
def test_a_gauge_without_its_system_is_no_thickness(written):
    assert read_thickness(written) is None


@pytest.mark.parametrize(
    ("written", "mm"), [("0.9", 0.9), ("2", 2), ("20 mm", 20), ("1/4 in", 6.35)]
)
def test_a_thickness_in_mm_is_a_thickness(written, mm):
    assert read_thickness(written).number == mm


# Fahrenheit: NIST SP 811, B.8; boiling water and the common point of the scales: from memory.
@pytest.mark.parametrize(
    ("written", "celsius"),
    [
        ("45", 45),
        ("45 C", 45),
        ("45 °C", 45),
        ("45ºC", 45),
        ("45 degrees C", 45),
        ("113 F", 45),
        ("212 °F", 100),
        ("-40 F", -40),
        ("318.15 K", 45),
    ],
)
def test_a_temperature_is_read_in_any_of_its_units(written, celsius):
    assert read_celsius(written).number == pytest.approx(celsius, abs=1e-6)
    assert read_celsius(written).unit == "°C"


@pytest.mark.parametrize("written", ["-300", "steaming", "40-45", "5000", "45 %"])
def test_what_is_no_temperature_is_not_read(written):
    assert read_celsius(written) is None


@pytest.mark.parametrize(
    ("written", "share"), [("5", 5), ("5 %", 5), ("5%", 5), ("0", 0), ("½ %", 0.5)]
)
def test_a_share_is_read_with_or_without_its_sign(written, share):
    assert read_percent(written).number == share


@pytest.mark.parametrize("written", ["145", "-1", "5-25", "trace"])
def test_a_share_beyond_its_bounds_is_not_read(written):
    assert read_percent(written) is None


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("15 s", 15),
        ("90 sec", 90),
        ("20 min", 1200),
        ("2 h", 7200),
        ("½ h", 1800),
        ("1 h 30 min", 5400),
        ("1 h and 30 min", 5400),
        ("7 d", 604_800),
        ("2 weeks", 1_209_600),
    ],
)
def test_a_time_is_kept_in_seconds(written, seconds):
    quantity = read_duration(written)
    assert (quantity.number, quantity.unit) == (seconds, "s")


def test_passes_are_counted():
    quantity = read_duration("4 passes")
    assert (quantity.number, quantity.unit) == (4, "count")


@pytest.mark.parametrize("written", ["20", "3-4 d", "overnight", "1:30", "2 h 3-4 min", "-2 h"])
def test_a_vague_time_is_not_read(written):
    assert read_duration(written) is None


@pytest.mark.parametrize(
    ("written", "seconds"), [("20", 1200), ("20 min", 1200), ("2 h", 7200), ("90 s", 90)]
)
def test_bare_minutes_are_minutes(written, seconds):
    assert read_minutes(written).number == seconds


@pytest.mark.parametrize(
    ("written", "number", "unit"),
    [
        ("200 g", 200, "g"),
        ("0.2 kg", 200, "g"),
        ("120 ml", 120, "ml"),
        ("1 l", 1000, "ml"),
        ("3 drops", 3, "count"),
        ("3 : 1 by weight", 3, "ratio"),
        ("3:1", 3, "ratio"),
        ("3 parts by volume", 3, "ratio"),
    ],
)
def test_an_amount_is_read_with_its_unit(written, number, unit):
    quantity = read_amount(written)
    assert (quantity.number, quantity.unit) == (number, unit)


# Which measure a bare name means is this project's own rule; the sizes are those of measures.csv.
@pytest.mark.parametrize(
    ("written", "ml", "rule"),
    [
        ("2½ tsp", 12.5, "metric teaspoon"),
        ("2 tbsp", 30, "metric tablespoon"),
        ("½ cup", 118.29411825, "US cup"),
        ("1 pint", 568.26125, "imperial pint"),
        ("1 fl oz", 28.4130625, "imperial fluid ounce"),
    ],
)
def test_a_bare_kitchen_measure_names_the_rule_taken(written, ml, rule):
    quantity = read_amount(written)
    assert quantity.number == pytest.approx(ml, rel=EXACT)
    assert rule in quantity.assumed


@pytest.mark.parametrize("written", ["2 US cups", "120 ml", "15 g", "3 : 1 by weight"])
def test_an_amount_that_leaves_nothing_open_assumes_nothing(written):
    assert read_amount(written).assumed == ""


@pytest.mark.parametrize(
    "written", ["a splash", "15", "3 : 0", "1 : 2 : 3", "enough", "-5 g", "5 gr", "1,000 g"]
)
def test_a_vague_amount_is_not_read(written):
    assert read_amount(written) is None


@pytest.mark.parametrize(
    ("written", "number", "unit"),
    [
        ("5 %", 5, "%"),
        ("9.5%", 9.5, "%"),
        ("5 % w/w", 5, "%"),
        ("5 g/l", 5, "g/l"),
        ("20 g/L", 20, "g/l"),
        ("100 g per litre", 100, "g/l"),
        ("10 vol", 3, "%"),  # peroxide: common practice, no source
        ("20 vol", 6, "%"),
    ],
)
def test_a_strength_is_read_with_its_unit(written, number, unit):
    quantity = read_strength(written)
    assert (quantity.number, quantity.unit) == (number, unit)


@pytest.mark.parametrize("written", ["5", "saturated", ".880", "140 %", "1 in 20"])
def test_a_strength_without_its_unit_is_not_read(written):
    assert read_strength(written) is None


@pytest.mark.parametrize(("written", "litres"), [("3", 3), ("3 l", 3), ("500 ml", 0.5), ("3 L", 3)])
def test_a_volume_is_kept_in_litres(written, litres):
    assert read_litres(written).number == litres


@pytest.mark.parametrize(
    ("written", "count"), [("2", 2), ("two coats", 2), ("x3", 3), ("4 passes", 4)]
)
def test_a_count_is_a_whole_number(written, count):
    assert read_count(written).number == count


@pytest.mark.parametrize("written", ["1.5", "-2", "some", "2 g"])
def test_what_is_no_count_is_not_read(written):
    assert read_count(written) is None


@pytest.mark.parametrize("read", READERS, ids=lambda read: read.__name__)
@given(text=st.text() | st.from_regex(r"[0-9½/.: -]{0,12} ?[a-zA-Z%°&]{0,8}", fullmatch=True))
@example(text="1" * 400)
@example(text="1/0 g")
def test_no_text_makes_a_conversion_raise(read, text):
    quantity = read(text)
    assert quantity is None or abs(quantity.number) < float("inf")


@given(st.integers(0, 99_999), st.sampled_from(["s", "min", "h", "d"]))
def test_a_time_comes_back_in_its_own_unit(number, unit):
    size = {"s": 1, "min": 60, "h": 3600, "d": 86_400}[unit]
    assert read_duration(f"{number} {unit}").number / size == pytest.approx(number, rel=EXACT)


@given(st.floats(-200, 2000))
def test_celsius_and_fahrenheit_of_one_temperature_agree(celsius):
    fahrenheit = celsius * 1.8 + 32
    read = read_celsius(f"{fahrenheit:.6f} F")
    assert read.number == pytest.approx(celsius, abs=1e-5)


@pytest.mark.parametrize(
    ("written", "hours"),
    [
        ("a week", 168), ("A day", 24), ("an hour", 1), ("two weeks", 336), ("half an hour", 0.5),
        ("about a day", 24), ("a fortnight", 336), ("a day and an hour", 25),
    ],
)  # fmt: skip
def test_a_time_may_be_said_with_an_article(written: str, hours: float) -> None:
    quantity = read_duration(written)
    assert quantity is not None and (quantity.number, quantity.unit) == (hours * 3600, "s")


def test_an_article_before_no_time_is_none() -> None:
    assert read_duration("a while") is None and read_duration("a") is None


@pytest.mark.parametrize(
    ("written", "sides"),
    [('2" square', [50.8, 50.8]), ("2 in. sq", [50.8, 50.8]), ('2 x 3"', [50.8, 76.2])],
)  # an inch is 25.4 mm exactly: NIST SP 811, B.6
def test_sides_in_inches_are_millimetres_and_their_words(written: str, sides: list[float]) -> None:
    size = Piece.model_validate({"piece": "A", "size_mm": written}).size_mm
    assert [side.value.number for side in size if side.value] == sides
