"""Opening an original: once, and everything that is wanted taken from that one reading."""

from __future__ import annotations

import datetime as dt
import stat
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path, PurePosixPath

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.digests import digest_bytes
from builder.errors import PictureError, Problem, Weight
from builder.look.decoding import Decoded, TooManyPixelsError, decode
from builder.look.exif import read_exif
from builder.look.formats import ENDINGS, describe_stranger, fits_ending, tell_format
from builder.look.heic_boxes import turned_by_container
from builder.look.profiles import UnreadablePixelsError, settle_colour
from builder.look.upright import LYING, turn_upright
from builder.records.photo import Encoding, Exif
from builder.records.settings import Limits

_KINDS = "a JPEG, HEIC, PNG, TIFF or WebP picture"
_AGAIN = "copy it again from the camera, or take it out of the folder"
_MILLION = 1_000_000
_STEP = 8
#: Pixels of the longer side that things are looked for at: a sheet that fills the frame has six to
#: a millimetre there, and lies to a hundredth of one.
_ENOUGH = 2000


@dataclass(frozen=True, eq=False)
class Opened:
    """What one opening of an original gave.

    ``path`` is relative to the library's folder; ``bytes`` its size; ``picture`` the upright RGB
    picture in ``encoding``, not to be changed; ``profile`` the encoding in words; ``file_day`` the
    day of the file's own time, UTC; ``notes`` plain sentences.
    """

    path: str
    sha256: str
    bytes: int
    format: str
    exif: Exif
    encoding: Encoding
    profile: str
    picture: Image.Image = field(repr=False)
    file_day: dt.date
    notes: tuple[str, ...] = ()

    @property
    def width(self) -> int:
        return self.picture.width

    @property
    def height(self) -> int:
        return self.picture.height

    @cached_property
    def rgb(self) -> NDArray[np.uint8]:
        """All its pixels (height, width, 3), 8-bit: dear to ask for where it is large."""
        return np.asarray(self.picture)

    @cached_property
    def times(self) -> int:
        """How many of its pixels, each way, one of :attr:`small` stands for; 1 where it is small
        itself."""
        return max(1, round(max(self.picture.size) / _ENOUGH))

    @cached_property
    def small(self) -> Image.Image:
        """The picture as things are looked for in it and shown of it, each pixel the mean, as
        encoded, of a square: not to be measured."""
        return self.picture.reduce(self.times) if self.times > 1 else self.picture

    @cached_property
    def small_rgb(self) -> NDArray[np.uint8]:
        """The pixels of :attr:`small`, (h, w, 3), 8-bit."""
        return np.asarray(self.small) if self.times > 1 else self.rgb

    def showing(self, rgb: NDArray[np.uint8]) -> Opened:
        """The same with other pixels (height, width, 3)."""
        return replace(self, picture=Image.fromarray(rgb))

    @property
    def is_colourless(self) -> bool:
        """Whether it is black and white: every eighth pixel is a grey, and they are not all one."""
        some = self.small_rgb[::_STEP, ::_STEP]
        greys = np.all(some == some[..., :1])
        return bool(greys and np.ptp(some) > 0)


def open_original(root: Path, relative: str, limits: Limits) -> Opened:
    """Open the picture at ``relative`` (with ``/``) in the library's folder ``root``.

    Raises :class:`PictureError` where it cannot be used, saying why and what to do.
    """
    if PurePosixPath(relative).is_absolute() or ".." in PurePosixPath(relative).parts:
        raise _refuse(
            relative,
            "the name leads out of the library's folder",
            "a picture inside it",
            "move the picture into the piece's folder",
        )
    try:
        data, file_day = read_bytes(root / relative, limits.picture_bytes)
    except FileNotFoundError:
        raise _refuse(
            relative, "there is no such file", "a picture", "put it back, or correct the name"
        ) from None
    except _TooManyBytesError as error:
        raise _refuse(
            relative,
            f"the file has {error.size / _MILLION:.0f} MB",
            f"at most {limits.picture_bytes / _MILLION:.0f} MB",
            "save it smaller, or raise the limit in the settings",
        ) from None
    except OSError as error:
        raise _refuse(
            relative,
            f"the file cannot be read ({error.strerror or 'no reason given'})",
            "a picture",
            "see to its permissions and to the disk",
        ) from None
    return _see(relative, data, file_day, limits)


class _TooManyBytesError(Exception):
    def __init__(self, size: int) -> None:
        self.size = size
        super().__init__(size)


def read_bytes(path: Path, most: int) -> tuple[bytes, dt.date]:
    """The file's bytes and the UTC day of its own time: the only place an original is opened.

    Raises ``OSError``, also for what is no plain file, and refuses more than ``most`` bytes.
    """
    if not stat.S_ISREG(path.stat().st_mode):  # before opening: a pipe would wait for ever
        raise OSError(0, "it is no plain file")
    with path.open("rb") as stream:
        data = stream.read(most + 1)
        if len(data) > most:
            raise _TooManyBytesError(path.stat().st_size)
    return data, dt.datetime.fromtimestamp(path.stat().st_mtime, tz=dt.UTC).date()


def _see(relative: str, data: bytes, file_day: dt.date, limits: Limits) -> Opened:
    kind = tell_format(data)
    if not data:
        raise _refuse(relative, "the file is empty (0 bytes)", _KINDS, _AGAIN)
    if kind is None:
        raise _refuse(
            relative,
            f"the file is {describe_stranger(data)}",
            _KINDS,
            "save it as JPEG, or take it out of the folder",
        )
    decoded = _decode(relative, kind, data, limits)
    facts = read_exif(decoded.exif_block, data, decoded.xmp)
    try:
        settled = settle_colour(
            decoded.image, decoded.icc, decoded.coded_space, adobe_rgb=facts.adobe_rgb
        )
    except UnreadablePixelsError as error:
        raise _refuse(relative, str(error), _KINDS, "save it as an 8-bit picture") from None
    except Exception:  # a palette or a mask that points beyond its end
        raise _damaged(relative, kind) from None
    turn = facts.exif.orientation if kind in LYING else 1
    return Opened(
        path=relative,
        sha256=digest_bytes(data),
        bytes=len(data),
        format=kind,
        exif=facts.exif,
        encoding=settled.encoding,
        profile=settled.words,
        picture=turn_upright(settled.picture, turn),
        file_day=file_day,
        notes=(
            *_notes_of(relative, kind, data, decoded, facts.exif),
            *facts.notes,
            *settled.notes,
        ),
    )


def _decode(relative: str, kind: str, data: bytes, limits: Limits) -> Decoded:
    try:
        return decode(kind, data, limits.pixels)
    except TooManyPixelsError as error:
        raise _refuse(
            relative,
            f"the picture is {error.size[0]} × {error.size[1]} pixels",
            f"at most {limits.pixels / _MILLION:.0f} million pixels",
            "save it smaller, or raise the limit in the settings",
        ) from None
    except Exception:  # a stranger's file can break its decoder in any way
        raise _damaged(relative, kind) from None


def _notes_of(
    relative: str, kind: str, data: bytes, decoded: Decoded, exif: Exif
) -> tuple[str, ...]:
    notes: list[str] = []
    if not fits_ending(relative, kind):
        ending = PurePosixPath(relative).suffix
        usual = ENDINGS[kind][0]
        notes.append(f"named {ending} but a {kind} picture: {usual} would fit")
    if decoded.frames > 1:
        notes.append("the file holds more than one picture: only the first is used")
    if decoded.bits > 8:
        notes.append(f"{decoded.bits} bits a channel: read at 8")
    if kind == "HEIC" and exif.orientation != 1 and not turned_by_container(data):
        notes.append("EXIF says it was turned, its container does not: shown as the container says")
    return tuple(notes)


def _damaged(relative: str, kind: str) -> PictureError:
    return _refuse(
        relative,
        f"the picture is damaged or breaks off before its end ({kind})",
        "a whole picture",
        _AGAIN,
    )


def _refuse(relative: str, found: str, expected: str, remedy: str) -> PictureError:
    return PictureError(Problem(relative, 0, found, expected, remedy, Weight.LEFT_OUT))
