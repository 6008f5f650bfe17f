"""The line that tells an editor of the vocabulary."""

from __future__ import annotations

import json
from pathlib import Path

from builder.read.editor_hints import place_schema
from builder.read.schema import sidecar_schema


def test_the_schema_lies_where_the_line_says(tmp_path: Path) -> None:
    for number, (samples, pages) in enumerate([("samples", True), ("work/pieces", False)]):
        root = tmp_path / str(number)
        (root / samples / "A").mkdir(parents=True)
        if pages:
            (root / "docs").mkdir()
        line, made = place_schema(root, samples)
        place = line.removeprefix("# yaml-language-server: $schema=")
        found = (root / samples / "A" / place).resolve()
        assert made is not None and found == made.resolve()
        assert json.loads(found.read_text(encoding="utf-8")) == sidecar_schema()


def test_a_schema_that_is_there_is_left(tmp_path: Path) -> None:
    (tmp_path / "sidecar.schema.json").write_text("{}", encoding="utf-8")
    line, made = place_schema(tmp_path)
    assert line.endswith("$schema=../../sidecar.schema.json") and made is None
    assert (tmp_path / "sidecar.schema.json").read_text(encoding="utf-8") == "{}"
