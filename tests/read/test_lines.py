from hypothesis import given
from hypothesis import strategies as st

from builder.read.lines import drop_items, find_line


def test_a_place_without_a_line_takes_that_of_the_place_around_it():
    lines = {(): 1, ("a",): 3}
    assert find_line(lines, ("a", 2, "b")) == 3
    assert find_line(lines, ("c",)) == 1
    assert find_line({}, ("c",)) == 0


@given(st.lists(st.integers(1, 99), max_size=12), st.sets(st.integers(0, 11)))
def test_dropping_items_moves_the_others_as_a_list_does(written, gone):
    lines = {("a", at, "b"): line for at, line in enumerate(written)}
    places = [("a", at) for at in gone if at < len(written)]
    kept = [line for at, line in enumerate(written) if at not in gone]
    assert drop_items(lines, places) == {("a", at, "b"): line for at, line in enumerate(kept)}


def test_only_the_list_that_lost_an_item_moves():
    lines = {("a", 1): 5, ("b", 1): 6, ("a", 1, "c", 0): 7}
    assert drop_items(lines, [("a", 0)]) == {("a", 0): 5, ("b", 1): 6, ("a", 0, "c", 0): 7}
