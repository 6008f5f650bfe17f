"""What was worked out last is worked out once."""

from __future__ import annotations

from builder.recent import Recent


def test_told_the_same_the_very_same_answer_is_given() -> None:
    recent, worked = Recent(), []

    def work() -> list[int]:
        worked.append(1)
        return [1]

    first = recent.recall("question", (1, "a"), work)
    assert recent.recall("question", (1, "a"), work) is first
    assert len(worked) == 1


def test_told_something_else_it_is_worked_out_again_and_the_old_answer_is_gone() -> None:
    recent = Recent()
    recent.recall("question", 1, lambda: "one")
    assert recent.recall("question", 2, lambda: "two") == "two"
    assert recent.recall("question", 1, lambda: "one again") == "one again"
    assert len(recent.held) == 1


def test_an_answer_found_elsewhere_is_believed() -> None:
    recent = Recent()
    recent.keep("question", 1, "found")
    assert recent.recall("question", 1, lambda: "worked out") == "found"


def test_an_equal_answer_is_the_one_that_was_there() -> None:
    recent = Recent()
    first = recent.recall("question", 1, lambda: [1])
    assert recent.recall("question", 2, lambda: [1]) is first


def test_only_what_is_of_a_kind_that_was_asked_about_is_dropped() -> None:
    recent = Recent({("page", 1): ("a", "b"), ("entry", 1): ("a", "b"), ("entry", 2): ("a", "b")})
    recent.recall(("entry", 1), "a", str)
    assert recent.list_asked().keys() == {("page", 1), ("entry", 1)}
    assert recent.list_changed() == {("entry", 2)}


def test_a_mark_is_another_when_what_it_stands_for_is() -> None:
    recent = Recent()
    first = recent.mark("question", [1])
    assert recent.mark("question", [1]) == first
    assert recent.mark("question", [2]) != first
