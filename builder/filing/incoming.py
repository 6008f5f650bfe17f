"""The pictures among what was handed over, none opened."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.errors import Problem, Weight
from builder.read.picture_files import PICTURE_ENDINGS
from builder.read.wording import show_name


@dataclass(frozen=True)
class Incoming:
    """``photos`` in the order they were named, those of a folder by path. ``passed_over`` counts
    files that are no pictures, ``inside`` those that lie in the library already."""

    photos: tuple[Path, ...]
    problems: tuple[Problem, ...]
    passed_over: int
    inside: int


def list_incoming(named: Sequence[Path], samples: Path) -> Incoming:
    """The pictures of the files and folders ``named``, each once; links to folders are not
    followed, and what lies in ``samples`` is there already."""
    home = Path(os.path.realpath(samples))
    photos: dict[Path, Path] = {}
    problems: list[Problem] = []
    passed_over = inside = 0
    for path, asked_for in _walk(named, problems):
        if path.suffix.lower() not in PICTURE_ENDINGS:
            if asked_for:
                problems.append(_refuse(path, "this is no picture by its name"))
            passed_over += not asked_for
        elif (true := Path(os.path.realpath(path))).is_relative_to(home):
            inside += 1
        else:
            photos.setdefault(true, path)
    return Incoming(tuple(photos.values()), tuple(problems), passed_over, inside)


def _walk(named: Sequence[Path], problems: list[Problem]) -> Iterator[tuple[Path, bool]]:
    """Every file with whether it was itself named."""

    def note(error: OSError) -> None:
        problems.append(_refuse(Path(error.filename), f"cannot be read ({error.strerror})"))

    for path in named:
        try:
            if path.is_dir():
                for folder, inner, files in os.walk(path, onerror=note):
                    inner[:] = sorted(name for name in inner if not name.startswith("."))
                    for name in sorted(files):
                        if not name.startswith("."):
                            yield Path(folder) / name, False
            elif path.exists():
                yield path, True
            else:
                problems.append(_refuse(path, "there is no such file or folder"))
        except (OSError, RuntimeError) as error:  # RuntimeError: a link that leads to itself
            reason = getattr(error, "strerror", "") or "a link leads to itself"
            problems.append(_refuse(path, f"cannot be read ({reason})"))


def _refuse(path: Path, found: str) -> Problem:
    return Problem(
        show_name(path.as_posix()),
        0,
        found,
        f"pictures ({', '.join(sorted(PICTURE_ENDINGS))}) or folders of them",
        "check the name and that you may read it; nothing was copied from it",
        Weight.LEFT_OUT,
    )
