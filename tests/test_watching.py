"""Looking again at each change, without waiting for one."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.errors import Problem, Weight
from builder.watching import concerns, follow, tell_changes

ONE = Problem("samples/A/sample.yaml", 3, "metal is “coper”", "expected a metal", "correct it")
MOVED = Problem("samples/A/sample.yaml", 9, "metal is “coper”", "expected a metal", "correct it")
TWO = Problem("samples/B/sample.yaml", 1, "B has no date", "", "", Weight.LEFT_OUT)


def test_only_what_changed_is_told() -> None:
    assert tell_changes([ONE], [ONE]) == ()
    assert tell_changes([ONE], [MOVED]) == ()
    assert tell_changes([], [TWO]) == (f"{TWO}  [left out]",)
    assert tell_changes([ONE, TWO], [TWO]) == (
        "put right: samples/A/sample.yaml: metal is “coper”",
    )


def test_each_look_is_held_against_the_one_before_it() -> None:
    looks = iter([[ONE], [ONE, TWO], [ONE, TWO], [TWO], []])
    said: list[str] = []
    last = follow(lambda: next(looks), said.append, range(5), [ONE])
    assert last == ()
    assert said == [
        f"{TWO}  [left out]", "2 to put right.",
        "put right: samples/A/sample.yaml: metal is “coper”", "1 to put right.",
        "put right: samples/B/sample.yaml: B has no date", "0 to put right.",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("path", "ours"),
    [
        ("samples/A/sample.yaml", True),
        ("samples/A/IMG_1.jpg", True),
        ("mkdocs.yml", True),
        ("docs/about.md", True),
        (".patinarium/seen.sqlite3", False),
        ("site/index.html", False),
        ("samples/A/.sample.yaml.swp", False),
        ("samples/A/sample.yaml~", False),
        ("samples/A/.sample.yaml.patinarium-part", False),
        ("../elsewhere", False),
        ("", False),
    ],
)
def test_a_look_follows_what_its_maker_saves_and_not_what_is_made(path: str, ours: bool) -> None:
    root = Path("/library")
    assert concerns(root, Path("/elsewhere") if path.startswith("..") else root / path) is ours
