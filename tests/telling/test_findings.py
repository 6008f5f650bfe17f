"""What comes of holding pieces against each other, told to an audience."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from builder.errors import Problem, Weight
from builder.records.audiences import KEPT_PRIVATE, make_audience
from builder.records.facts import Known
from builder.records.ledger import NO_LEDGER, Deed, Ledger, LedgerEntry
from builder.records.piece import Piece
from builder.relate.findings import Findings, Strand, Verdict
from builder.telling import tell
from tests.publish.fixture import findings
from tests.relate.demo import entry_of, find
from tests.telling.told import CLIENTS, PRIVATE, STUDENTS, tell_clients, tell_students

TOLD: dict[str, Any] = {
    "metal": "copper", "method": "dip", "temperature_c": "45", "outcome": "success",
    "ingredients": [{"name": "salt", "amount": "15 g"}],
}  # fmt: skip


def library(*records: dict[str, Any]) -> Findings:
    return find(tuple(entry_of(**{**TOLD, **record}) for record in records), [])


def test_the_maker_is_told_all_there_is() -> None:
    found = library({"piece": "P-1", "share": {"piece": "private"}})
    told = tell(found, PRIVATE)
    assert told.strands is found.strands and told.library is found.library


def test_a_private_value_is_replaced_and_no_order_gives_it_away() -> None:
    found = library(
        {"piece": "P-1", "exposure": "900 s"},
        {"piece": "P-2", "exposure": "300 s", "share": {"exposure": "private"}},
        {"piece": "P-3", "exposure": "100 s"},
    )
    told = tell_students(found)
    (series,) = told.series
    assert [value.words for value in found.series[0].values] == ["100 s", "300 s", "900 s"]
    assert [value.words for value in series.values] == ["900 s", KEPT_PRIVATE, "100 s"]
    assert not series.ordered
    assert {(pair.value_a, pair.value_b) for pair in told.pairs} == {
        ("900 s", "100 s"), (KEPT_PRIVATE, KEPT_PRIVATE),
    }  # fmt: skip
    assert told.library.entries[1].piece.exposure.known is Known.WITHHELD
    assert "300 s" not in repr(told)


def test_no_comparison_tells_that_a_private_thing_is_the_same_as_a_public_one() -> None:
    found = library(
        {"piece": "P-1", "exposure": "900 s"},
        {"piece": "P-2", "exposure": "300 s", "share": {"recipe": "private"}},
        {"piece": "P-3", "exposure": "100 s"},
        {"piece": "P-4", "exposure": "100 s", "share": {"temperature_c": "private"}},
    )
    assert any("P-2" in (p.a.entry.piece.piece, p.b.entry.piece.piece) for p in found.pairs)
    assert found.repeats
    told = tell_students(found)
    named = {s.entry.piece.piece for pair in told.pairs for s in (pair.a, pair.b)}
    assert named == {"P-1", "P-3"}
    assert {s.entry.piece.piece for one in told.series for s in one.strands} == {"P-1", "P-3"}
    assert told.repeats == ()


def test_pieces_that_keep_the_same_things_back_are_still_compared() -> None:
    share = {"share": {"recipe": "private"}}
    found = library(
        {"piece": "P-1", "surface": "satin", **share}, {"piece": "P-2", "surface": "matt", **share}
    )
    (pair,) = tell_students(found).pairs
    assert (pair.value_a, pair.value_b) == ("satin", "matt")


def test_a_wholly_private_piece_is_not_even_counted() -> None:
    found = library(
        {"piece": "P-1", "exposure": "900 s"},
        {"piece": "P-2", "exposure": "300 s", "share": {"piece": "private"}},
        {"piece": "P-3", "exposure": "100 s", "same_as": "P-2", "sister": "P-2"},
    )
    told = tell_students(found)
    assert "P-2" not in repr(told)
    assert [value.words for value in told.series[0].values] == ["100 s", "900 s"]
    assert (told.library.entries[1].piece.same_as, told.library.entries[1].piece.sister) == ("", "")


def test_private_photographs_take_their_figures_along() -> None:
    found = findings(numbers=("SH-012", "SH-014"), SH_014={"share": {"photos": "private"}})
    told = tell_students(found)
    (strand,) = told.strands_of("SH-014")
    assert (strand.looks, strand.drifts, strand.seal_cost) == ((), (), None)
    assert strand.verdict is Verdict.CANNOT_TELL
    assert not [seen for seen in told.observations if seen.file.piece == "SH-014"]
    assert told.sisters == ()


def test_clients_are_told_of_no_failure_but_one_that_is_shared_with_them() -> None:
    numbers = ("SH-012", "SH-008", "SH-013")
    outcomes: dict[str, Any] = {
        "SH_008": {"outcome": "failure"},
        "SH_013": {"outcome": "failure", "share": {"piece": ["students", "clients"]}},
    }
    told = tell_clients(findings(numbers=numbers, **outcomes))
    assert {entry.piece.piece for entry in told.library.entries} == {"SH-012", "SH-013"}


def test_clients_are_told_ages_for_days_and_the_finished_piece_alone() -> None:
    told = tell_clients(findings(numbers=("SH-012", "SH-014")))
    looks = [look for strand in told.strands for look in strand.looks]
    assert looks and all(look.taken is None and not look.day_told for look in looks)
    assert all(look.days_since_coloured is not None for look in looks)
    (check,) = told.library.entries[0].piece.checks
    started = findings(numbers=("SH-012",)).library.entries[0].piece.started.value
    assert started is not None
    assert check.date.written.endswith("days after colouring")
    pictures = [seen.picture for seen in told.observations]
    assert not any(p.webs or p.card_strip or p.sha256 or p.exif.make for p in pictures)
    assert all(picture.view for picture in pictures)


def test_a_zones_name_of_the_makers_own_is_a_number_for_clients() -> None:
    zones = [
        {"name": "left", "sealant": {"kind": "shellac"}},
        {"name": "ammonia side", "sealant": "none"},
        {"name": "upper right", "sealant": {"kind": "Uncle's best"}},
    ]
    told = tell_clients(findings(numbers=("SH-024",), SH_024={"zones": zones}))
    names = [strand.zone for strand in told.strands]
    assert names == ["left", "part 2", "upper right"]
    assert [zone.name for zone in told.library.entries[0].piece.zones] == names
    assert {look.zone for strand in told.strands for look in strand.looks} == set(names)
    assert "ammonia" not in repr(told) and "Uncle" not in repr(told)
    assert [strand.sealed for strand in told.strands] == [True, False, True]
    assert told.strands[2].sealant == "sealed"


def test_of_a_blank_coloured_again_clients_see_the_last_attempt_alone() -> None:
    guild = make_audience("guild", "clients", show=("records",))
    found = library({"piece": "P-1", "outcome": "failure"}, {"piece": "P-1", "attempt": 2})
    (entry,) = tell(found, guild).library.entries
    assert entry.piece.attempt == 1


def test_what_is_to_be_put_right_is_not_quoted_of_a_piece_that_keeps_something_back() -> None:
    found = library(
        {"piece": "P-1"},
        {"piece": "P-2", "share": {"notes": "private"}},
    )
    files = [entry.file for entry in found.library.entries]
    problems = (
        Problem(files[0], 3, "amount is “a splash”", "", "", Weight.NOTED),
        Problem(files[0], 4, "same as P-2", "", "", Weight.NOTED),
        Problem(files[1], 3, "amount is “a secret”", "", "", Weight.NOTED),
    )
    found = replace(found, problems=problems)
    assert tell_students(found).problems == problems[:1]
    assert tell(found, CLIENTS).problems == ()


def test_no_day_is_told_of_a_check_before_the_day_it_is_counted_from() -> None:
    checks = [{"date": "2024-01-01", "seen": []}]
    guild = make_audience("guild", "clients", show=("records",))
    found = library({"piece": "P-1", "started": "2024-06-01", "exposure": "1 d", "checks": checks})
    (check,) = tell(found, guild).library.entries[0].piece.checks
    assert check.date.known is Known.WITHHELD
    assert dt.date(2024, 1, 1) == found.library.entries[0].piece.checks[0].date.value.day


def test_students_lose_no_comparison_to_the_usual_rules() -> None:
    found = findings()
    told = tell(found, STUDENTS)
    assert [len(getattr(told, name)) for name in ("pairs", "series", "effects", "repeats")] == [
        len(getattr(found, name)) for name in ("pairs", "series", "effects", "repeats")
    ]
    assert len(told.sisters) == len(found.sisters)
    assert told.observations == found.observations


def test_a_private_outcome_puts_a_piece_on_no_shelf() -> None:
    found = library({"piece": "P-1", "outcome": "failure", "share": {"outcome": "private"}})
    assert found.failures and tell_students(found).failures == ()


@pytest.mark.parametrize(
    ("share", "coloured", "sealed"),
    [
        ({}, True, True),
        ({"started": "private"}, False, True),
        ({"recipe": "private"}, True, True),  # the time it took is not told either
        ({"sealant": "private"}, True, False),
    ],
)
def test_an_age_beside_a_day_does_not_tell_a_day_that_is_kept_back(
    share: dict[str, Any], coloured: bool, sealed: bool
) -> None:
    told = tell_students(findings(numbers=("SH-014",), SH_014={"share": share}))
    looks = told.strands[0].looks
    assert any(look.days_since_coloured is not None for look in looks) is coloured
    assert any(look.days_since_sealed is not None for look in looks) is sealed


def test_what_is_kept_back_is_not_said_to_be_unrecorded() -> None:
    share = {"share": {"recipe": "private"}}
    found = library(
        {"piece": "P-1", "surface": "satin", **share}, {"piece": "P-2", "surface": "matt", **share}
    )
    assert {"humidity", "temper"} <= set(found.pairs[0].unrecorded)
    (pair,) = tell_students(found).pairs
    assert "humidity" not in pair.unrecorded and "temper" in pair.unrecorded


def test_no_reason_names_a_piece_that_is_not_told_of() -> None:
    found = findings(numbers=("SH-012", "SH-014"), SH_014={"share": {"piece": "private"}})
    strand = found.strands_of("SH-012")[0]
    odd = replace(strand.looks[-1], excluded="its label says SH-014")
    strands = tuple(
        replace(s, looks=(*s.looks[:-1], odd)) if s is strand else s for s in found.strands
    )
    told = tell_students(replace(found, strands=strands))
    assert "SH-014" not in repr(told)
    assert told.strands[0].looks[-1].excluded == "not compared"


def test_the_ledger_is_told_of_files_alone_that_are_told_of() -> None:
    found = findings(numbers=("SH-012", "SH-014"), SH_014={"share": {"piece": "private"}})
    lines = tuple(
        LedgerEntry(n, dt.datetime(2026, 1, 1, tzinfo=dt.UTC), Deed.FILED, seen.file.path,
                    seen.picture.sha256, 1, {}, "", "", n)
        for n, seen in enumerate(found.observations, start=1)
    )  # fmt: skip
    found = replace(found, library=replace(found.library, ledger=Ledger(lines)))
    told = tell_students(found).library.ledger
    assert told.entries and "SH-014" not in repr(told)
    assert tell(found, CLIENTS).library.ledger == NO_LEDGER


def taken(share: dict[str, Any], source: dict[str, Any], number: str = "SH-014") -> Piece:
    """What students are told of a piece whose sidecar says same_as."""
    told = tell_students(findings(**{number.replace("-", "_"): {"share": share},
                                     "SH_012": {"share": source}}))  # fmt: skip
    (entry,) = (entry for entry in told.library.entries if entry.piece.piece == number)
    named = {entry.piece.same_as, *(number for _, number in entry.inherited)}
    assert (named == {""}) is (entry.inherited == ())
    return entry.piece


def test_a_piece_that_repeats_an_open_one_says_so() -> None:
    assert taken({}, {}).same_as == "SH-012"


@pytest.mark.parametrize("part", ["recipe", "prep", "metal", "ingredients.name"])
def test_a_hidden_part_taken_over_does_not_say_from_which_open_piece(part: str) -> None:
    piece = taken({part: "private"}, {})
    assert (piece.same_as, piece.change, piece.why.known) == ("", {}, Known.WITHHELD)
    assert "SH-012" not in repr(piece)


def test_what_a_piece_changes_and_keeps_back_leaves_what_it_repeats_told() -> None:
    piece = taken({"sealant": "private"}, {})
    assert (piece.same_as, piece.change) == ("SH-012", {})


def test_a_piece_that_came_through_a_secretive_one_does_not_give_it_away() -> None:
    entries = [
        entry_of(**{**TOLD, "piece": "P-1"}),
        entry_of(**{**TOLD, "piece": "P-2", "same_as": "P-1", "share": {"recipe": "private"}}),
        entry_of(**{**TOLD, "piece": "P-3", "same_as": "P-2"}),
    ]
    carried = (("ingredients", "P-1"), ("temperature_c", "P-1"))
    entries[1:] = [one.model_copy(update={"inherited": carried}) for one in entries[1:]]
    told = tell_students(find(tuple(entries), []))
    assert [entry.piece.same_as for entry in told.library.entries] == ["", "", ""]
    assert [entry.inherited for entry in told.library.entries] == [(), (), ()]


def test_nothing_compares_a_hidden_recipe_with_the_open_one_it_was_taken_from() -> None:
    def together(share: dict[str, Any]) -> set[str]:
        told = tell_students(
            library(
                {"piece": "P-1", "sealant": "none", "exposure": "15 s"},
                {"piece": "P-2", "sealant": "shellac", "exposure": "15 s", "sister": "P-1"} | share,
                {"piece": "P-3", "sealant": "wax", "exposure": "15 s"},
            )
        )
        compared: list[tuple[str, list[Strand]]] = [
            *(("pair", [p.a, p.b]) for p in told.pairs),
            *(("sisters", [s.sealed, s.bare]) for s in told.sisters),
            *(("series", list(s.strands)) for s in told.series),
        ]
        return {
            kind for kind, strands in compared
            if {"P-1", "P-2"} <= {strand.entry.piece.piece for strand in strands}
        }  # fmt: skip

    assert together({}) == {"pair", "sisters", "series"}
    assert together({"share": {"recipe": "private"}}) == set()
