"""Short ways of writing that a record takes, and how they look in the JSON Schema."""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from builder.records.facts import Fact

_SQUARE = re.compile(r"(?P<side>[^x×*]{1,40}?)\s*\b(?:square|sq\.?)", re.IGNORECASE)
#: A value of one line, however YAML types it.
SCALAR: dict[str, Any] = {"type": ["string", "number", "boolean", "null"]}


class ShortWay(ABC):
    """A short way of writing: ``widen`` gives what the record takes; one plain value serves."""

    @abstractmethod
    def widen(self, value: Any) -> Any: ...

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.widen, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"anyOf": [handler(schema), SCALAR]}


@dataclass(frozen=True)
class PlainAs(ShortWay):
    """``sealant: none`` is short for ``sealant: {kind: none}``: a plain value goes to ``key``."""

    key: str

    def widen(self, value: Any) -> Any:
        if isinstance(value, (dict, BaseModel)):
            return value
        if value is None or value == "":
            return {}
        return {self.key: value}


@dataclass(frozen=True)
class Several(ShortWay):
    """``how: cold`` is short for ``how: [cold]``, ``seen: none`` for an empty list. A list where
    "none" is a thing to say (``prep: none``) sets ``none_is_empty`` false."""

    none_is_empty: bool = True

    def widen(self, value: Any) -> Any:
        if value is None or value == "" or (self.none_is_empty and _is_none(value)):
            return ()
        return value if isinstance(value, (list, tuple)) else (value,)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        listed = handler(schema)
        item = listed.get("items", SCALAR)
        ways = [listed, *item.get("anyOf", [item]), SCALAR]
        return {"anyOf": [way for at, way in enumerate(ways) if way not in ways[:at]]}


@dataclass(frozen=True)
class Sides(ShortWay):
    """``size_mm: 100 x 150 x 0.9`` is short for a list; a unit after the last goes for all;
    ``2" square`` has two sides alike."""

    def widen(self, value: Any) -> Any:
        if isinstance(value, (list, tuple, Fact)) or value is None or value == "":
            return value or ()
        square = _SQUARE.fullmatch(str(value).strip())
        if square:
            return [square["side"], square["side"]]
        sides = [side.strip() for side in re.split(r"[x×*]", str(value))]
        unit = re.search(r"[a-zA-Z\"″”]+$", sides[-1])
        tail = f" {unit[0]}" if unit else ""
        return [side if re.search(r"[a-zA-Z\"″”.]$", side) else side + tail for side in sides]


def _is_none(value: Any) -> bool:
    return isinstance(value, str) and value.strip().casefold() == "none"
