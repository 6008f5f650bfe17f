"""Where lines are added in a YAML text, and how a value is written. What it means when it is read:
``test_sidecar_edits.py``, ``test_corner_edits.py``."""

import pytest

from builder.read.text_edits import (
    Insertion,
    add_below,
    add_in_brackets,
    find_end,
    find_line_end,
    pass_remarks,
    write_flow,
    write_text,
)
from builder.read.yaml_spans import find_spans


def value_of(text, key="a"):
    return find_spans(text).find(key)[1]


def test_an_insertion_takes_nothing_away():
    assert Insertion(1, "--").put_into("abc") == "a--bc"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_added_below_with_the_line_end_of_their_neighbour(end):
    text = f"a: 1{end}b: 2"
    assert add_below(text, 2, ["x", "y"]).put_into(text) == f"a: 1{end}x{end}y{end}b: 2"
    assert add_below(text, len(text), ["x"]).put_into(text) == f"{text}{end}x"
    assert find_line_end("a", 1) == "\n"


def test_a_separator_that_editors_do_not_know_is_not_repeated():
    assert find_line_end("a: 1\u2028b: 2", 0) == "\n"


def test_empty_lines_after_text_are_its_own_only_where_it_says_so():
    dropped, kept = "a: >-\n  b\n\n\nc: 1\n", "a: |+\n  b\n\n\nc: 1\n"
    assert find_end(dropped, value_of(dropped)) == dropped.index("\n\n\n")
    assert find_end(kept, value_of(kept)) == kept.index("c:")


def test_remarks_that_are_set_in_belong_to_what_is_above():
    text = "a: 1\n  # one\n   # two\n# three\n  # four\n"
    assert pass_remarks(text, 4, 0) == text.index("\n# three")
    assert pass_remarks(text, 4, 2) == 4


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("a: []", "a: [x]"), ("a: {}", "a: {x}"), ("a: &n [b]", "a: &n [b, x]"),
        ("a: [b,]", "a: [b, x]"), ("a: [\n  b: c  # ,\n]", "a: [\n  b: c  # ,\n  , x\n]"),
        ("a: [\n  b,  # [\n]", "a: [\n  b,  # [\n  x,\n]"), ("a: [  #\n]", "a: [  #\n  x\n]"),
    ],
)  # fmt: skip
def test_a_part_is_added_last_within_its_brackets(old, new):
    assert add_in_brackets(old, value_of(old), "x").put_into(old) == new


@pytest.mark.parametrize(
    ("words", "written"),
    [
        ("lower edge", "lower edge"), ("3:1", "3:1"), ("012", "012"), ("no", "no"),
        ("5-25", "5-25"), ("-5", "-5"), ("a#b", "a#b"), ("it's", "it's"),
        ("#1", '"#1"'), ("a: b", '"a: b"'),
        ("- a", '"- a"'), ("", '""'), (" a", '" a"'), ("a, b", '"a, b"'), ('"so"', "'\"so\"'"),
        ("a\\, b", "'a\\, b'"), ("a\nb", '"a\\nb"'), ("a\u2028b", '"a\\u2028b"'),
        ("\U000e0001", '"\\U000e0001"'), ("'", '"\'"'), ("'a' \\ \"b\"", "'''a'' \\ \"b\"'"),
    ],
)  # fmt: skip
def test_quotation_marks_are_written_where_yaml_needs_them(words, written):
    assert write_text(words) == written


def test_a_tree_is_written_on_one_line():
    tree = {"date": "2025-01-14", "seen": [{"what": "run"}, "a, b"], "by": {}}
    assert write_flow(tree) == '{date: 2025-01-14, seen: [{what: run}, "a, b"], by: {}}'
