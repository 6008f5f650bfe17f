"""The guide says what is now true: every setting, command and link of it."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from builder.cli import COMMANDS, cli
from builder.read.settings import SETTINGS_KEYS, TOLERANCE_KEYS
from builder.read.setups import SETUP_KEYS

ROOT = Path(__file__).parents[2]
PAGES = sorted((ROOT / "docs").glob("*.md"))
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("key", [*SETTINGS_KEYS, *TOLERANCE_KEYS, *SETUP_KEYS])
def test_every_setting_is_documented(key: str) -> None:
    assert f"| `{key}` |" in (ROOT / "docs" / "settings.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_is_in_the_readme(command: str) -> None:
    assert f"patinarium {command}" in README


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_shows_an_example(command: str) -> None:
    found = cli.get_command(click.Context(cli), command)
    assert found and "Example: patinarium " + command in (found.help or "")


@pytest.mark.parametrize(
    "page", [*PAGES, ROOT / "README.md", ROOT / "DEVELOPERS.md"], ids=lambda p: p.name
)
def test_every_link_to_a_file_leads_somewhere(page: Path) -> None:
    made = {"safety.md", "how-we-measure.md", "glossary.md", "data.md"}  # pages the build makes
    for target in re.findall(r"\]\(([^)#]+)", page.read_text(encoding="utf-8")):
        if "://" not in target and target not in made:
            assert (page.parent / target).exists(), f"{page.name} links to {target}"
