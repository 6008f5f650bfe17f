"""Pieces told from photographs alone: by the label in the picture, its folder, or its name; and the
sidecars they begin with."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.library import order_number
from builder.read.sidecar import is_safe_number
from builder.read.wording import fold_number, quote, show_name

#: What cameras and phones call their pictures and folders: it says nothing of a piece.
_CAMERA_NAMES = frozenset(
    {
        "burst", "cimg", "dcim", "dji", "dsc", "dscf", "dscn", "gh", "gopr", "gp", "hpim", "image",
        "img", "imgp", "kic", "mov", "mvimg", "p", "pano", "photo", "pict", "picture", "pxl", "sam",
        "scan", "screenshot", "vid", "wp",
    }
)  # fmt: skip
_CAMERA_FOLDER = re.compile(
    r"dcim|camera(?: roll)?|[0-9]{3}[a-z_]{3,5}|photos?|pictures?|images?|misc|new|inbox|"
    r"[0-9]{4}(?:[-_. ]?[0-9]{2}){0,2}",
    re.IGNORECASE,
)
_NUMBERED = re.compile(
    r"(?P<stem>[A-Za-z]{1,8})(?P<by>[-_ ]?)(?P<figures>[0-9]{1,5})(?![A-Za-z0-9])"
)
_BLANKS = (
    ("metal", "fill in: copper, brass, gilding metal, mild steel, ...; or unknown"),
    ("method", "fill in: fume, dip, soak, bury, spray, brush, torch, ...; or unknown"),
    ("started", "fill in: the day the colouring began"),
)
_MORE = (
    "# Fill in what you know, and leave out the rest:",
    "# surface: abraded 400 grit",
    "# ingredients:",
    "#   - {name: liver of sulphur, amount: 5 g, strength: 5 g/l}",
    "# exposure: 45 s",
    "# sealant: none",
    "# outcome: success",
    "# notes: what you would do next time",
)
_REMARKS_AT = 13


@dataclass(frozen=True)
class Shot:
    """A photograph as it was handed over: what labels in it say, and its camera's day."""

    source: Path
    labels: tuple[str, ...] = ()
    day: dt.date | None = None


@dataclass(frozen=True)
class Begun:
    """A piece to be begun: its number and its photographs."""

    number: str
    shots: tuple[Shot, ...]

    @property
    def days(self) -> tuple[dt.date, ...]:
        """The days it was photographed, by the camera."""
        return tuple(sorted({shot.day for shot in self.shots if shot.day}))


@dataclass
class _Group:
    number: str
    shots: list[Shot] = field(default_factory=list)


def group_shots(shots: Sequence[Shot], home: Path) -> tuple[tuple[Begun, ...], tuple[Problem, ...]]:
    """The pieces the photographs under the folder ``home`` show, and those that show none or two.

    The label goes first; then the folder under ``home``, where it is no camera's; then the number
    at the beginning of the name. Numbers that differ in capitals and leading zeros alone are one.
    """
    groups: dict[str, _Group] = {}
    problems: list[Problem] = []
    for shot in sorted(shots, key=lambda shot: not shot.labels):  # labels spell the numbers
        found = _find_number(shot, home)
        if isinstance(found, Problem):
            problems.append(found)
        else:
            groups.setdefault(fold_number(found), _Group(found)).shots.append(shot)
    begun = [Begun(group.number, tuple(group.shots)) for group in groups.values()]
    return tuple(sorted(begun, key=lambda b: order_number(b.number))), tuple(problems)


def write_begun(begun: Begun, hint: str = "") -> str:
    """The sidecar of a piece begun from photographs: blanks to be filled in, and the days its
    camera wrote as looks at the piece."""
    lines = [hint] if hint else []
    lines.append(f"# Begun from {len(begun.shots)} photographs; the lines to fill in say so.")
    lines.append(f"piece: {begun.number}")
    lines += [f"{key}:".ljust(_REMARKS_AT) + f"# {remark}" for key, remark in _BLANKS]
    lines += _MORE
    if begun.days:
        lines.append("checks:      # the days it was photographed, by the camera")
        lines += [f"  - {{date: {day}, notes: photographed}}" for day in begun.days]
    return "\n".join(lines) + "\n"


def _find_number(shot: Shot, home: Path) -> str | Problem:
    labels = list(dict.fromkeys(_tidy(label) for label in shot.labels))
    written = _read_folder(shot.source, home)
    name = _read_numbered(shot.source.stem)
    said = [number for number in (name, written) if number and _is_numbered(number)]
    if len(labels) > 1:
        return _refuse(shot, f"labels in it say {' and '.join(map(quote, labels))}")
    if labels:
        others = [n for n in said if fold_number(n) != fold_number(labels[0])]
        if others:
            return _refuse(shot, f"its label says {quote(labels[0])}, its name or folder "
                           f"{quote(others[0])}")  # fmt: skip
        if not is_safe_number(labels[0]):
            return _refuse(shot, f"its label says {quote(labels[0])}, which can be no number")
        return labels[0]
    if len({fold_number(number) for number in said}) > 1:
        return _refuse(shot, f"its name says {quote(name)}, its folder {quote(written)}")
    number = written or name
    if not number:
        return _refuse(shot, "nothing tells which piece it shows: no label in it, no number in its "
                       "name, no folder of a piece")  # fmt: skip
    return number


def _read_folder(source: Path, home: Path) -> str:
    """What the innermost folder between ``home`` and a picture says of its piece."""
    try:
        folders = source.parent.relative_to(home).parts
    except ValueError:
        folders = ()
    for folder in reversed(folders):
        if not _CAMERA_FOLDER.fullmatch(folder):
            number = _read_numbered(folder) or _tidy(folder)
            return number if is_safe_number(number) else ""
    return ""


def _read_numbered(text: str) -> str:
    """The number a name begins with, as “SH-012” of “SH-012_wet”; "" for a camera's own."""
    match = _NUMBERED.match(text)
    if match is None or match["stem"].casefold() in _CAMERA_NAMES:
        return ""
    by = "-" if match["by"] == " " else match["by"]
    number = f"{match['stem']}{by}{match['figures']}"
    return number if is_safe_number(number) else ""


def _is_numbered(text: str) -> bool:
    return bool(_NUMBERED.fullmatch(text))


def _tidy(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9._-]+", "-", text.strip()).strip("-.")


def _refuse(shot: Shot, found: str) -> Problem:
    return Problem(
        show_name(shot.source.as_posix()), 0, found, "one piece",
        "it was left; begin the piece and add it: patinarium add", Weight.LEFT_OUT,
    )  # fmt: skip
