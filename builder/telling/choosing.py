"""Which audience is meant."""

from __future__ import annotations

from builder.errors import LibraryError, Problem, Weight
from builder.records.audiences import STUDENTS, Audience
from builder.records.settings import Settings


def choose_audience(name: str, settings: Settings) -> Audience:
    """The audience of that name, students for none. Raises ``LibraryError`` for one that is not
    known."""
    found = settings.audience_named((name or STUDENTS).strip().casefold())
    if found is None:
        raise LibraryError(
            Problem(
                "mkdocs.yml",
                0,
                f"there is no audience “{name}”",
                f"one of: {', '.join(audience.name for audience in settings.audiences)}",
                "name one of them, or add it under audiences",
                Weight.STOPS,
            )
        )
    return found
