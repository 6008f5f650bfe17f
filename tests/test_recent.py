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
