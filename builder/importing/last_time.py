"""What a table said of each piece when it was last imported: ``imports/NAME.last.json``.

Made and read by the program alone; a corrected table is held against it. Without it every sidecar
counts as its maker's.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from builder.importing.mapping import name_of
from builder.importing.merging import Said
from builder.importing.tables import refuse
from builder.read.leaves import Value
from builder.records.library import IMPORTS

_MOST_BYTES = 100_000_000


def last_file(root: Path, table: str) -> Path:
    """Where it lies in the library at ``root``."""
    return root / IMPORTS / f"{name_of(table)}.last.json"


def write_last(pieces: Mapping[str, Said]) -> str:
    """What the table says of each piece, by number, as the text of the file."""
    plain = {
        number: {
            "says": [
                [list(path), list(value) if isinstance(value, tuple) else value]
                for path, value in said.leaves.items()
            ],
            "notes": [list(note) for note in said.notes.items()],
        }
        for number, said in sorted(pieces.items())
    }
    return json.dumps({"pieces": plain}, ensure_ascii=False, indent=1) + "\n"


def read_last(file: Path) -> dict[str, Said]:
    """What was said last time; nothing where there is no such file. Raises ``TableError``."""
    try:
        if not file.exists():
            return {}
        if file.stat().st_size > _MOST_BYTES:
            raise ValueError("too large")
        tree = json.loads(file.read_text(encoding="utf-8"))
        return {str(number): _read(piece) for number, piece in tree["pieces"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise refuse(
            f"{IMPORTS}/{file.name}", "it cannot be read", "the file as the last import left it",
            "bring it back from a copy, or delete it: then nothing of a sidecar that is there is "
            "changed by the table",
        ) from None  # fmt: skip


def _read(piece: Mapping[str, Any]) -> Said:
    leaves: dict[tuple[str, ...], Value] = {}
    for path, value in piece["says"]:
        if not path or not all(isinstance(step, str) for step in path):
            raise ValueError
        leaves[tuple(path)] = tuple(map(str, value)) if isinstance(value, list) else str(value)
    return Said(leaves, {str(heading): str(text) for heading, text in piece["notes"]})
