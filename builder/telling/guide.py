"""The tables of the guide's page on audiences, made from the rules themselves.

``python -m builder.telling.guide`` writes them into it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from builder.records.audiences import FIELDS, PAGES, THINGS, Rule

PAGE = Path("docs") / "audiences.md"
BEGIN, END = "<!-- made from the rules -->", "<!-- to here -->"
_ORDER = (Rule.CLIENTS, Rule.READ, Rule.AGE, Rule.STUDENTS, Rule.PRIVATE, Rule.NOBODY)
_SAID = {
    Rule.CLIENTS: "everyone, clients too",
    Rule.READ: "clients, where it is one of the guide’s own words or a number; students as written",
    Rule.AGE: "clients as an age (*91 days after colouring*); students as the day",
    Rule.STUDENTS: "students",
    Rule.PRIVATE: "you alone",
    Rule.NOBODY: "nobody: never kept",
}


def rules_tables() -> str:
    """Markdown: what each audience is shown of a sidecar, of what else there is, and of pages."""
    fields = [
        f"| {_SAID[rule]} | {_list(FIELDS, rule)} |" for rule in _ORDER if rule in FIELDS.values()
    ]
    things = [
        f"| `{name}` | {words} | {_SAID[rule]} |"
        for wanted in _ORDER
        for name, (rule, words) in THINGS.items()
        if rule is wanted
    ]
    pages = [
        f"| {_SAID[rule]} | {_list(PAGES, rule)} |" for rule in _ORDER if rule in PAGES.values()
    ]
    return "\n".join(
        [
            *("| who sees it | keys of a sidecar |", "| --- | --- |", *fields, ""),
            *("| what | that is | who sees it |", "| --- | --- | --- |", *things, ""),
            *("| who sees it | pages |", "| --- | --- |", *pages),
        ]
    )


def _list(rules: Mapping[str, Rule], wanted: Rule) -> str:
    return ", ".join(f"`{name}`" for name, rule in rules.items() if rule is wanted)


def put_tables(page: str) -> str:
    """The guide's page with the tables in their place."""
    head, _, rest = page.partition(BEGIN)
    return f"{head}{BEGIN}\n\n{rules_tables()}\n\n{END}{rest.partition(END)[2]}"


if __name__ == "__main__":
    PAGE.write_text(put_tables(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
