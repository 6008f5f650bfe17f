"""Links and pipes among the maker's own pages, looked at before anyone follows or opens them."""

from __future__ import annotations

import os
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.read.wording import show_name


def refuse_links(root: Path, docs: Path) -> None:
    """Raise ``LibraryError`` where a link in the folder of pages leads outside the library at
    ``root``, or to a folder from which further links lead on, which could go round for ever; and
    where something is no file, which would be waited for as long."""
    home, pages = root.resolve(), docs.resolve()
    problems = []
    for folder, folders, files in os.walk(pages, followlinks=False):
        for name in (*folders, *files):
            path = Path(folder) / name
            if reason := _find_reason(path, home, pages):
                where = show_name(os.path.relpath(path, pages))
                problems.append(
                    Problem(
                        f"{docs.name}/{where}",
                        0,
                        f"this is {reason}",
                        "expected a file or a folder",
                        "put a copy here",
                        Weight.STOPS,
                    )
                )
    if problems:
        raise LibraryError(problems)


def _find_reason(path: Path, home: Path, pages: Path) -> str:
    try:
        real = path.resolve(strict=True)
    except (OSError, RuntimeError):
        return "a link that leads nowhere"
    if not (real.is_file() or real.is_dir()):
        return "no file"
    return (
        f"a link that leads {astray}" if (astray := _find_astray(path, real, home, pages)) else ""
    )


def _find_astray(path: Path, real: Path, home: Path, pages: Path) -> str:
    if not path.is_symlink():
        return ""
    if not (real.is_relative_to(home) or real.is_relative_to(pages)):
        return "outside the library"
    if not real.is_dir():
        return ""
    if real.is_relative_to(pages) or pages.is_relative_to(real):
        return "to a folder that it is in or near"
    onward = (
        Path(folder) / name
        for folder, folders, _ in os.walk(real, followlinks=False)
        for name in folders
    )
    return "to a folder with links to others" if any(map(Path.is_symlink, onward)) else ""
