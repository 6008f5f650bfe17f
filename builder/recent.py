"""What was worked out last, so that it is not worked out again: in a program that stays, and from
one run to the next."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

T = TypeVar("T")


@dataclass(frozen=True)
class Recent:
    """The last answer to each question, and what it was told from. ``held`` is by question; it
    grows with what there is to ask about, not with how often. ``asked``: questions that were."""

    held: dict[Hashable, tuple[Any, Any]] = field(default_factory=dict)
    asked: set[Hashable] = field(default_factory=set)

    def recall(self, question: Hashable, told: object, work: Callable[[], T]) -> T:
        """What ``work`` gives, or the very answer it gave last where it was ``told`` the same."""
        self.asked.add(question)
        last = self.held.get(question)
        if last is not None and last[0] == told:
            return cast(T, last[1])
        answer = work()
        self.keep(question, told, answer)
        return answer

    def keep(self, question: Hashable, told: object, answer: object) -> None:
        """Take an ``answer`` that was found elsewhere."""
        self.held[question] = (told, answer)

    def list_asked(self) -> dict[Hashable, tuple[Any, Any]]:
        """Of what is held, that which was asked for."""
        return {question: self.held[question] for question in self.held if question in self.asked}
