"""What the ledger keeps of an original beside its digest: when it was taken, as what it came."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from builder.records.photo import Picture
from builder.relate.findings import Look


def list_facts(picture: Picture, look: Look | None, file: Path) -> dict[str, str]:
    """Facts by name, those that are known: the piece's own, the camera's, the file's.

    ``file`` is the original itself, for its time: evidence of the day where there is no other.
    """
    facts = {"piece": "", **say_as_what(look)}
    if look is not None:
        entry = look.observation.file
        facts["piece"] = entry.piece
        facts["attempt"] = str(entry.attempt) if entry.attempt != 1 else ""
    facts |= {
        "camera_time": _say_camera_time(picture),
        "camera": " ".join(part for part in (picture.exif.make, picture.exif.model) if part),
        "file_time": _say_file_time(file),
    }
    return {name: value for name, value in facts.items() if value}


def say_as_what(look: Look | None) -> Mapping[str, str]:
    """The day and the state it counts as, and what each rests on; "" where not known."""
    if look is None:
        return {}
    return {
        "day": f"{look.taken}" if look.taken else "",
        "day_from": str(look.taken_from.value),
        "state": str(look.state.value) if look.state else "",
        "state_from": str(look.state_from.value) if look.state and look.state_from else "",
    }


def _say_camera_time(picture: Picture) -> str:
    taken, offset = picture.exif.taken, picture.exif.offset
    if taken is None:
        return ""
    zone = None if offset is None else dt.timezone(dt.timedelta(minutes=offset))
    return taken.replace(tzinfo=zone).isoformat()


def _say_file_time(file: Path) -> str:
    moment = dt.datetime.fromtimestamp(file.stat().st_mtime, tz=dt.UTC)
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")
