"""What lies in the folders that are watched, told by size and time."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping

from builder.kept import Stamp

#: Files by their path.
Lying = Mapping[str, Stamp]


def look_over(places: Iterable[str]) -> Lying:
    """Every file in the ``places``, which are files or folders; hidden ones and what an editor puts
    aside (``sample.yaml~``) are passed over."""
    return {path: Stamp(status.st_size, status.st_mtime_ns) for path, status in _walk(places)}


def list_changed(before: Lying, now: Lying) -> frozenset[str]:
    """Files that came, went, or are not as they were."""
    return frozenset(
        path for path in before.keys() | now.keys() if before.get(path) != now.get(path)
    )


def _walk(places: Iterable[str]) -> Iterator[tuple[str, os.stat_result]]:
    folders = []
    for place in places:
        if os.path.isdir(place):  # noqa: PTH112  # a thousand paths a second: no objects for them
            folders.append(place)
        else:
            yield from _stat(place)
    while folders:
        try:
            with os.scandir(folders.pop()) as entries:
                found = [one for one in entries if not one.name.startswith(".")]
        except OSError:
            continue  # gone since it was listed
        for one in found:
            if one.is_dir(follow_symlinks=False):
                folders.append(one.path)
            elif not one.name.endswith("~"):
                yield from _stat(one.path)


def _stat(path: str) -> Iterator[tuple[str, os.stat_result]]:
    try:
        yield path, os.stat(path)  # noqa: PTH116
    except OSError:
        return
