"""Records: short ways of writing, and what is refused."""

import pytest
from pydantic import ValidationError

from builder.records.facts import Known
from builder.records.piece import OWN_FIELDS, Piece
from builder.records.record import Record


def make(**written):
    return Piece.model_validate({"piece": "SH-001", **written})


def test_a_plain_value_stands_for_the_main_key_of_a_record():
    piece = make(sealant="none", container="jar", prep=["abrade"], checks=["2024-10-15"])
    assert piece.sealant.kind.value == "none"
    assert piece.container.kind.value == "jar"
    assert piece.prep[0].step.value == "abrade"
    assert piece.checks[0].date.given


def test_one_value_stands_for_a_list_of_one():
    piece = make(colour_words="tawny", sealant={"kind": "shellac", "how": "cold"})
    assert [word.value for word in piece.colour_words] == ["tawny"]
    assert [word.value for word in piece.sealant.how] == ["cold"]


@pytest.mark.parametrize("key", ["ingredients", "zones", "checks", "photos", "colour_words"])
def test_none_is_an_empty_list(key):
    assert getattr(make(**{key: "none"}), key) == ()


def test_none_is_a_thing_to_say_of_preparing():
    assert make(prep="none").prep[0].step.value == "none"


def test_an_unknown_mixture_is_not_an_empty_one():
    piece = make(ingredients="unknown")
    assert piece.ingredients[0].name.known is Known.UNKNOWN


@pytest.mark.parametrize(
    ("written", "sides"),
    [
        ("100 x 150 x 0.9", [100, 150, 0.9]),
        ("100 × 150 mm", [100, 150]),
        ("4 x 6 in", [101.6, 152.4]),
        (["100", "150"], [100, 150]),
    ],
)
def test_a_size_is_a_list_or_one_line(written, sides):
    assert [side.value.number for side in make(size_mm=written).size_mm] == sides


def test_audiences_are_compared_in_small_letters():
    told = make(share={"recipe": "Private ", "photos": ["Students", "clients"]})
    assert told.share == {"recipe": ("private",), "photos": ("students", "clients")}


@pytest.mark.parametrize(
    "wrong", [{"colour": "red"}, {"metal": ["copper"]}, {"attempt": "0"}, {"zones": [{"at": []}]}]
)
def test_what_the_vocabulary_does_not_know_is_refused(wrong):
    with pytest.raises(ValidationError):
        make(**wrong)


def test_a_piece_cannot_be_changed():
    with pytest.raises(ValidationError):
        make().metal = "brass"


def test_own_fields_are_fields():
    assert set(Piece.model_fields) >= OWN_FIELDS


def test_every_field_has_a_meaning_and_an_example():
    for model in (Piece, *Record.__subclasses__()):
        if model.__name__ == "Entry":
            continue
        for name, info in model.model_fields.items():
            assert info.description, f"{model.__name__}.{name}"
            assert info.examples, f"{model.__name__}.{name}"
