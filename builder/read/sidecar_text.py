"""A new sidecar as the text of its file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from builder.read.fields import find_key, list_fields
from builder.read.text_edits import STEP, write_flow
from builder.records.piece import Piece

_IN_LINES = ("prep", "ingredients", "checks", "photos")  # an item a line, as makers read them


def write_sidecar_text(tree: Mapping[str, Any], head: Sequence[str] = ()) -> str:
    """The text of a sidecar that says ``tree``: mappings, lists and text by their keys, in their
    order; ``head`` are remarks before it, each a line."""
    lines = [*head]
    for key, value in tree.items():
        info = list_fields(Piece).get(key)
        short = find_key(info) if info else ""
        if isinstance(value, Mapping) and list(value) == [short]:
            value = value[short]  # `sealant: none`
        if value == "":
            lines.append(f"{key}:")
        elif key in _IN_LINES and isinstance(value, (list, tuple)) and value:
            lines.append(f"{key}:")
            lines += [f"{' ' * STEP}- {write_flow(item)}" for item in value]
        else:
            lines.append(f"{key}: {write_block(value, 0)}")
    return "\n".join(lines) + "\n"


def write_block(value: Any, column: int) -> str:
    """A value as it stands after a key at ``column``: on one line, but text of several lines below
    it, line by line."""
    if not isinstance(value, str) or "\n" not in value or not _stands_as_lines(value):
        return write_flow(value)
    margin = " " * (column + STEP)
    return "|-\n" + "\n".join(margin + line if line else "" for line in value.split("\n"))


def _stands_as_lines(text: str) -> bool:
    lines = text.split("\n")
    printable = all(line.isprintable() and line == line.rstrip() for line in lines)
    return printable and bool(lines[0]) and not lines[0].startswith(" ") and bool(lines[-1])
