"""Links among the maker's own pages, looked at before anyone follows them."""

from __future__ import annotations

import os
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.read.wording import show_name


def refuse_links(root: Path, docs: Path) -> None:
    """Raise ``LibraryError`` where a link in the folder of pages leads outside the library at
    ``root``, or to a folder from which further links lead on, which could go round for ever."""
    home, pages = root.resolve(), docs.resolve()
    problems = []
    for folder, folders, files in os.walk(pages, followlinks=False):
        for name in (*folders, *files):
            path = Path(folder) / name
            if path.is_symlink() and (reason := _find_reason(path, home, pages)):
                where = show_name(os.path.relpath(path, pages))
                problems.append(
                    Problem(
                        f"{docs.name}/{where}",
                        0,
                        f"this is a link that leads {reason}",
                        "expected a file or a folder",
                        "put a copy here",
                        Weight.STOPS,
                    )
                )
    if problems:
        raise LibraryError(problems)


def _find_reason(link: Path, home: Path, pages: Path) -> str:
    try:
        real = link.resolve(strict=True)
    except (OSError, RuntimeError):
        return "nowhere"
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
