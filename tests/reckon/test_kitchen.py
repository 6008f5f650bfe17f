"""Spoons and gauges that do not say whose they are are told as a range."""

from __future__ import annotations

import pytest

from builder.reckon.gauges import SWG_INCHES, find_thicknesses, say_thicknesses
from builder.reckon.kitchen import find_amount, list_sizes
from builder.reckon.ranges import say_number, say_range, span
from builder.records.facts import Fact, Known
from builder.records.quantities import read_amount
from tests.reckon.recipes import piece
from tests.reckon.tables import rows

CHART_MM = 0.0006  # the table rounds to 0.001 mm


def amount(written: str) -> Fact:  # type: ignore[type-arg]
    value = read_amount(written)
    return Fact(written, value, Known.GIVEN if value else Known.UNREAD)


def test_a_teaspoon_is_told_in_every_size_it_may_have() -> None:
    # US 4.929 ml exact (NIST SP 811, SEEN); metric 5 ml (MEMORY); an older British one, 1/24 of an
    # imperial gill, 5.92 ml (MEMORY; "5.9 ml" in one converter's text, SEEN)
    found = find_amount(amount("2½ tsp"))
    assert found is not None
    assert found.low == pytest.approx(2.5 * 4.92892159375, rel=1e-12)
    assert found.high == pytest.approx(2.5 * 5.919, rel=1e-3)
    assert say_range(found) == "12 to 15\u00a0ml"
    assert "US 4.929" in found.assumed[0]


@pytest.mark.parametrize(
    ("measure", "low", "high"),
    [
        ("cup", 236.5882365, 250),  # US exact; metric MEMORY
        ("pint", 473.176473, 568.26125),  # US and imperial, exact: NIST SP 811, SEEN
        ("fluid ounce", 28.4130625, 29.5735295625),  # imperial and US, exact: SEEN
        ("gallon", 3785.411784, 4546.09),  # likewise
        ("tablespoon", 14.78676478125, 20),  # US exact; Australian MEMORY
    ],
)
def test_a_bare_measure_reaches_from_its_least_to_its_greatest(
    measure: str, low: float, high: float
) -> None:
    found = find_amount(amount(f"1 {measure}"))
    assert found is not None
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-9)
    assert len(list_sizes(measure)) > 1


@pytest.mark.parametrize(
    "written", ["1 US cup", "2 metric tsp", "120 ml", "15 g", "1 imperial pint"]
)
def test_a_measure_that_says_its_system_is_one_size(written: str) -> None:
    found = find_amount(amount(written))
    assert found is not None and found.low == found.high


@pytest.mark.parametrize("written", ["3 drops", "3 : 1 by weight", "a splash", ""])
def test_what_has_no_size_is_no_amount(written: str) -> None:
    assert find_amount(amount(written)) is None


@pytest.mark.parametrize("row", rows("swg.csv"), ids=lambda row: row["gauge"])
def test_british_gauge_is_the_printed_table(row: dict[str, str]) -> None:
    noughts = not row["gauge"].strip("0")
    n = 1 - len(row["gauge"]) if noughts else int(row["gauge"])
    assert SWG_INCHES[n] == float(row["inches"]), row["source"]
    assert SWG_INCHES[n] * 25.4 == pytest.approx(float(row["mm"]), abs=CHART_MM), row["source"]


@pytest.mark.parametrize("row", rows("awg.csv"), ids=lambda row: row["gauge"])
def test_american_gauge_is_the_formula(row: dict[str, str]) -> None:
    (found,) = find_thicknesses(f"{row['gauge']} B&S")
    assert found.mm == pytest.approx(float(row["mm"]), abs=0.001), row["source"]


@pytest.mark.parametrize(
    ("gauge", "american", "british"),
    # American: gauge tables, SEEN; British: MEMORY, and SEEN in swg.csv
    [(18, 1.024, 1.219), (20, 0.812, 0.914), (22, 0.644, 0.711), (24, 0.511, 0.559)],
)
def test_a_bare_gauge_is_both(gauge: int, american: float, british: float) -> None:
    thick, thin = find_thicknesses(f"{gauge} gauge")
    assert (thick.mm, thin.mm) == pytest.approx((british, american), abs=0.001)
    assert "SWG" in thick.system and "B&S" in thin.system
    assert 1.08 < thick.mm / thin.mm < 1.20  # 9 to 19 % apart


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("20", "0.91\u00a0mm (British SWG) or 0.81\u00a0mm (American AWG, B&S)"),
        ("20 SWG", "0.91\u00a0mm (British SWG)"),
        ("20 B&S", ""),  # read as mm already
        ("0.9", ""),
        ("unknown", ""),
        ("", ""),
    ],
)
def test_a_gauge_is_said_in_millimetres(written: str, said: str) -> None:
    assert say_thicknesses(piece(thickness=written).thickness) == said


def test_what_is_no_gauge_has_no_thickness() -> None:
    assert find_thicknesses("thick") == ()
    assert find_thicknesses("60 SWG") == ()


@pytest.mark.parametrize(
    ("number", "said"),
    [(6.03, "6.0"), (0.837, "0.84"), (100, "100"), (123, "120"), (0.0804, "0.080"), (0, "0"),
     (9.96, "10")],
)  # fmt: skip
def test_a_figure_is_said_as_exactly_as_it_is(number: float, said: str) -> None:
    assert say_number(number) == said


def test_a_range_of_one_number_is_said_once() -> None:
    assert say_range(span([2.0, 2.0], "g")) == "2.0\u00a0g"
