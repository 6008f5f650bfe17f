"""The templates of `site_templates`, and one strict way to fill them in."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined

from builder.errors import Problem, SiteError, Weight
from builder.publish import words
from builder.publish.ages import say_moment
from builder.publish.before import LOUDNESS_CLASS
from builder.publish.closely import say_sheet
from builder.publish.finishes import say_change, say_lived
from builder.relate.colour_names import name_colour
from builder.shipped import shipped_folder


def templates_folder() -> Path:
    """Where the templates lie. Raises :class:`SiteError` where there are none."""
    folder = shipped_folder("site_templates")
    if (folder / "pages").is_dir():
        return folder
    raise SiteError(
        Problem(
            "site_templates",
            0,
            "the page templates are missing",
            "the templates that come with the program",
            "install patinarium again",
            Weight.STOPS,
        )
    )


def keep_compiled() -> FileSystemBytecodeCache | None:
    """Where compiled templates are kept from one run to the next: a folder of this user's alone in
    the system's place for such things, never in a library, for what lies there is run. None where
    there is no such folder."""
    try:
        return FileSystemBytecodeCache()
    except (RuntimeError, OSError):
        return None


@cache
def open_templates(folder: Path | None = None) -> Environment:
    """An environment in which all text is escaped and a name that is not there is an error. It is
    opened once; a template that was changed since is read again."""
    environment = Environment(
        loader=FileSystemLoader(folder or templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=keep_compiled(),
    )
    environment.filters |= {
        "day": words.say_day,
        "days": words.say_days,
        "moment": say_moment,
        "number": words.say_number,
        "lab": words.say_lab,
        "colour_name": name_colour,
        "share": words.say_share,
        "listed": words.say_list,
        "title_words": words.say_title,
        "fact": words.say_fact,
        "expected": words.say_expected,
        "sheet": say_sheet,
        "lived": say_lived,
        "changed": say_change,
    }
    environment.globals |= {
        "evidence_words": words.EVIDENCE_WORDS,
        "date_words": words.DATE_WORDS,
        "state_words": words.STATE_WORDS,
        "loudness_class": LOUDNESS_CLASS,
    }
    return environment
