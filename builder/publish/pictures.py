"""Pictures as pages show them: which file, how large, what it is in words, and where it is put."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from builder.publish.ages import say_taken
from builder.publish.words import say_days
from builder.records.photo import Box, Observation, WebImage
from builder.relate.colour_names import name_colour
from builder.relate.findings import Look
from builder.safe_files import list_plain

FOLDER = "pictures"
_MAT_WIDTH_TO_HEIGHT = 3 / 4  # as in the style sheet
_MAT_ROOM = 87.0  # %, the rest is mat


@dataclass(frozen=True)
class Shown:
    """One picture on a page. Addresses are relative to the site's root; sizes in pixels. ``whole``
    is the photograph with its jig and card, as large as it is published, for a closer look."""

    src: str
    width: int
    height: int
    alt: str
    whole: str = ""
    whole_width: int = 0
    whole_height: int = 0
    card: str = ""
    card_alt: str = ""
    of_mat: float | None = None  # width on a tile's mat, %, at the library's one scale
    crop: Box | None = None  # the part shown, fractions of the file; width and height are its own

    @property
    def crop_style(self) -> str:
        """How large the file is, and where it lies, seen from the part shown: custom properties."""
        if self.crop is None:
            return ""
        left, top, right, bottom = self.crop
        wide, high = right - left, bottom - top
        parts = {
            "wide": 1 / wide,
            "high": 1 / high,
            "left": -left / wide,
            "top": -top / high,
        }
        return "; ".join(f"--{name}: {100 * value:.3f}%" for name, value in parts.items())


@dataclass(frozen=True)
class Scale:
    """``per_mm``: how much of a tile's mat a millimetre takes, in per cent of its width, so that
    all pieces of known size stand at one scale; None where no size is known."""

    per_mm: float | None

    def width_of(self, seen: Observation) -> float | None:
        """How wide the piece stands on the mat, in per cent."""
        size = seen.picture.view_mm
        return round(size[0] * self.per_mm, 2) if size and self.per_mm else None


def choose_scale(observations: Iterable[Observation]) -> Scale:
    """The largest scale at which every piece fits the mat."""
    sizes = [seen.picture.view_mm for seen in observations if seen.picture.view_mm]
    if not sizes:
        return Scale(None)
    widest = max(width for width, _ in sizes)
    highest = max(height for _, height in sizes)
    return Scale(min(_MAT_ROOM / widest, _MAT_ROOM / _MAT_WIDTH_TO_HEIGHT / highest))


def show_piece(seen: Observation, alt: str, scale: Scale | None = None) -> Shown | None:
    """The piece alone where its place is known, else the whole photograph; None where neither
    could be published."""
    picture = seen.picture
    image = picture.view or _web_of(picture.webs, 480)
    if image is None:
        return None
    of_mat = scale.width_of(seen) if scale and picture.view else None
    return replace(_show(seen, image, alt), of_mat=of_mat)


def cut_to(shown: Shown, box: Box) -> Shown:
    """The part ``box`` of a picture, at the same scale."""
    wide, high = box[2] - box[0], box[3] - box[1]
    return replace(
        shown,
        width=max(1, round(shown.width * wide)),
        height=max(1, round(shown.height * high)),
        of_mat=round(shown.of_mat * wide, 2) if shown.of_mat else None,
        crop=box,
    )


def show_photo(seen: Observation, alt: str) -> Shown | None:
    """The whole photograph, at reading size."""
    image = _web_of(seen.picture.webs, 960)
    return _show(seen, image, alt) if image else None


def _show(seen: Observation, image: WebImage, alt: str) -> Shown:
    largest = seen.picture.webs[-1] if seen.picture.webs else image
    strip = seen.picture.card_strip
    return Shown(
        src=address_of(image),
        width=image.width,
        height=image.height,
        alt=alt,
        whole=address_of(largest),
        whole_width=largest.width,
        whole_height=largest.height,
        card=address_of(strip) if strip else "",
        card_alt=f"reference card in the same photograph: {alt}" if strip else "",
    )


def _web_of(webs: tuple[WebImage, ...], width: int) -> WebImage | None:
    return next((web for web in webs if web.width >= width), webs[-1] if webs else None)


def address_of(image: WebImage) -> str:
    return f"{FOLDER}/{image.name}"


def describe_look(look: Look, words: str) -> str:
    """A picture in words: piece, what it is like, its colour by name, state, age, day."""
    number = look.observation.file.piece
    age = ""
    if look.days_since_sealed is not None:
        age = f"{say_days(look.days_since_sealed)} after sealing"
    elif look.days_since_coloured is not None:
        age = f"{say_days(look.days_since_coloured)} after colouring"
    side = look.observation.file.side
    parts = (
        f"{number}{' ' + look.zone if look.zone else ''}",
        words,
        "" if side == "front" else side,
        f"read as {name_colour(look.colour)}" if look.colour else "",
        str(look.state or ""),
        age,
        say_taken(look),
    )
    return ", ".join(part for part in parts if part)


def list_names(observations: Iterable[Observation]) -> tuple[str, ...]:
    """File names of every picture the site may show, sorted."""
    names = set()
    for seen in observations:
        picture = seen.picture
        extra = (picture.view, picture.card_strip)
        names |= {image.name for image in (*picture.webs, *extra) if image}
    return tuple(sorted(names))


def place_pictures(names: Iterable[str], source: Path, target: Path) -> int:
    """Put named files of ``source`` into ``target``: a hard link where the disk allows, else a
    copy; those already there are left. Gives how many were put. Raises ``OSError``."""
    target.mkdir(parents=True, exist_ok=True)
    there = {put.name for put in target.iterdir()}
    here = list_plain(source) if source.is_dir() else {}
    wanted = [name for name in names if name in here and name not in there]
    for name in wanted:
        put_again(here[name].path, os.path.join(target, name))  # noqa: PTH118  # many at once
    return len(wanted)


def put_again(here: str | Path, there: str | Path) -> None:
    """The same file under another name: a hard link where the disk allows, else a copy of the same
    time. Raises ``OSError``."""
    try:
        os.link(here, there)
    except OSError:  # another disk, or one that knows no hard links
        shutil.copy2(here, there)
