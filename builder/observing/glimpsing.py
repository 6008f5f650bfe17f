"""A first look at a photograph that is not filed yet: what the camera wrote, and what the label in
the frame says. Nothing is measured."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.errors import PictureError, Problem
from builder.look.codes import read_codes, read_labels
from builder.look.opening import Opened, open_original
from builder.look.thumbnails import shrink
from builder.measure.thumbnails import pack_thumbnail
from builder.records.photo import Picture, WebImage
from builder.records.settings import Limits


@dataclass(frozen=True)
class Glimpse:
    """What a first look at ``source`` gave; ``problem`` alone where it cannot be opened."""

    source: Path
    picture: Picture | None
    problem: Problem | None = None


def glimpse(wanted: tuple[Path, Limits]) -> Glimpse:
    """Open the picture at the path, once; small enough to hand to another process and back."""
    source, limits = wanted
    try:
        opened = open_original(source.parent, source.name, limits)
    except PictureError as error:
        return Glimpse(source, None, error.problems[0])
    return Glimpse(
        source, describe_picture(opened, (), read_labels(read_codes(opened.picture, opened.small)))
    )


def describe_picture(
    opened: Opened, webs: tuple[WebImage, ...], labels: tuple[str, ...]
) -> Picture:
    """What one opening gave, without its pixels."""
    return Picture(
        path=opened.path,
        sha256=opened.sha256,
        bytes=opened.bytes,
        format=opened.format,
        width=opened.width,
        height=opened.height,
        exif=opened.exif,
        profile=opened.profile,
        webs=webs,
        file_day=opened.file_day,
        labels=labels,
        notes=opened.notes,
        thumbnail=pack_thumbnail(shrink(opened.small)),
    )
