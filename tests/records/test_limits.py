"""The limits in the air. ppm to mg/m³ at 25 °C and 1 atm is M / 24.45 (molar volume of an ideal
gas; ppm at 25 °C and 760 torr, a state's rule). Molar masses: IUPAC abridged atomic weights."""

from __future__ import annotations

import pytest

from builder.records.hazards import SUBSTANCES, Status
from builder.records.limits import GIVEN_OFF, IN_THE_AIR, LIMITS, Kind, Limit

MOLAR = {
    "7664-41-7": 17.031, "64-19-7": 60.05, "7783-06-4": 34.08, "7697-37-2": 63.01,
    "10102-44-0": 46.006, "7722-84-1": 34.01,
}  # fmt: skip
ROUNDED = 0.08  # printed figures are rounded: 10 ppm of hydrogen sulphide, 13.9, stands as 15


@pytest.mark.parametrize(
    "limit",
    [limit for limit in LIMITS if limit.unit == "ppm" and limit.mg_per_m3],
    ids=lambda limit: f"{limit.substance}, {limit.authority}, {limit.kind}",
)
def test_both_printed_figures_are_of_one_limit(limit: Limit) -> None:
    assert limit.value and limit.mg_per_m3
    reckoned = limit.value * MOLAR[limit.cas] / 24.45
    if (limit.authority, limit.substance, limit.value) == ("NIOSH", "ammonia", 35):
        assert limit.mg_per_m3 == 27  # as NIOSH prints it; its own factor gives 24.4
    else:
        assert limit.mg_per_m3 == pytest.approx(reckoned, rel=ROUNDED)


def test_old_figures_for_danger_are_kept_as_superseded() -> None:
    """NIOSH's table of original (SCP) IDLH values beside its revised ones."""
    old = {limit.substance: limit.value for limit in LIMITS if limit.superseded}
    assert old == {"ammonia": 500, "acetic acid": 1000, "acetone": 20000}
    for substance in old:
        assert [x for x in LIMITS if x.substance == substance and x.kind is Kind.DANGER][1:]


def test_every_figure_names_its_paper_and_how_it_was_read() -> None:
    assert len(LIMITS) == 36
    assert all(limit.source for limit in LIMITS)
    assert all((limit.value is None) == bool(limit.said) for limit in LIMITS)
    memory = {(x.substance, x.value) for x in LIMITS if x.status is Status.MEMORY}
    assert memory == {("acetic acid", 50), ("nitrogen dioxide", 13), ("acetone", 2500)}


def test_every_substance_in_the_air_has_figures_and_a_class() -> None:
    kinds = {kind for its in SUBSTANCES.values() for kind in its}
    assert kinds >= {*IN_THE_AIR, *(kind for pair in GIVEN_OFF for kind in pair)}
    told = {*GIVEN_OFF.values(), *(name for names in IN_THE_AIR.values() for name in names)}
    assert told == {limit.substance for limit in LIMITS}
