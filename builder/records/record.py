"""What every record of the sidecar's vocabulary is built on."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from builder.records.facts import Fact

_SPOKEN: dict[frozenset[str], set[str]] = {}


class Record(BaseModel):
    """Frozen, and nothing in it but what the vocabulary knows."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    def model_post_init(self, _: Any) -> None:
        """Which fields were written is the same set for all that wrote the same: a large library
        has ten thousands of them. Nobody writes to it, since the record is frozen."""
        spoken = self.__pydantic_fields_set__
        shared = _SPOKEN.setdefault(frozenset(spoken), spoken)
        object.__setattr__(self, "__pydantic_fields_set__", shared)


def fact_field(description: str, *examples: Any) -> Any:
    """A field for one fact, missing unless written."""
    return Field(default=Fact(), description=description, examples=list(examples))


def part_field(default: Any, description: str, *examples: Any) -> Any:
    """A field for a record or a list, empty unless written."""
    return Field(default=default, description=description, examples=list(examples))
