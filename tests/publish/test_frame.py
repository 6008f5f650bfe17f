"""What surrounds a page."""

from __future__ import annotations

from builder.publish.frame import CLOSER_LOOK, frame_page, navigate


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


def test_the_makers_own_pages_come_last() -> None:
    assert navigate(["index.md", "due.md", "pieces/A.md", "mine.md"])[-1] == {"Notes": ["mine.md"]}


def test_scripts_for_a_closer_look_come_where_a_picture_opens_and_nowhere_else() -> None:
    zoomed = frame_page('<a class="pat-zoom" href="x.jpg"></a>', "", "pieces/A.md")
    assert all(f'<script src="../{script}"></script>' in zoomed for script in CLOSER_LOOK)
    assert "<script" not in frame_page("<p>body</p>", "", "wall.md")
