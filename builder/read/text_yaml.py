"""YAML in which every value stays the text it was written as.

YAML's own typing would turn ``3:1`` into 181, ``19:30`` into 1170, ``012`` into 10, ``on`` into
true and ``0000`` into 0. Here the events of the parser are put together by this module alone:
nothing is resolved, no tag is followed, and no stranger's file costs more than its caps.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from builder.errors import Problem, SidecarError, Weight
from builder.read.lines import Lines, Location
from builder.read.wording import quote
from builder.read.yaml_faults import describe_fault, find_tabs

# The same events either way; the C parser, where it was built, is some ten times as fast.
_Parser: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

#: MkDocs follows such tags; only names in the theme and its extensions are usual there.
_RUNS_CODE = re.compile(r"tag:yaml\.org,2002:python/(?!name:(?:materialx?|pymdownx)\.[\w.]+\Z)")


@dataclass(frozen=True)
class Caps:
    """What a file may cost: values and characters after aliases are written out, depth of nesting,
    and characters of one value."""

    nodes: int = 10_000
    depth: int = 20
    value: int = 20_000
    characters: int = 1_000_000


@dataclass(frozen=True)
class Document:
    """One document: a tree of dict, list and str, and the line each place in it stands on."""

    tree: dict[str, Any]
    lines: Lines
    line: int


def read_text_yaml(
    text: str,
    file: str,
    caps: Caps = Caps(),
    spell_key: Callable[[str], str] = str,
    strict: bool = True,
) -> tuple[Document, ...]:
    """The documents of ``text`` that hold anything, each a mapping; ``spell_key`` gives every key
    its usual spelling.

    ``strict`` refuses tags and double keys; without it (for a file that other programs share)
    tags are passed over and the last of double keys holds, but for tags by which those programs
    would run whatever a stranger names.
    Raises ``SidecarError`` with every problem found.
    """
    composer = _Composer(text, file, caps, spell_key, strict)
    tabs = find_tabs(text)
    try:
        if tabs and strict:
            raise composer.refuse(tabs[0], *describe_tabs(tabs))
        documents = tuple(composer.compose())
    except yaml.YAMLError as fault:
        line, found, remedy = describe_fault(fault, text)
        raise composer.refuse(line, found, "expected YAML", remedy) from None
    if not documents and not composer.problems:
        raise composer.refuse(
            0,
            "there is nothing in this file",
            "expected lines such as “metal: copper”",
            "write the piece down, or delete the file",
        )
    if composer.problems:
        raise SidecarError(composer.problems)
    return documents


def describe_tabs(tabs: list[int]) -> tuple[str, str, str]:
    """What is said of lines that begin with a tab."""
    others = f", and {len(tabs) - 1} more" if len(tabs) > 1 else ""
    return (
        f"this line begins with a tab{others}",
        "expected spaces",
        "replace each tab by two spaces",
    )


@dataclass
class _Anchor:
    value: Any
    nodes: int
    characters: int
    depth: int


@dataclass
class _Composer:
    """Puts the parser's events of one text together; its state lives for that text only."""

    text: str
    file: str
    caps: Caps
    spell_key: Callable[[str], str]
    strict: bool
    problems: list[Problem] = field(default_factory=list)
    anchors: dict[str, _Anchor | None] = field(default_factory=dict)
    lines: dict[Location, int] = field(default_factory=dict)
    nodes: int = 0
    characters: int = 0
    deepest: int = 0

    def refuse(self, line: int, found: str, expected: str, remedy: str) -> SidecarError:
        """The file's end: this problem after those already found."""
        self.note(line, found, expected, remedy)
        return SidecarError(self.problems)

    def note(self, line: int, found: str, expected: str, remedy: str) -> None:
        self.problems.append(Problem(self.file, line, found, expected, remedy, Weight.LEFT_OUT))

    def compose(self) -> Iterator[Document]:
        events: Iterator[Any] = iter(yaml.parse(self.text, Loader=_Parser))
        for event in events:
            if not isinstance(event, yaml.DocumentStartEvent):
                continue
            self.anchors, self.lines = {}, {}
            root: Any = next(events)
            line = root.start_mark.line + 1
            tree = self._build(root, events, (), 1)
            if tree == "" and isinstance(root, yaml.ScalarEvent):
                continue
            if not isinstance(tree, dict):
                self.note(
                    line,
                    f"this is {'a list' if isinstance(tree, list) else 'plain text'}",
                    "expected lines of the form “key: value”",
                    "begin with “piece:” and the number",
                )
                continue
            yield Document(tree, {**self.lines, (): line}, line)

    def _build(self, event: Any, events: Iterator[Any], at: Location, depth: int) -> Any:
        line = event.start_mark.line + 1
        self.lines[at] = self.lines.get(at, line)
        if depth > self.caps.depth:
            raise self.refuse(
                line,
                f"nested more than {self.caps.depth} deep",
                "expected a few levels",
                "write it flatter",
            )
        self.deepest = max(self.deepest, depth)
        if isinstance(event, yaml.AliasEvent):
            return self._repeat(event, line, depth)
        self._count(1, 0, line)
        if event.tag is not None and self.strict:
            self.note(
                line,
                f"a YAML tag, {quote(event.tag)}",
                "expected plain text",
                "delete the tag; put quotation marks round text that begins with “!”",
            )
        elif event.tag is not None and _RUNS_CODE.match(event.tag):
            self.note(
                line,
                f"{quote(event.tag)} would run a program",
                "expected settings",
                "delete it, unless you know what it does; it is not followed here",
            )
        before, deepest = (self.nodes, self.characters), self.deepest
        self.deepest = depth
        if event.anchor:
            self.anchors[event.anchor] = None  # open: not to be repeated inside itself
        if isinstance(event, yaml.ScalarEvent):
            value: Any = self._read_scalar(event.value, line)
        elif isinstance(event, yaml.SequenceStartEvent):
            value = self._build_list(events, at, depth)
        else:
            value = self._build_mapping(events, at, depth)
        if event.anchor:
            size, length = self.nodes - before[0] + 1, self.characters - before[1]
            self.anchors[event.anchor] = _Anchor(value, size, length, self.deepest - depth)
        self.deepest = max(self.deepest, deepest)
        return value

    def _read_scalar(self, text: str, line: int) -> str:
        if len(text) > self.caps.value:
            raise self.refuse(
                line,
                f"a text of {len(text)} characters",
                f"expected at most {self.caps.value} in one place",
                "move long notes elsewhere, or raise text_characters under limits in mkdocs.yml",
            )
        if any("\ud800" <= sign <= "\udfff" for sign in text):
            self.note(
                line,
                "half a sign, written as its code",
                "expected plain text",
                "write the sign itself",
            )
        self._count(0, len(text), line)
        return text

    def _build_list(self, events: Iterator[Any], at: Location, depth: int) -> list[Any]:
        items: list[Any] = []
        for event in events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            empty = isinstance(event, yaml.ScalarEvent) and not event.value and event.implicit[0]
            if not empty:  # a dash with nothing after it
                items.append(self._build(event, events, (*at, len(items)), depth + 1))
        return items

    def _build_mapping(self, events: Iterator[Any], at: Location, depth: int) -> dict[str, Any]:
        mapping: dict[str, Any] = {}
        for event in events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            line = event.start_mark.line + 1
            key = self._read_key(event, events, at, depth)
            place = (*at, key)
            first = self.lines.get(place) if key in mapping else None
            if first is None or not self.strict:
                self.lines[place] = line
                mapping[key] = self._build(next(events), events, place, depth + 1)
            else:
                self.note(
                    line,
                    f"{quote(event.value)} is written on line {first} already",
                    "expected each key once",
                    "keep one of the two",
                )
                self._build(next(events), events, (*place, "(again)"), depth + 1)
        return mapping

    def _read_key(self, event: Any, events: Iterator[Any], at: Location, depth: int) -> str:
        line = event.start_mark.line + 1
        if isinstance(event, yaml.ScalarEvent):
            if event.value == "<<" and self.strict:
                self.note(
                    line,
                    "“<<” joins mappings",
                    "expected plain keys",
                    "use same_as and change instead",
                )
            return self.spell_key(str(self._build(event, events, (*at, "(key)"), depth)))
        if self.strict or isinstance(event, yaml.AliasEvent):
            raise self.refuse(
                line,
                "a key that is not plain text",
                "expected a word and a colon",
                "put quotation marks round text that begins with [, {, * or &",
            )
        return str(self._build(event, events, (*at, "(key)"), depth))

    def _repeat(self, event: Any, line: int, depth: int) -> Any:
        name = quote(f"*{event.anchor}")
        if event.anchor not in self.anchors:
            raise self.refuse(
                line,
                f"{name} repeats something that was never named",
                "expected text",
                "put quotation marks round text that begins with *",
            )
        anchor = self.anchors[event.anchor]
        if anchor is None:
            raise self.refuse(
                line, f"{name} repeats what it stands in", "expected text", "write it out"
            )
        self._count(anchor.nodes, anchor.characters, line)
        if depth + anchor.depth > self.caps.depth:
            raise self.refuse(
                line,
                f"nested more than {self.caps.depth} deep",
                "expected a few levels",
                "write it flatter",
            )
        self.deepest = max(self.deepest, depth + anchor.depth)
        return anchor.value

    def _count(self, nodes: int, characters: int, line: int) -> None:
        self.nodes += nodes
        self.characters += characters
        for count, most, what in (
            (self.nodes, self.caps.nodes, "values"),
            (self.characters, self.caps.characters, "characters"),
        ):
            if count > most:
                raise self.refuse(
                    line,
                    f"more than {most} {what}, repeats written out",
                    "expected one piece",
                    "split it, or write out the repeats (* and &)",
                )
