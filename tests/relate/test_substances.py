"""Which substances words name. Names: common practice, no source."""

from __future__ import annotations

import pytest

from builder.relate.substances import (
    classify,
    classify_metal,
    says_washed,
    spot,
    strength_beside,
    strength_in,
)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("thick bleach", "hypochlorite"),
        ("Sodium hypochlorite", "hypochlorite"),
        ("swimming-pool chlorine", "hypochlorite"),
        ("chloride of lime", "hypochlorite"),
        ("lye", "strong alkali"),
        ("caustic soda", "strong alkali"),
        ("Washing-soda", "strong alkali"),
        ("sal soda", "strong alkali"),
        ("liver of sulfur", "sulphide"),
        ("sulfurated potash", "sulphide"),
        ("potassium polysulfide", "sulphide"),
        ("LOS", "sulphide"),
        ("cider vinegar", "acetic acid"),
        ("hartshorn", "ammonium salt"),
        ("spirits of hartshorn", "ammonia"),
        ("saltpeter", "nitrate"),
        ("ammonium persulfate", "strong oxidiser"),
        ("muriatic acid", "mineral acid"),
        ("sodium bisulfate", "acid"),
        ("iron(III) chloride", "iron salt"),
        ("baker’s ammonia", "ammonium salt"),
        ("rubbing alcohol", "alcohol"),
        ("nail polish remover", "acetone"),
    ],
)
def test_a_thing_is_known_by_its_other_names(name: str, kind: str) -> None:
    assert kind in classify(name)


@pytest.mark.parametrize(
    "name",
    [
        "acid-free tissue",
        "ammonia-free cleaner",
        "no bleach",
        "without any vinegar",
        "non-acid flux",
        "abrasive paper",
        "unbleached flour",
        "copper sulphate",
        "silver sand",
        "closed box",
        "kept well away from oil",
        "the bleach was kept away",
        "did not use ammonia",
        "bicarbonate of soda",
        "sodium chloride",
    ],
)
def test_a_false_friend_names_nothing(name: str) -> None:
    assert classify(name) == frozenset()


def test_a_no_reaches_no_further_than_its_clause() -> None:
    assert [n.words for n in spot("no salt, wiped with bleach")] == ["bleach"]
    assert [n.words for n in spot("No vinegar; ammonia then.")] == ["ammonia"]
    assert [n.words for n in spot("not rinsed then bleach")] == ["bleach"]
    assert spot("without bleach or ammonia") == ()


def test_a_thing_said_over_and_over_in_a_clause_is_named_once() -> None:
    assert [named.words for named in spot("bleach vinegar " * 1000)] == ["bleach", "vinegar"]
    said = [(n.words, n.washed_before) for n in spot("bleach and rinsed and bleach")]
    assert said == [("bleach", False), ("bleach", True)]


def test_a_metal_is_told_from_a_word_in_another_name() -> None:
    assert classify_metal("silver") == {"silver metal"}
    assert classify_metal("nickel silver") == {"copper metal", "zinc alloy"}
    assert classify_metal("German silver") == {"copper metal", "zinc alloy"}
    assert classify_metal("silver steel") == frozenset()
    assert classify("copper nitrate") == {"nitrate", "strong oxidiser"}


@pytest.mark.parametrize(
    ("text", "washed"),
    [
        ("rinsed, then wiped with bleach", True),
        ("rinsed and wiped with bleach", True),
        ("lifted out, rinsed in water with a drop of bleach", True),
        ("rinsed in bleach", False),
        ("not rinsed, wiped with bleach", False),
        ("wiped with bleach, rinsed", False),
    ],
)
def test_a_rinse_counts_where_it_comes_before(text: str, washed: bool) -> None:
    (named,) = spot(text)
    assert named.washed_before is washed


def test_a_text_says_whether_it_was_washed() -> None:
    assert says_washed("scrubbed with pumice")
    assert not says_washed("brushed dry, not rinsed")


def test_a_strength_may_stand_in_a_name() -> None:
    assert strength_in("hydrogen peroxide 3 %") == 3.0
    assert strength_in("vinegar, 5,5 per cent") == 5.5
    assert strength_in("20 vol peroxide") == pytest.approx(6.0)
    assert strength_in("vinegar") is None


@pytest.mark.parametrize(
    ("text", "strength"),
    [
        ("5% 1:1 peroxide 3%", 3.0),
        ("5% 1:1 30% peroxide", 30.0),
        ("mixed with 20 vol peroxide", 6.0),
        ("5% peroxide", None),  # that of the thing it stands beside
        ("peroxide and vinegar 5%", None),
    ],
)
def test_a_strength_is_that_of_the_words_it_stands_next_to(
    text: str, strength: float | None
) -> None:
    assert strength_beside("peroxide", text) == (strength and pytest.approx(strength))
