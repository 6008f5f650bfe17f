"""The part of a page that is ours, marked while it is previewed, so that it can be put in anew
without the page being built."""

from __future__ import annotations

_OPENS, _CLOSES = "<!--patinarium-->\n", "<!--/patinarium-->\n"


def mark_part(html: str) -> str:
    """Our part of a page with its marks. No text of a sidecar can hold them: all is escaped."""
    return f"{_OPENS}{html}{_CLOSES}"


def splice(page: str, part: str, title: str, new_title: str) -> str | None:
    """The built ``page`` with another ``part`` in it, and titles, as they stand in a page, replaced
    round it; None where no part is marked."""
    head, opens, rest = page.partition(_OPENS)
    _, closes, foot = rest.rpartition(_CLOSES)
    if not opens or not closes:
        return None
    head, foot = (around.replace(title, new_title) for around in (head, foot))
    return f"{head}{mark_part(part)}{foot}"
