"""Answers of long sums, kept from one run to the next: the sums are pure, so the same question has
the same answer. Where they are kept is not for this room to know."""

from __future__ import annotations

from collections.abc import Callable, Mapping, MutableMapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from builder.digests import digest_bytes
from builder.records.photo import Grid
from builder.records.texts import NOTHING_AWAY, fetch_text

T = TypeVar("T")


@dataclass(frozen=True)
class Memory:
    """``held``: answers as JSON by the digest of their question; ``maker`` names the code that
    answers, so that other code does not believe them; ``away``: texts that were put away, by name.
    """

    held: MutableMapping[str, str] = field(default_factory=dict)
    maker: str = ""
    away: Mapping[str, str] = field(default_factory=lambda: NOTHING_AWAY)

    def recall(
        self, asked: tuple[object, ...], answers: TypeAdapter[T], work: Callable[[], T]
    ) -> T:
        """The answer to ``asked``, whose parts are told apart by their ``repr``: the kept one, or
        what ``work`` gives."""
        key = digest_bytes(repr((self.maker, asked)).encode())
        text = self.held.get(key)
        if text is not None:
            try:
                return answers.validate_json(text)
            except ValidationError:
                pass  # a damaged row is answered anew
        answer = work()
        self.held[key] = answers.dump_json(answer).decode()
        return answer

    def fetch_grid(self, grid: Grid) -> Grid:
        """The grid with its squares in their place. Raises ValueError where they are not kept."""
        return replace(grid, packed=fetch_text(grid.packed, self.away))
