"""How a finish is looked after."""

from __future__ import annotations

from builder.records.care import CARE, say_care
from builder.records.words import SEALANTS


def test_every_sealant_of_the_guide_has_its_care() -> None:
    assert CARE.keys() - {""} == set(SEALANTS)
    assert all(sentence.endswith(".") for told in CARE.values() for sentence in told)


def test_what_is_no_word_of_the_guides_is_cared_for_in_general() -> None:
    assert say_care("Uncle's best") == say_care("sealed") == CARE[""]
