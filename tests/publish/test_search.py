from __future__ import annotations

import json

import pytest

from builder.publish.search import SearchEntry, as_script, fill_index
from builder.relate.colour_names import name_colour, spell_both
from tests.publish.fixture import findings
from tests.publish.rendered import render_pages
from tests.telling.told import tell_students

PAGES = {page.path: page for page in render_pages(findings(numbers=("SH-012", "SH-014")))}
EMPTY = json.dumps({"config": {"lang": ["en"]}, "docs": []})
BYTES_AN_ENTRY = 500  # an index of 3,000 is then built in under a second, on an old machine too


def test_a_piece_is_found_by_number_ingredient_sealant_and_look() -> None:
    entry = PAGES["pieces/SH-014.md"].search
    assert entry.title.startswith("SH-014")
    assert "Copper" in entry.title
    for word in ("malt vinegar", "microcrystalline wax", "dark sea-green", "success"):
        assert word in entry.words


def test_what_the_title_says_is_not_said_again() -> None:
    entry = PAGES["pieces/SH-014.md"].search
    assert entry.title == "SH-014 Copper, buried in damp sawdust"
    assert not {"copper", "buried in damp sawdust"} & set(entry.words)


def test_a_piece_is_one_lean_entry() -> None:
    pages = [(page.address, page.search) for page in PAGES.values()]
    docs = json.loads(fill_index(EMPTY, pages))["docs"]
    ours = [doc for doc in docs if doc["location"].startswith("pieces/SH-014")]
    assert len(ours) == 1
    assert len(json.dumps(ours[0])) < BYTES_AN_ENTRY


def test_entries_the_theme_made_of_our_pages_are_taken_out_and_others_kept() -> None:
    made = {
        "config": {},
        "docs": [
            {"location": "wall.html#x", "title": "", "text": ""},
            {"location": "guide.html", "title": "Guide", "text": ""},
        ],
    }
    docs = json.loads(fill_index(json.dumps(made), [("wall.html", SearchEntry("W", ("w",)))]))
    assert [doc["location"] for doc in docs["docs"]] == ["wall.html", "guide.html"]


def test_hostile_words_cannot_leave_the_index() -> None:
    entry = SearchEntry("</script><script>alert(1)</script>", ("<img src=x onerror=alert(1)>",))
    text = as_script(fill_index(EMPTY, [("a.html", entry)]))
    assert "<script" not in text
    assert "<img" not in text
    assert "</" not in text


def test_an_index_that_is_no_json_is_refused() -> None:
    with pytest.raises(ValueError):
        fill_index("{", [])


def test_a_piece_is_found_by_the_systematic_names_of_its_colours() -> None:
    assert name_colour((40.0, -10.0, 2.0)) == "greyish green"
    found = findings(numbers=("SH-014",))
    names = [
        name_colour(found.strands[0].latest.colour),
        name_colour(found.strands[0].fresh.colour),
    ]
    words = PAGES["pieces/SH-014.md"].search.words
    assert all(name in words for name in names)
    hidden = findings(numbers=("SH-014",), SH_014={"share": {"photos": "private"}})
    (entry,) = (
        p.search for p in render_pages(tell_students(hidden)) if p.path == "pieces/SH-014.md"
    )
    assert not any(name in entry.words for name in names)


def test_a_grey_is_found_in_either_spelling() -> None:
    assert spell_both("greyish green") == "greyish green grayish green"
    said = [" ".join(p.search.words).split() for p in render_pages(findings())]
    greyish = [words for words in said if "greyish" in words]
    assert greyish
    assert all(words.count("grayish") == 1 for words in greyish)
