"""What was worked out last, within one process, so that a program that stays does it once."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

T = TypeVar("T")


@dataclass(frozen=True)
class Recent:
    """The last answer to each question, and what it was told from. ``held`` is by question; it
    grows with what there is to ask about, not with how often."""

    held: dict[Hashable, tuple[Any, Any]] = field(default_factory=dict)

    def recall(self, question: Hashable, told: object, work: Callable[[], T]) -> T:
        """What ``work`` gives, or the very answer it gave last where it was ``told`` the same."""
        last = self.held.get(question)
        if last is not None and last[0] == told:
            return cast(T, last[1])
        answer = work()
        self.keep(question, told, answer)
        return answer

    def keep(self, question: Hashable, told: object, answer: object) -> None:
        """Take an ``answer`` that was found elsewhere."""
        self.held[question] = (told, answer)
