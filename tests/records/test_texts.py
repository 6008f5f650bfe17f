"""Texts that are put away."""

from __future__ import annotations

import pytest

from builder.records.texts import fetch_text, name_text


def test_a_text_is_itself_in_its_place_and_behind_its_name() -> None:
    away = {name_text("long"): "long"}
    assert fetch_text("long", {}) == "long"
    assert fetch_text(name_text("long"), away) == "long"
    assert name_text("long") != name_text("other")


def test_a_name_that_leads_nowhere_is_an_error() -> None:
    with pytest.raises(ValueError, match="no such text is kept"):
        fetch_text(name_text("long"), {})
    with pytest.raises(ValueError, match="no such text is kept"):
        fetch_text(name_text("long"), {name_text("long"): "another"})
