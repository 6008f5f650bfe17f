"""Options that the commands of ``patinarium print`` share, and how they keep what is made."""

from __future__ import annotations

from pathlib import Path

import click

from builder.records.jig import A4, JIGS, Jig
from builder.sheets.printing import FORMATS, PrintFile, keep_files

EXACTLY = "Print at 100 %, not “fit to page”."

paper_option = click.option(
    "--size",
    type=click.Choice([jig.name for jig in JIGS], case_sensitive=False),
    default=A4.name,
    show_default=True,
    help="Size of the paper.",
)
format_option = click.option(
    "--format",
    "kind",
    type=click.Choice([*FORMATS, "both"], case_sensitive=False),
    default="pdf",
    show_default=True,
    help="What to write.",
)
folder_option = click.option(
    "--out",
    default=".",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="Where to write it; this folder if left out.",
)


def choose_paper(size: str) -> Jig:
    return next(jig for jig in JIGS if jig.name == size)


def choose_formats(kind: str) -> tuple[str, ...]:
    return FORMATS if kind == "both" else (kind,)


def keep(folder: Path, files: tuple[PrintFile, ...]) -> None:
    """Write ``files`` into ``folder`` and say where they are. Raises ``PrintError``."""
    for path, new in keep_files(folder, files):
        click.echo(f"made {path}" if new else f"{path} is here already, the very same")
