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


def fetch_text(text: str, away: Mapping[str, str]) -> str:
    """The text itself, or where it is a name the text put away under it.

    Raises ValueError where nothing is.
    """
    if not text.startswith(_NAME):
        return text
    try:
        return away[text]
    except KeyError:
        raise ValueError(f"no text is kept under the name {text}") from None
