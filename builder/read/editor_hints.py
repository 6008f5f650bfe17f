"""What tells an editor of the vocabulary, so that it completes keys and checks them while typing.

A sidecar's first line names the schema by its place from there; the schema lies in the library, so
that it goes where the library goes.
"""

from __future__ import annotations

from pathlib import Path

from builder.read.schema import SCHEMA_FILE, render_schema
from builder.safe_files import write_whole

_PAGES = "docs"  # published with the library's own pages


def hint_line(root: Path, samples: str = "samples") -> str:
    """The line for the sidecars of the library at ``root``."""
    up = "/".join([".."] * (1 + len(Path(samples).parts)))
    return f"# yaml-language-server: $schema={up}/{_place(root)}"


def place_schema(root: Path, samples: str = "samples") -> tuple[str, Path | None]:
    """The line for a sidecar, and the schema's path where it had to be put there first. Where the
    disk refuses there is no line."""
    target = root / _place(root)
    try:
        if target.exists():
            return hint_line(root, samples), None
        write_whole(target, render_schema().encode())
    except OSError:
        return "", None
    return hint_line(root, samples), target


def _place(root: Path) -> str:
    return f"{_PAGES}/{SCHEMA_FILE}" if (root / _PAGES).is_dir() else SCHEMA_FILE
