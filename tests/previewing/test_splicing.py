"""Our part of a page, put in anew."""

from __future__ import annotations

from builder.previewing.splicing import mark_part, splice


def test_a_part_put_in_makes_the_page_that_would_have_been_built() -> None:
    page, new = (
        f"<title>{title}</title>\n{mark_part(part)}<footer>x</footer>"
        for title, part in (("A-1 Copper", "<p>old</p>"), ("A-1 Bronze", "<p>new</p>"))
    )
    assert splice(page, "<p>new</p>", "A-1 Copper", "A-1 Bronze") == new


def test_a_title_within_the_part_is_the_parts_own() -> None:
    page = f"A{mark_part('A')}A"
    assert splice(page, "A", "A", "B") == f"B{mark_part('A')}B"


def test_a_page_without_the_marks_is_left() -> None:
    assert splice("<p>of the maker's own</p>", "new", "A", "B") is None
