from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from builder.relate import pairs
from builder.relate.factors import Factors, Number, differing, says_enough
from builder.relate.pairs import find_near
from tests.benchmarks.many import draw_strands
from tests.relate.demo import entry_of, find
from tests.relate.drawn import factors_of

words = st.sampled_from(["x", "y"])
numbers = st.builds(Number, st.sampled_from([16.0, 18.0, 20.0, 25.0]), st.just(2.0))


times = st.builds(Number, st.sampled_from([60.0, 62.0, 65.0, 90.0]), st.just(0.05), st.just(True))
#: As the factors of a record put what is told in numbers, and in words that are no number.
degrees = numbers.map(lambda number: {"temp": "", "temp °C": number}) | st.sampled_from(
    [{"temp": "room"}, {"temp": "warm"}]
)
coats = st.sampled_from([{}, {"coats count": Number(1, 0.0)}, {"coats count": Number(2, 0.0)}])


@st.composite
def records(draw: st.DrawFn) -> Factors:
    """A record that tells some factors and not others."""
    told = {
        "metal": {"name": draw(words)},
        "method": {"method": draw(words)},
        "recipe": {"names": draw(words), "amount g": draw(numbers)},
        "prep": {"steps": draw(words)},
        "sealant": {"kind": draw(words)} | draw(coats),
        "time": {"seconds": draw(times)},
        "temp": draw(degrees),
        "humidity": {"humidity": draw(numbers)},
        "temper": {"temper": draw(words)},
    }
    kept = draw(st.sets(st.sampled_from(sorted(told))))
    return Factors({name: parts for name, parts in told.items() if name in kept | {"metal"}})


def compare_all(factors: list[Factors]) -> dict[tuple[int, int], str]:
    """The plain double loop."""
    found = {}
    for i, j in combinations(range(len(factors)), 2):
        apart = tuple(differing(factors[i], factors[j]))
        if says_enough(factors[i]) and says_enough(factors[j]) and len(apart) < 2:
            found[i, j] = apart[0] if apart else ""
    return found


@settings(max_examples=200)
@given(st.lists(records(), max_size=14))
def test_buckets_find_what_a_double_loop_finds(factors: list[Factors]) -> None:
    assert find_near(factors) == compare_all(factors)


def test_buckets_compare_far_fewer_than_all(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    recipes, preps, metals = 20, 5, 4
    factors = [
        Factors(
            {
                "metal": {"name": f"metal {m}"},
                "method": {"method": "dip"},
                "recipe": {"names": f"recipe {r}"},
                "prep": {"steps": f"prep {p}"},
            }
        )
        for r in range(recipes) for p in range(preps) for m in range(metals)
    ]  # fmt: skip
    compared = []

    def count(a: Factors, b: Factors) -> Iterator[str]:
        compared.append((a, b))
        return differing(a, b)

    monkeypatch.setattr(pairs, "differing", count)
    found = find_near(factors)
    # Each record is one step from every other value of each of its three factors.
    steps = (recipes - 1) + (preps - 1) + (metals - 1)
    assert len(found) == len(compared) == len(factors) * steps // 2


def test_unlike_records_are_compared_no_more_often(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    factors = factors_of(draw_strands(300))
    kinds = {frozenset(record.given) for record in factors}
    compared = []

    def count(a: Factors, b: Factors) -> Iterator[str]:
        compared.append((a, b))
        return differing(a, b)

    monkeypatch.setattr(pairs, "differing", count)
    found = find_near(factors)
    # Few records of this library tell the same things, and yet nearly all that are looked up
    # together are a pair; the rest are numbers that are chained and not the same.
    assert len(kinds) > 60
    assert len(compared) <= 1.2 * len(found)
    assert found == compare_all(factors)


def test_values_are_told_in_the_makers_words() -> None:
    told = {"temperature_c": "45", "ingredients": [{"name": "LOS", "strength": "5 g/l"}]}
    one = entry_of(**told, piece="SH-901", exposure="15 s")
    two = entry_of(**told, piece="SH-902", exposure="45 s")
    (pair,) = find((one, two), []).pairs
    assert (pair.factor, pair.value_a, pair.value_b) == ("time", "15 s", "45 s")
    assert "humidity" in pair.unrecorded
    assert (pair.de00_fresh, pair.u, pair.direction) == (None, None, ())


def test_repeat_has_no_factor_and_comes_last() -> None:
    told = {"temperature_c": "45"}
    entries = [
        entry_of(**told, piece=f"SH-90{n}", exposure=time)
        for n, time in enumerate(["15 s", "15 s", "45 s"])
    ]
    found = find(tuple(entries), []).pairs
    assert [pair.factor for pair in found] == ["time", "time", ""]
    assert (found[-1].value_a, found[-1].value_b) == ("", "")


def test_words_that_are_no_number_are_a_value_of_their_own() -> None:
    told = {"temperature_c": "45", "ingredients": ["salt"]}
    entries = [
        entry_of(**told, piece=f"SH-90{n}", exposure=time)
        for n, time in enumerate(["overnight", "Overnight", "15 s"])
    ]
    found = find(tuple(entries), [])
    assert [(p.factor, p.value_a, p.value_b) for p in found.pairs] == [
        ("time", "overnight", "15 s"), ("time", "Overnight", "15 s"), ("", "", ""),
    ]  # fmt: skip
    (series,) = found.series
    assert [value.words for value in series.values] == ["15 s", "overnight"]
    assert not any("time" in words for words in series.unrecorded)
