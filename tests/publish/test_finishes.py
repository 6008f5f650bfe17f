"""A finish as a client is told it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from builder.publish.finishes import FinishPage, lay_out_finishes, say_lived
from builder.publish.sister_pages import list_sets
from builder.publish.subjects import list_subjects
from builder.records.audiences import make_audience
from builder.relate.findings import Findings, Verdict
from builder.telling import tell
from tests.publish.fixture import findings
from tests.publish.rendered import render_pages
from tests.telling.told import CLIENTS, PRIVATE, STUDENTS, tell_clients


def lay_out(told: Findings) -> dict[str, FinishPage]:
    subjects = list_subjects(told)
    sets = list_sets(told, {s.number: s for s in subjects})
    return {one.subject.number: one for one in lay_out_finishes(told, subjects, sets)}


def html_of(told: Findings) -> dict[str, str]:
    return {page.path: page.html for page in render_pages(told)}


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "0 days"), (1, "1 day"), (13, "13 days"), (14, "2 weeks"), (31, "4 weeks"),
     (91, "3 months"), (365, "12 months"), (699, "23 months"), (730, "2 years"),
     (912, "2.5 years")],
)  # fmt: skip
def test_an_age_is_said_as_people_say_it(days: int, words: str) -> None:
    assert say_lived(days) == words


def test_a_finish_is_shown_new_and_at_a_year() -> None:
    page = lay_out(tell_clients(findings(numbers=("SH-014",))))["SH-014"]
    assert page.new and page.aged and page.new != page.aged
    assert "1 day after sealing" in page.new.alt
    assert page.aged_words == "After 12 months"


def test_its_range_has_every_colour_with_its_share_from_light_to_dark() -> None:
    page = lay_out(tell_clients(findings(numbers=("SH-012",))))["SH-012"]
    (part,) = page.parts
    assert sum(band.share for band in part.bands) == pytest.approx(1)
    for band in part.bands:
        light, middle, dark = (sum(bytes.fromhex(step[1:])) for step in band.steps)
        assert light > middle > dark


def test_it_says_how_often_it_was_made_and_what_the_range_rests_on() -> None:
    pages = lay_out(tell_clients(findings(numbers=("SH-002", "SH-006", "SH-012"))))
    (made,) = pages["SH-002"].made
    assert made.startswith("Made twice: it repeats")
    assert pages["SH-012"].made[0].startswith("Made once so far. Expect anything in this range")
    (alone,) = lay_out(tell_clients(findings(numbers=("SH-012",))))["SH-012"].made
    assert "expect more than this range" in alone


def test_a_repeat_that_a_client_is_not_shown_is_not_counted() -> None:
    numbers = ("SH-002", "SH-006")
    told = tell_clients(findings(numbers=numbers, SH_006={"share": {"piece": "private"}}))
    assert lay_out(told)["SH-002"].made[0].startswith("Made once")
    quiet = make_audience("gallery", "clients", hide=("variation",))
    assert lay_out(tell(findings(numbers=numbers), quiet))["SH-002"].made == ()


def test_what_to_expect_follows_the_verdict() -> None:
    told = tell_clients(findings(numbers=("SH-012", "SH-014")))
    strand = told.strands[0]
    moved = replace(strand, verdict=Verdict.MOVED)
    held = replace(strand, verdict=Verdict.HELD)
    unsure = replace(strand, verdict=Verdict.CANNOT_TELL)
    unseen = replace(unsure, drifts=(), latest=strand.baseline)
    said = [
        lay_out(replace(told, strands=(one,)))["SH-012"].parts[0].expect[0]
        for one in (moved, held, unsure, unseen)
    ]
    assert re.match(r"Expect it to go darker and browner: in 12 months the change is \w", said[0])
    assert said[1].startswith("In 12 months nothing changed that an eye would see")
    assert said[2].startswith("In 12 months any change is about as small")
    assert said[3].startswith("Nobody has looked at it again")


def test_a_turn_of_hue_is_said_in_a_whole_sentence() -> None:
    told = tell_clients(findings(numbers=("SH-012",)))
    (strand,) = told.strands
    drifts = tuple(replace(d, direction=("darker", "purple to brown")) for d in strand.drifts)
    turned = replace(strand, drifts=drifts, verdict=Verdict.MOVED)
    page = lay_out(replace(told, strands=(turned,)))["SH-012"]
    assert "go darker and turn from purple to brown" in page.parts[0].expect[0]


def test_sealed_and_bare_stand_beside_each_other_on_the_pages_of_both() -> None:
    pages = lay_out(tell_clients(findings(numbers=("SH-012", "SH-014"))))
    for number in ("SH-012", "SH-014"):
        (beside,) = pages[number].besides
        assert beside.sealed and beside.bare and not beside.within
        assert "sealing held back most of that" in " ".join(beside.words)
    assert "Sealing made it" not in " ".join(pages["SH-014"].besides[0].words)  # said above already
    assert "Sealing made it" in " ".join(pages["SH-012"].besides[0].words)


def test_a_sister_that_is_not_shown_to_clients_is_on_no_page() -> None:
    share: dict[str, Any] = {"share": {"piece": "private"}}
    told = tell_clients(findings(numbers=("SH-012", "SH-014"), SH_012=share))
    assert lay_out(told)["SH-014"].besides == ()
    assert "SH-012" not in "".join(html_of(told).values())


def test_each_part_of_a_piece_has_its_own_range_and_care() -> None:
    page = lay_out(tell_clients(findings(numbers=("SH-024",))))["SH-024"]
    assert [part.zone for part in page.parts] == ["left", "centre", "right"]
    assert [kind for kind, _ in page.care] == ["microcrystalline wax", "Bare", "acrylic lacquer"]
    assert page.sealing == "Sealed with microcrystalline wax, bare and sealed with acrylic lacquer"


def test_a_finishs_page_tells_no_recipe_and_no_day() -> None:
    found = findings(numbers=("SH-012", "SH-014"))
    html = html_of(tell_clients(found))["pieces/SH-014.md"]
    for entry in found.library.entries:
        for item in entry.piece.ingredients:
            assert item.name.written not in html
        assert entry.piece.method.written not in html and entry.piece.notes.written not in html
    assert not re.search(r"\b20\d\d\b", html)


def test_only_those_who_are_shown_no_records_have_a_list_of_finishes() -> None:
    found = findings(numbers=("SH-012", "SH-014"))
    pages = [html_of(tell(found, audience)) for audience in (CLIENTS, STUDENTS, PRIVATE)]
    assert ["finishes.md" in page for page in pages] == [True, False, False]
    assert pages[0]["finishes.md"].count("<h2>") == 2
