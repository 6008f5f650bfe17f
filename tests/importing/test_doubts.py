"""Doubts, gathered."""

from __future__ import annotations

from builder.importing.doubts import Doubt, gather_doubts


def test_what_both_changed_is_told_first() -> None:
    conflict = Doubt(9, "", "both were changed", "choose", conflict=True)
    gathered = gather_doubts([Doubt(2, "", "a", "b"), conflict, Doubt(0, "", "c", "d")])
    assert [doubt.found for doubt in gathered] == ["both were changed", "c", "a"]
