"""Answers of long sums, kept from one run to the next: the sums are pure, so the same question has
the same answer. Where they are kept is not for this room to know."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping
from dataclasses import dataclass, field
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from builder.digests import digest_bytes

T = TypeVar("T")


@dataclass(frozen=True)
class Memory:
    """``held``: answers as JSON by the digest of their question; ``maker`` names the code that
    answers, so that other code does not believe them."""

    held: MutableMapping[str, str] = field(default_factory=dict)
    maker: str = ""

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
