"""Cautions and limits on the pages."""

from __future__ import annotations

import re

import pytest

from builder.publish.safety_page import lay_out_safety
from builder.records.hazards import ALONE, HAZARDS, METALS, SUBSTANCES
from builder.records.limits import LIMITS
from builder.relate.cautions import FIRST
from tests.publish.rendered import render_pages
from tests.publish.test_pages import rendered, sparse
from tests.telling.told import tell_students

LOUD = {"piece": "X-1", "metal": "brass", "method": "fume", "notes": "bleach in the tub after",
        "ingredients": [{"name": "QQ ammonia", "strength": "9.5 %"}]}  # fmt: skip


def before_of(html: str) -> str:
    begin = html.index('<section class="pat-section pat-before"')
    return html[begin : html.index("</section>", begin)]


def test_cautions_stand_before_what_was_done_with_the_rules_that_go_first() -> None:
    html = rendered(sparse(LOUD))["pieces/X-1.md"].html
    before = before_of(html)
    assert html.index("pat-before") < html.index("<h2>What was done</h2>")
    assert FIRST in before
    assert re.findall(r'pat-loud">([^<]*)\.<', before) == [
        "Never together",
        "Take care",
        "Take care",
    ]
    assert "QQ ammonia (in the mixture) with bleach (in the notes)" in before
    assert 'href="../safety.html#H1"' in before
    assert "25 ppm or 18 mg/m³ on average over a shift of up to 10 h (NIOSH, 1994)" in before


@pytest.mark.parametrize("part", ["recipe", "ingredients"])
def test_a_private_recipe_has_the_general_sentence_alone(part: str) -> None:
    private = {**LOUD, "share": {part: "private"}}
    told = tell_students(sparse(private))
    for page in render_pages(told):
        assert "QQ ammonia" not in page.html, page.path
    before = before_of(rendered(told)["pieces/X-1.md"].html)
    assert re.sub(r"<[^>]+>", " ", before).split() == [
        "Before",
        "you",
        "try",
        "this",
        *FIRST.split(),
    ]


def test_what_a_private_recipe_forbids_is_said_to_its_maker_and_on_no_page() -> None:
    found = sparse({**LOUD, "share": {"recipe": "private"}})
    (problem,) = (problem for problem in found.problems if "H1" in problem.found)
    assert "QQ ammonia" in problem.found
    pages = rendered(tell_students(found))
    assert not [path for path, page in pages.items() if problem.remedy in page.html]


def test_every_row_every_name_and_every_limit_stand_on_the_safety_page() -> None:
    page = rendered(sparse())["safety.md"]
    for row in (*HAZARDS, *ALONE):
        assert page.html.count(f'id="{row.number}"') == 1
        assert str(row.loud) in page.html
    plain = page.html.replace("&#39;", "'")
    for name in (*SUBSTANCES, *METALS):
        if {**SUBSTANCES, **METALS}[name]:
            assert name in plain, name
    for limit in LIMITS:
        assert limit.source in plain
    assert sum(len(limits) for _, _, limits in lay_out_safety().limits) == len(LIMITS)
    assert plain.count("superseded") == sum(limit.superseded for limit in LIMITS)
    assert {"hartshorn", "washing soda", "hydrogen sulphide"} <= set(page.search.words)


def test_no_limit_from_memory_stands_with_a_piece() -> None:
    record = {"piece": "X-1", "metal": "copper", "ingredients": ["malt vinegar"]}
    before = before_of(rendered(sparse(record))["pieces/X-1.md"].html)
    assert "acetic acid" in before
    assert "from memory" not in before


PLAN = {**LOUD, "piece": "X-2", "same_as": "X-1"}


def test_a_planned_piece_has_what_is_said_before_and_its_maker_is_told() -> None:
    begun = {**LOUD, "started": "2025-01-07", "outcome": "success"}
    found = sparse(begun, PLAN)
    assert [p.file for p in found.problems if "H1" in p.found] == [
        "samples/X-1/sample.yaml",
        "samples/X-2/sample.yaml",
    ]
    html = rendered(found)["pieces/X-2.md"].html
    assert "not begun yet" in html
    assert "QQ ammonia (in the mixture) with bleach (in the notes)" in before_of(html)
    assert "of the safety table:" not in html


def test_a_planned_piece_with_a_private_recipe_has_the_general_sentence_alone() -> None:
    share = {"share": {"recipe": "private"}}
    begun = {**LOUD, **share, "started": "2025-01-07", "outcome": "success"}
    html = rendered(tell_students(sparse(begun, {**PLAN, **share})))["pieces/X-2.md"].html
    assert "QQ ammonia" not in html
    assert FIRST in before_of(html)
    assert "pat-caution-" not in before_of(html)
