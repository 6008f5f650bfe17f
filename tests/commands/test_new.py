"""``patinarium new`` says what must not meet in what it takes over."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from builder.cli import cli
from builder.relate.cautions import FIRST
from tests.collect.test_planned_folders import notes  # noqa: F401

BASE = """piece: KW-12
metal: copper
started: 2025-01-07
outcome: success
ingredients: [household ammonia, thick bleach]
"""


def run(*words: object) -> str:
    result = CliRunner().invoke(cli, [*map(str, words), "--today", "2027-01-01"])
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def test_a_mixture_taken_over_is_told_with_the_rules_that_go_first(notes: Path) -> None:  # noqa: F811
    (notes / "samples" / "KW-12").mkdir()
    (notes / "samples" / "KW-12" / "sample.yaml").write_text(BASE, "utf-8")
    told = run("new", "KW-17", "--like", "KW-12", "--library", notes)
    assert "Before it is begun: Never together. Household ammonia with thick bleach" in told
    assert told.endswith(FIRST)
    checked = run("check", notes)
    assert "samples/KW-17/sample.yaml:3: H1 of the safety table" in checked
    put_right = ("--change", "ingredients=[household ammonia]")
    assert FIRST not in run("new", "KW-18", "--like", "KW-12", *put_right, "--library", notes)
