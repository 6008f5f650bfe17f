"""``file-times.tsv``: when each file of the library was last written to, as a tag file of the bag.

A heading, then a line a file: its path in the bag, written as manifests write paths, a tab, and the
time in UTC to the nanosecond, ``2025-01-14T10:31:07.123456789Z``. A picture's file time can be
evidence of its day, and copying from stick to stick loses it.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping

from builder.archive.names import FIRST_STANDARD, decode_path, encode_path

_HEADING = "path\ttime_utc\n"
_BILLION = 10**9
_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
_TIME = re.compile(r"(\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2})\.(\d{9})Z")


def write_times(times: Mapping[str, int]) -> bytes:
    """The file of ``times``, nanoseconds since 1970 by path."""
    lines = (f"{encode_path(path)}\t{say_time(times[path])}\n" for path in sorted(times))
    return (_HEADING + "".join(lines)).encode("utf-8")


def say_time(nanoseconds: int) -> str:
    seconds, rest = divmod(nanoseconds, _BILLION)
    return f"{_EPOCH + dt.timedelta(seconds=seconds):%Y-%m-%dT%H:%M:%S}.{rest:09d}Z"


def read_times(data: bytes) -> dict[str, int]:
    """Nanoseconds since 1970 by path; lines that are none are passed over."""
    times = {}
    for line in data.decode("utf-8", "replace").split("\n"):
        path, _, written = line.rpartition("\t")
        found = _TIME.fullmatch(written)
        if not path or not found:
            continue
        try:
            whole = dt.datetime.fromisoformat(f"{found[1]}+00:00") - _EPOCH
        except ValueError:
            continue
        seconds = whole.days * 86_400 + whole.seconds
        times[decode_path(path, FIRST_STANDARD)] = seconds * _BILLION + int(found[2])
    return times
