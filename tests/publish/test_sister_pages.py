from __future__ import annotations

from dataclasses import replace

from builder.publish.sister_pages import list_sets
from builder.publish.subjects import list_subjects
from builder.relate.findings import Findings
from tests.publish.fixture import findings

FOUND = findings(numbers=("SH-012", "SH-014"))


def sets_of(found: Findings) -> list[str]:
    subjects = {subject.number: subject for subject in list_subjects(found)}
    return [one.href for one in list_sets(found, subjects)]


def test_a_set_has_a_page_named_by_its_two_pieces() -> None:
    assert sets_of(FOUND) == ["sisters/SH-014-SH-012.html"]


def test_two_sets_never_share_a_page() -> None:
    twice = replace(FOUND, sisters=FOUND.sisters * 2)
    assert len(set(sets_of(twice))) == 2


def test_the_sides_are_the_chosen_look_then_sealed_then_bare() -> None:
    subjects = {subject.number: subject for subject in list_subjects(FOUND)}
    (one,) = list_sets(FOUND, subjects)
    assert [side.label for side in one.sides] == ["Chosen look", "SH-014, sealed", "SH-012, bare"]
    assert [slide.id for slide in one.slides] == ["before-after", "sealed-bare"]


def test_a_zone_with_an_awkward_name_gets_a_safe_address() -> None:
    sealed = replace(FOUND.sisters[0].sealed, zone="../left & <right>")
    awkward = replace(FOUND, sisters=(replace(FOUND.sisters[0], sealed=sealed),))
    assert sets_of(awkward) == ["sisters/SH-014-..-left-right-SH-012.html"]


def test_two_pieces_of_unlike_size_stand_side_by_side_and_not_on_each_other() -> None:
    bare = FOUND.sisters[0].bare
    drift = FOUND.sisters[0].bare_drift
    assert drift and bare.latest
    for width, slides in ((485, 2), (600, 1)):
        view = drift.second.observation.picture.view
        assert view is not None
        picture = replace(drift.second.observation.picture, view=replace(view, width=width))
        seen = replace(drift.second.observation, picture=picture)
        odd = replace(drift, second=replace(drift.second, observation=seen))
        pair = replace(FOUND.sisters[0], bare_drift=odd)
        subjects = {subject.number: subject for subject in list_subjects(FOUND)}
        (one,) = list_sets(replace(FOUND, sisters=(pair,)), subjects)
        assert len(one.slides) == slides
        assert all(side.shown for side in one.sides)
