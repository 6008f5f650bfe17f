"""Limits beside what is used. The figures and their sources: as ``builder.records.limits``."""

from __future__ import annotations

from builder.records.hazards import Status
from builder.records.limits import LIMITS
from builder.relate.air_limits import limits_of, list_limits, say_limit
from tests.relate.demo import entry_of


def test_each_thing_used_has_its_limits_beside_it() -> None:
    entry = entry_of(
        ingredients=["household ammonia", "malt vinegar", "LOS", "ferric chloride"],
        prep=[{"step": "degrease", "with": "acetone"}],
        notes="nitric acid is not for us",
    )
    assert [(one.name, one.substance) for one in limits_of(entry)] == [
        ("household ammonia", "ammonia"),
        ("malt vinegar", "acetic acid"),
        ("LOS", "hydrogen sulphide"),
        ("ferric chloride", "soluble iron salts (as Fe)"),
        ("acetone", "acetone"),
    ]


def test_what_two_give_off_together_is_told() -> None:
    entry = entry_of(ingredients=["hydrogen peroxide", "vinegar"])
    assert limits_of(entry)[-1].name == "hydrogen peroxide with vinegar"
    assert limits_of(entry)[-1].substance == "peracetic acid"


def test_nothing_is_told_of_a_private_recipe() -> None:
    entry = entry_of(ingredients=["ammonia"], prep=[{"step": "wipe", "with": "acetone"}])
    assert limits_of(entry, frozenset({"ingredients"})) == ()
    assert [one.name for one in limits_of(entry, frozenset({"prep"}))] == ["ammonia"]


def test_a_limit_is_said_with_authority_and_year() -> None:
    said = [say_limit(limit) for limit in list_limits("ammonia")]
    assert "25 ppm or 18 mg/m³ on average over a shift of up to 10 h (NIOSH, 1994)" in said
    assert "50 ppm or 35 mg/m³ on average over 8 h (OSHA, 1994)" in said
    assert "300 ppm dangerous to life or health at once (NIOSH, year not told)" in said
    assert not [line for line in said if "500" in line]  # superseded
    (memory,) = [one for one in LIMITS if one.substance == "acetic acid" and one.value == 50]
    assert say_limit(memory).endswith("(NIOSH, year not told, from memory)")
    assert "no limit set (OSHA, year not told)" in map(
        say_limit, list_limits("soluble iron salts (as Fe)")
    )


def test_a_limit_from_memory_stands_in_the_table_alone() -> None:
    memory = [limit for limit in LIMITS if limit.status is Status.MEMORY]
    assert {limit.substance for limit in memory} >= {"acetic acid", "acetone"}
    assert not [limit for limit in memory if limit in list_limits(limit.substance)]
