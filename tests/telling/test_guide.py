"""The guide says what the rules do."""

from __future__ import annotations

from pathlib import Path

from builder.telling.guide import PAGE, put_tables

ROOT = Path(__file__).parents[2]


def test_the_tables_of_the_guide_are_those_of_the_rules() -> None:
    page = (ROOT / PAGE).read_text(encoding="utf-8")
    assert put_tables(page) == page
    assert "`storage.place`" in page
