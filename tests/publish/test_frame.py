"""What surrounds a page."""

from __future__ import annotations

import pytest

from builder.publish.frame import (
    CLOSER_LOOK,
    NAVIGATION,
    frame_page,
    is_for,
    list_own,
    navigate,
    prune,
)
from builder.publish.press import unlink
from builder.records.audiences import BUILT_IN, PAGES

STUDENTS, CLIENTS, _ = BUILT_IN


def test_every_page_of_the_navigation_has_a_rule() -> None:
    values = [value for item in NAVIGATION for value in item.values()]
    pages = [
        page
        for value in values
        for page in ([value] if isinstance(value, str) else [p for d in value for p in d.values()])
    ]
    assert {page.removesuffix(".md") for page in pages} == PAGES.keys() - {"records"}


def test_a_navigation_loses_what_is_gone_and_the_sections_left_empty() -> None:
    whole = [
        {"Home": "index.md"},
        "plain.md",
        {"Method": [{"Safety": "safety.md"}, {"More": ["data.md"]}, {"Glossary": "glossary.md"}]},
        {"Data": [{"All": "data.md"}]},
    ]
    assert prune(whole, set()) == whole
    assert prune(whole, {"safety.md", "data.md", "plain.md"}) == [
        {"Home": "index.md"},
        {"Glossary": "glossary.md"},
    ]


def test_a_library_that_names_none_has_the_pages_there_are() -> None:
    assert navigate(["index.md", "wall.md", "glossary.md", "pieces/X-1.md", "care.md"]) == [
        {"Home": "index.md"},
        {"The wall": "wall.md"},
        {"Glossary": "glossary.md"},
        {"Notes": ["care.md"]},
    ]


@pytest.mark.parametrize(
    ("head", "meant"),
    [("for: clients", True), ("for: [Students, Clients]", True), ("for: everyone", True),
     ("for: students", False), ("for:", False), ("for: {clients: yes}", False), ("a: b", False)],
)  # fmt: skip
def test_a_page_says_whom_it_is_for(head: str, meant: bool) -> None:
    assert is_for(f"---\n{head}\n---\n# Care\n", "clients") is meant
    assert not is_for(f"# Care\n\n{head}\n", "clients")


def test_a_page_that_does_not_say_is_for_those_who_are_shown_own_pages() -> None:
    assert is_for("# Care\n", "students", unless_said=True)
    assert not is_for("---\nfor: private\n---\n# Care\n", "students", unless_said=True)


def test_a_page_takes_no_other_page_along() -> None:
    pages = {"care.md": "for [a](secret.md) ![b](b.png)", "secret.md": "mine"}
    own = list_own(pages, lambda text: text.startswith("for"))
    assert "secret.md" not in own and own >= {"care.md", "b.png"}


def test_a_page_that_is_shown_takes_along_what_it_names() -> None:
    pages = {
        "care/wax.md": 'for ![a](../img/a%20b.png) <img src="c.png"> [d](<d.pdf>) [e]: e.txt',
        "secret.md": "![f](f.png)",
    }
    assert list_own(pages, lambda text: text.startswith("for")) >= {
        "care/wax.md", "img/a b.png", "care/c.png", "care/d.pdf",
    }  # fmt: skip
    assert "f.png" not in list_own(pages, lambda text: text.startswith("for"))


def test_links_to_pages_that_are_not_there_are_plain_words() -> None:
    html = '<a class="x" href="../due.html#a">due</a> <a href="../wall.html">wall</a>'
    assert unlink(html, STUDENTS) == html
    assert unlink(html, CLIENTS) == 'due <a href="../wall.html">wall</a>'


def test_a_page_leads_to_those_under_its_heading_and_is_marked() -> None:
    html = frame_page("<p>body</p>", "", "due.md", {"ageing.md", "due.md", "wall.md"})
    assert '<a href="ageing.html">Ageing</a>' in html
    assert '<a href="due.html" aria-current="page">Due</a>' in html
    assert "sealed-against-bare.html" not in html  # it is not made
    assert html.endswith("<p>body</p>")


def test_a_page_that_stands_alone_leads_nowhere() -> None:
    assert frame_page("<p>body</p>", "", "wall.md", {"wall.md", "due.md"}) == "<p>body</p>"
    assert frame_page("<p>body</p>", "", "due.md", {"due.md"}) == "<p>body</p>"


def test_the_notice_of_a_made_up_library_is_plain_text() -> None:
    assert "<b>Invented.</b> a &amp; b" in frame_page("", "a & b")


def test_scripts_for_a_closer_look_come_where_a_picture_opens_and_nowhere_else() -> None:
    zoomed = frame_page('<a class="pat-zoom" href="x.jpg"></a>', "", "pieces/A.md")
    assert all(f'<script src="../{script}"></script>' in zoomed for script in CLOSER_LOOK)
    assert "<script" not in frame_page("<p>body</p>", "", "wall.md")
