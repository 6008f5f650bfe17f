"""Which piece an incoming picture shows: by the label in it, else by its name, else asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.photo_names import Numbering, read_photo_name
from builder.read.wording import find_nearest, quote, show_name
from builder.records.photo import Picture

#: Asks which of the candidates (any known number may be answered) a picture shows; "" to leave it.
Ask = Callable[[str, Sequence[str]], str]


class Because(StrEnum):
    """What the piece of a picture was told by, strongest first."""

    ASKED = "as you said"
    TABLE = "by the file named in the table"
    LABEL = "by the label in the picture"
    NAME = "by its file name"
    FOLDER = "by the name of its folder"
    DAY = "by its day alone, which is one piece's"


@dataclass(frozen=True)
class Match:
    """The ``piece`` a picture shows and what tells it; "" and a ``problem`` where nothing does."""

    piece: str
    because: Because | None = None
    problem: Problem | None = None


def match_piece(
    source: Path, picture: Picture, told: str, numbering: Numbering, ask: Ask | None
) -> Match:
    """The piece of one picture. ``told``: the number given with the command, "" for none.

    Where label, name and command do not agree it is a mix-up until somebody says which is right;
    without ``ask`` the picture is left. The name of its folder counts where its own says nothing.
    """
    known = numbering.numbers
    told = _spell(told, numbering)
    labels = tuple(dict.fromkeys(_spell(label, numbering) for label in picture.labels))
    own = _spell(read_photo_name(source.name, numbering).number, numbering)
    own = own or numbering.begin(source.stem)
    name = own or numbering.begin(source.parent.name)
    candidates = tuple(dict.fromkeys(c for c in (*labels, told, name) if c))
    if len(candidates) == 1 and candidates[0].casefold() in known:
        by_name = Because.NAME if own else Because.FOLDER
        by = Because.ASKED if told else Because.LABEL if labels else by_name
        return Match(candidates[0], by)
    problem = _say_unclear(source, labels, name, told, known)
    answer = ask(f"{problem.file}: {problem.found}", candidates) if ask else ""
    return Match(_spell(answer, numbering), Because.ASKED) if answer else Match("", problem=problem)


def _spell(number: str, numbering: Numbering) -> str:
    """The number as the library writes it, where it is one of its own."""
    return numbering.spell(number) or number.strip()


def _say_unclear(
    source: Path, labels: Sequence[str], name: str, told: str, known: Mapping[str, str]
) -> Problem:
    said = [f"the label in the picture says {quote(label)}" for label in labels]
    said += [f"its name or folder says {quote(name)}"] if name else []
    said += [f"you say {quote(told)}"] if told else []
    unknown = [c for c in (*labels, told, name) if c and c.casefold() not in known]
    if not said:
        found = "nothing tells which piece it shows: no label in the picture, none in its name"
        remedy = "say which with --piece NUMBER, or write the number before its name"
    elif unknown:
        found = f"{', '.join(said)}; there is no piece {quote(unknown[0])}"
        near = "" if labels else find_nearest(unknown[0], known.values())
        meant = f"did you mean {near}? Say --piece {near}; or " if near else ""
        remedy = f"{meant}begin the piece first: a folder with its sample.yaml"
    else:
        found = ", ".join(said)
        remedy = (
            "see which piece it shows, and put it into the folder of that piece, or photograph it "
            "again with its own label"
        )
    return Problem(
        show_name(source.as_posix()),
        0,
        found,
        "one piece of this library",
        f"{remedy}; it was not filed",
        Weight.LEFT_OUT,
    )
