"""Names of values: two that are the same share a chain; two of one class are the same."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from builder.relate.factors import Factors, Number
from builder.relate.levels import level_of, sign_chains, sign_classes, sort_levels

RELATIVE = st.lists(st.floats(0.1, 1e6).map(lambda value: Number(value, 0.05, relative=True)))
ABSOLUTE = st.lists(st.floats(-30, 300).map(lambda value: Number(value, 2.0)))


def temps(*values: float) -> list[Factors]:
    return [Factors({"temp": {"temp °C": Number(value, 2.0)}}) for value in values]


@given(RELATIVE | ABSOLUTE)
def test_the_same_are_in_one_chain_and_one_class_holds_the_same(numbers: list[Number]) -> None:
    factors = [Factors({"time": {"seconds": number}}) for number in numbers]
    chains, classes = sign_chains(factors), sign_classes(factors)
    for i, j in combinations(range(len(numbers)), 2):
        same = numbers[i].same_as(numbers[j])
        assert not same or chains[i] == chains[j]
        assert same or classes[i] != classes[j]


def test_a_tolerance_does_not_carry_on_from_one_to_the_next() -> None:
    factors = temps(18.0, 19.5, 21.0)
    assert len({str(signs) for signs in sign_chains(factors)}) == 1
    low, middle, high = (level_of(signs, "temp") for signs in sign_classes(factors))
    assert low == middle != high


def test_levels_rise_by_size_part_by_part_and_silence_comes_last() -> None:
    factors = [
        Factors({"sealant": {"kind": kind, **({"coats": Number(n, 0.0)} if n else {})}})
        for kind, n in [("wax", 0), ("wax", 10), ("none", 0), ("wax", 2), ("lacquer", 1)]
    ]
    levels = [level_of(signs, "sealant") for signs in sign_classes(factors)]
    assert [dict(level).get("coats") for level in sort_levels("sealant", levels)] == [
        None, 1.0, 2.0, 10.0, None,
    ]  # fmt: skip
    assert dict(sort_levels("sealant", levels)[0])["kind"] == "none"
