"""What was worked out last, so that it is not worked out again: in a program that stays, and from
one run to the next."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

T = TypeVar("T")


@dataclass(frozen=True)
class Recent:
    """The last answer to each question, and what it was told from. ``held`` is by question; it
    grows with what there is to ask about, not with how often. ``asked``: questions that were, and
    ``changed`` those to which there is another answer than was ``held``."""

    held: dict[Hashable, tuple[Any, Any]] = field(default_factory=dict)
    asked: set[Hashable] = field(default_factory=set)
    changed: set[Hashable] = field(default_factory=set)

    def recall(self, question: Hashable, told: object, work: Callable[[], T]) -> T:
        """What ``work`` gives, or the very answer it gave last where it was ``told`` the same, or
        where it now gives an equal one: what else holds that holds the same."""
        self.asked.add(question)
        last = self.held.get(question)
        if last is not None and last[0] == told:
            return cast(T, last[1])
        answer = work()
        if last is not None and last[1] == answer:
            answer = cast(T, last[1])
        self.keep(question, told, answer)
        return answer

    def find(self, question: Hashable, told: object) -> Any:
        """The last answer, if it was ``told`` the same; else None."""
        self.asked.add(question)
        last = self.held.get(question)
        return last[1] if last is not None and last[0] == told else None

    def keep(self, question: Hashable, told: object, answer: object) -> None:
        """Take an ``answer`` that was found elsewhere."""
        self.asked.add(question)
        self.changed.add(question)
        self.held[question] = (told, answer)

    def mark(self, question: Hashable, told: object) -> str:
        """A word that stands for what the question was ``told``: another whenever that is."""
        return self.recall(question, told, lambda: secrets.token_hex(8))

    def list_changed(self) -> set[Hashable]:
        """Questions whose answers are others than were held, or of no more use."""
        return self.changed | (self.held.keys() - self.list_asked().keys())

    def list_asked(self) -> dict[Hashable, tuple[Any, Any]]:
        """What is held but of things that were asked about, and these not among them. What a
        question is about is its first part."""
        about = {_name_kind(question) for question in self.asked}
        return {
            question: answer
            for question, answer in self.held.items()
            if question in self.asked or _name_kind(question) not in about
        }


def _name_kind(question: Hashable) -> Hashable:
    return question[0] if isinstance(question, tuple) else question
