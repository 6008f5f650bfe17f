"""The sidecar's vocabulary as a JSON Schema, and the two files of the guide made from it.

``python -m builder.read.schema [docs]`` writes both anew.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from builder.read.fields import find_marker, find_record, list_fields
from builder.read.reference import reference_page
from builder.read.sidecar import FIXED_KEYS
from builder.records.kinds import Expected, Vocabulary
from builder.records.piece import Piece
from builder.records.record import Record

SCHEMA_FILE = "sidecar.schema.json"
PAGE_FILE = "sidecar.md"
_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_DATED = ("started", "finished", "sealant", "checks", "zones")


class _WithoutDefaults(GenerateJsonSchema):
    """A fact that is not written is missing, which has no word in JSON."""

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def sidecar_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of one document of a sidecar.

    Values may be typed by YAML or be text; what is inside them is the reader's to check, which
    keeps what it cannot convert.
    """
    schema = Piece.model_json_schema(schema_generator=_WithoutDefaults)
    _describe(Piece, schema)
    for record in sorted(set(_list_records(Piece)), key=lambda model: model.__name__):
        _describe(record, schema["$defs"][record.__name__])
    properties = schema["properties"]
    free = {name: value for name, value in properties.items() if name not in FIXED_KEYS}
    properties["change"] = {
        "type": ["object", "null"],
        "description": properties["change"]["description"],
        "properties": {name: {"$ref": f"#/properties/{name}"} for name in free},
        "additionalProperties": False,
    }
    return {
        "$schema": _DIALECT,
        "title": "A test piece",
        **{key: value for key, value in schema.items() if key not in {"title", "required"}},
        "required": ["piece"],
        "if": {"not": {"required": ["same_as"]}},
        "then": {
            "required": ["metal", "method"],
            "anyOf": [{"required": [name]} for name in _DATED],
        },
    }


def write_reference(docs: Path) -> tuple[Path, Path]:
    """Write the guide's page and the schema into ``docs``; gives both paths. Raises ``OSError``."""
    page, schema = docs / PAGE_FILE, docs / SCHEMA_FILE
    page.write_bytes(reference_page().encode())
    schema.write_bytes(render_schema().encode())
    return page, schema


def render_schema() -> str:
    """The schema as the text of its file."""
    return json.dumps(sidecar_schema(), indent=2, ensure_ascii=False) + "\n"


def _list_records(model: type[Record]) -> Iterator[type[Record]]:
    for info in model.model_fields.values():
        record = find_record(info)
        if record:
            yield record
            yield from _list_records(record)


def _describe(model: type[Record], schema: dict[str, Any]) -> None:
    """Give every property what belongs into it in words, and the trade's words to choose from."""
    schema.pop("title", None)
    for name, info in list_fields(model).items():
        described = schema["properties"][name]
        described.pop("title", None)
        described["description"] = _say_what_belongs(info)
        vocabulary = find_marker(info, Vocabulary)
        if vocabulary:
            described["examples"] = list(vocabulary.words)


def _say_what_belongs(info: FieldInfo) -> str:
    expected = find_marker(info, Expected)
    said = str(info.description)
    return f"{said}: {expected.phrase}, or unknown, or not measured" if expected else said


if __name__ == "__main__":
    for written in write_reference(Path(sys.argv[1] if len(sys.argv) > 1 else "docs")):
        print(f"wrote {written}")
