"""Pages that go over all pieces."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from builder.publish.overviews import AGED_SHOWN, list_ageing, list_shelves
from builder.publish.repeats_page import lay_out_groups, list_singles
from builder.publish.series_page import lay_out_rows
from builder.publish.subjects import list_subjects
from builder.relate.findings import Failure, Findings, Repeats, Series, Single, Strand, Value
from tests.publish.fixture import findings


def test_of_very_many_strands_those_looked_at_last_are_drawn_and_all_are_named() -> None:
    found = findings()
    watched = next(strand for strand in found.strands if strand.drifts)
    many = replace(found, strands=(watched,) * (AGED_SHOWN + 5))
    subjects = {subject.number: subject for subject in list_subjects(found)}
    (group,) = list_ageing(many, subjects)
    assert len(group.stories) == AGED_SHOWN
    assert [strand for _, strand in group.others] == [watched] * 5
    assert group.count == AGED_SHOWN + 5


def without_fresh_look(found: Findings, number: str) -> Strand:
    """The piece photographed without a card: nothing can be compared, all can be looked at."""
    (strand,) = found.strands_of(number)
    looks = tuple(replace(look, excluded="no card") for look in strand.looks)
    return replace(strand, looks=looks, fresh=None, baseline=None, latest=None, drifts=())


def test_a_piece_without_a_fresh_look_is_shown_by_a_photograph_of_it(tmp_path: Path) -> None:
    found = findings(tmp_path, ("SH-001", "SH-002"))
    one, two = (without_fresh_look(found, number) for number in ("SH-001", "SH-002"))
    found = replace(
        found,
        strands=(one, two),
        series=(Series("time", (Value("15 s", (one,)), Value("45 s", (two,))), ()),),
        repeats=(Repeats((one, two), 0, None, None, None, None, "", ()),),
        singles=(Single(one, "once"),),
        failures=(Failure(one.entry, "unknown", "", one, two),),
    )
    subjects = {subject.number: subject for subject in list_subjects(found)}
    (row,), (group,) = lay_out_rows(found, subjects), lay_out_groups(found, subjects)
    (single,) = list_singles(found, subjects)
    fault = list_shelves(found, subjects)[0].items[0]
    shown = [*row.samples, *group.made, single]
    assert all(one.shown for one in shown)
    assert fault.shown and fault.instead_shown
    first = subjects["SH-001"].show(one.looks[0])
    assert first and single.shown and single.shown.src == first.src


def test_a_piece_without_any_photograph_shows_none(tmp_path: Path) -> None:
    found = findings(tmp_path, ("SH-001",))
    bare = replace(without_fresh_look(found, "SH-001"), looks=())
    (subject,) = list_subjects(replace(found, strands=(bare,)))
    assert subject.show_any(bare, None) is None
