"""Where the templates and the guide lie: in the source tree, or inside an installed wheel."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).parent


def shipped_folder(name: str) -> Path:
    """The folder ``site_templates`` or ``docs`` that came with this copy of the program."""
    inside = _HERE / "_shipped" / name
    return inside if inside.is_dir() else _HERE.parent / name
