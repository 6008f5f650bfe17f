"""Pages that go over all pieces."""

from __future__ import annotations

from dataclasses import replace

from builder.publish.overviews import AGED_SHOWN, list_ageing
from builder.publish.subjects import list_subjects
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
