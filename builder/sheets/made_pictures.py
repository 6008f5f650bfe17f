"""Made pictures, as the JPEG they are."""

from __future__ import annotations

from pathlib import Path

from builder.errors import PrintError, Problem, Weight


def read_made(file: Path) -> bytes:
    """The bytes of a picture that was made of a photograph. Raises ``PrintError`` where it cannot
    be read."""
    try:
        return file.read_bytes()
    except OSError as error:
        raise PrintError(
            Problem(
                file.name,
                0,
                f"the made picture cannot be read ({error.strerror or error})",
                "a picture in the library's folder of made pictures",
                "run the same again; it is made anew",
                Weight.STOPS,
            )
        ) from error
