"""What is wrong with a text that is no YAML, in words of the bench.

The parser's own words differ between its two builds and speak of tokens; only the kind of fault
and its line are taken from it.
"""

from __future__ import annotations

import re

import yaml

_BEGUN_AND_NOT_ENDED = ("quoted scalar", "flow sequence", "flow mapping")
#: Words in the parser's message, what they mean, and what helps; the first that is found is taken.
_MEANINGS: tuple[tuple[str, str, str], ...] = (
    ("quoted scalar", "a quotation mark is opened here and not closed, or a \\ stands before the "
     "wrong sign", "close the quotation mark; in double ones write \\\\ for \\"),
    ("flow sequence", "a list opened with [ is not closed, or a comma is missing",
     "check the commas and the ]"),
    ("flow mapping", "a mapping opened with { is not closed, or a comma is missing",
     "check the commas and the }"),
    ("flow node", "a list or a mapping opened with [ or { is not closed", "close it with ] or }"),
    ("mapping values are not allowed", "a second colon in one line, or a value that should stand "
     "on the line above", "put quotation marks round a value that has “: ” in it"),
    ("could not find expected ':'", "a line without its colon", "write “key: value”"),
    ("cannot start any token", "a value begins with a sign that YAML keeps for itself",
     "put quotation marks round the value"),
    ("alias", "a value begins with *", "put quotation marks round the value"),
    ("anchor", "a value begins with &", "put quotation marks round the value"),
    ("tag", "a value begins with !", "put quotation marks round the value"),
    ("block scalar", "the text after | or > is not set in evenly",
     "set its lines in by two spaces"),
    ("flow level", "nested far too deep", "write it flatter"),
    ("directive", "a line begins with %", "put quotation marks round it"),
    ("document", "something stands where a new document should begin",
     "write --- on a line of its own between two attempts"),
)  # fmt: skip
_OTHERWISE = (
    "the indentation does not fit the lines above",
    "let keys that belong together begin in the same column",
)
_TAB_FIRST = re.compile(r"^\t+[^\s#]")
_TAB_IN_MARGIN = re.compile(r"^ *\t")


def find_tabs(text: str) -> list[int]:
    """Lines (from 1) that begin with a tab and say something."""
    return [
        number for number, line in enumerate(text.split("\n"), start=1) if _TAB_FIRST.match(line)
    ]


def describe_fault(fault: yaml.YAMLError, text: str) -> tuple[int, str, str]:
    """Line, what was found, and how to put it right."""
    problem, context = getattr(fault, "problem_mark", None), getattr(fault, "context_mark", None)
    said = f"{getattr(fault, 'context', '') or ''} {getattr(fault, 'problem', '') or ''}".casefold()
    begun = any(words in said for words in _BEGUN_AND_NOT_ENDED)
    mark = (context if begun else problem) or problem or context
    lines = text.split("\n")
    line = min(mark.line + 1, len(text.rstrip().split("\n"))) if mark else 0
    if line and _TAB_IN_MARGIN.match(lines[line - 1]):
        return line, "a tab in the margin of this line", "replace each tab by two spaces"
    if line and "any token" in said and "\t" in lines[line - 1]:
        return line, "a tab in this line", "replace the tab by a space"
    for words, meaning, remedy in _MEANINGS:
        if words in said:
            return line, meaning, remedy
    return line, *_OTHERWISE
