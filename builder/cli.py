"""The commands: ``patinarium start · import · new · check · build · preview · add · record · due ·
find · plan · mark · print · bag · verify · restore``.

Each is loaded when it is asked for: what one of them needs, the others do not wait for.
"""

from __future__ import annotations

import atexit
import gc
import importlib
import os
from collections.abc import Mapping
from types import MappingProxyType

import click

from builder import __version__

# The theme speaks of its own future on standard error at import; a maker need not read it.
os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")

#: Every command, and where it is: the module among ``builder.commands`` and its name there.
COMMANDS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "start": ("starting", "start"),
        "import": ("importing", "import_table"),
        "new": ("importing", "new"),
        "check": ("building", "check"),
        "build": ("build", "build"),
        "preview": ("building", "preview"),
        "add": ("filing", "add"),
        "record": ("filing", "record"),
        "due": ("due", "due"),
        "find": ("finding", "find"),
        "plan": ("planning", "plan"),
        "mark": ("marking", "mark"),
        "print": ("printing", "print_sheets"),
        "bag": ("archive", "bag"),
        "verify": ("archive", "verify"),
        "restore": ("archive", "restore"),
    }
)


class _Commands(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name]
        found: click.Command = getattr(importlib.import_module(f"builder.commands.{module}"), name)
        return found


#: After how many new things, and how many times that, Python looks for what may be cleared up.
_SELDOM = (50_000, 50, 50)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="patinarium")
def cli() -> None:
    """A library of coloured-metal test pieces, from folders of photographs and notes.

    \b
    patinarium start my-library      begin one
    patinarium build my-library      make its site
    patinarium print jig             a sheet to photograph pieces on
    """


def main() -> None:
    """The command's entry point. What a command makes is a great many things that stay until it
    ends: going through them for what may be cleared up, meanwhile and at the end, would take a
    third of its time."""
    gc.set_threshold(*_SELDOM)
    atexit.register(gc.freeze)
    cli(prog_name="patinarium")
