"""Long texts that only long sums ask for: they may be put away, and a record then bears their name
in their stead, which tells them apart as well as they do themselves."""

from __future__ import annotations

from collections.abc import Mapping

from builder.digests import digest_bytes

#: Where every text is in its place.
NOTHING_AWAY: Mapping[str, str] = {}
_NAME = "sha256:"  # no packed text has a colon in it


def name_text(text: str) -> str:
    """The name that a text is put away under: its digest."""
    return _NAME + digest_bytes(text.encode())


class DamagedError(ValueError):
    """What was kept is not what was put away."""


def fetch_text(text: str, away: Mapping[str, str]) -> str:
    """The text itself, or where it is a name the text put away under it.

    Raises :class:`DamagedError` where nothing is, or another text.
    """
    if not text.startswith(_NAME):
        return text
    found = away.get(text)
    if found is None or name_text(found) != text:
        raise DamagedError(f"no such text is kept under the name {text}")
    return found
