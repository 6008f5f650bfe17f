"""A photograph, from its file to its reading.

Colour is CIE L*a*b*, D65 white, 2° observer, throughout; ``u`` is a ΔE00.
Fractions of a picture run from its left top corner, upright.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

Lab = tuple[float, float, float]
Point = tuple[float, float]  # fractions of the upright picture, left and top
Quad = tuple[Point, Point, Point, Point]  # clockwise from the left top corner
Box = tuple[float, float, float, float]  # fractions: left, top, right, bottom

THUMBNAIL_SIDE = 32  # pixels


class State(StrEnum):
    """What a photograph shows the piece as. Terms: common practice, no source."""

    BARE = "bare"
    CLEANED = "cleaned"
    DURING = "during"
    WET = "wet"
    DRY = "dry"
    BEFORE_SEAL = "before seal"
    AFTER_SEAL = "after seal"
    RECHECK = "recheck"
    EVENT = "event"
    FAILURE_DETAIL = "failure detail"


class Light(StrEnum):
    """Pictures under unlike light are never compared."""

    PLAIN = "plain"
    CROSS_POLARISED = "cross-polarised"
    RAKING = "raking"


class DateFrom(StrEnum):
    """What a photograph's date rests on, strongest first."""

    CAMERA = "camera"  # EXIF original time
    WRITTEN = "written"  # sidecar or file name
    FILE = "file"  # the file's own time: weak
    NOTHING = "nothing"


class StateFrom(StrEnum):
    SIDECAR = "sidecar"
    FILE_NAME = "file name"
    DATES = "dates"  # inferred from the photo's date against the piece's own


class Evidence(StrEnum):
    """What a reading's colour rests on."""

    TARGET = "target"  # twelve or more colour patches
    GREY = "grey"  # grey steps, with or without a few colours
    SHEET = "sheet"  # white paper only
    NONE = "none"


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """One picture file of a piece's folder, and what sidecar and file name say of it.

    ``path`` is relative to the library's folder, with ``/``. ``named_piece`` is the number the
    file name carries ("" where none). ``state`` and ``written`` (its day) are None where neither
    sidecar nor file name tells. ``setup`` names the set-up it was taken on ("" for none).
    ``piece_at``/``card_at`` override the set-up's where given; ``blur``: what is made
    unrecognisable wherever the picture is shown, besides what the set-up names.
    """

    path: str
    piece: str
    attempt: int = 1
    named_piece: str = ""
    written: dt.date | None = None
    state: State | None = None
    state_from: StateFrom | None = None
    side: str = "front"
    light: Light = Light.PLAIN
    setup: str = ""
    piece_at: Quad | None = None
    card_at: Quad | None = None
    caption: str = ""
    blur: tuple[Box, ...] = ()
    line: int = 0  # of its entry in the sidecar, 0 where it has none


@dataclass(frozen=True, slots=True)
class Exif:
    """The facts of the camera that are kept. ``taken`` is local time as the camera wrote it;
    ``offset`` its distance from UTC in minutes where written. Position, serial numbers, names of
    an owner or artist and the maker's own note are noted as present and never kept;
    ``position_in`` says where in the file a position stands."""

    taken: dt.datetime | None = None
    offset: int | None = None
    make: str = ""
    model: str = ""
    lens: str = ""
    exposure: str = ""  # seconds, as written: "1/60"
    aperture: str = ""  # f-number
    iso: str = ""
    white_balance: str = ""
    orientation: int = 1  # EXIF 1 to 8, as found
    position_in: tuple[str, ...] = ()
    has_serial: bool = False
    has_owner: bool = False
    has_makers_note: bool = False

    @property
    def has_position(self) -> bool:
        return bool(self.position_in)


@dataclass(frozen=True)
class Encoding:
    """How 8-bit values of a picture stand for colour.

    ``name``: ``srgb``, ``display-p3``, ``adobe-rgb`` (known by name) or ``profile``; for the last
    ``decode`` holds three tables of 256 linear values in [0, 1] and ``to_xyz`` the 3 × 3 matrix to
    XYZ with D65 white, Y = 1.
    """

    name: str = "srgb"
    decode: tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]] | None = None
    to_xyz: tuple[Lab, Lab, Lab] | None = None


@dataclass(frozen=True, slots=True)
class WebImage:
    """A published picture: ``name`` (content digest and ending) in the site's pictures folder."""

    name: str
    width: int
    height: int
    bytes: int


@dataclass(frozen=True, slots=True)
class Grid:
    """The piece's place in squares of ``mm`` millimetres, ``rows`` by ``columns``: their corrected
    L*a*b* as packed text (see :mod:`builder.measure.grids`), and nothing where it is not piece. The
    text may be put away (see :mod:`builder.records.texts`)."""

    rows: int
    columns: int
    mm: float
    packed: str


@dataclass(frozen=True, slots=True)
class SheetReport:
    """How the jig sheet lay in a photograph.

    ``size`` "A4" or "Letter"; ``number`` of that print; ``marks`` corner marks read, 0 to 4;
    ``mm_per_px``; ``off_mm``: how far the small discs lie, root mean square, from where a flat
    sheet has them; ``uneven_pct``: by how much the light on the white margin differs, lightest
    against darkest, before it is put right, and ``left_pct`` how much of that is left (root mean
    square); ``tint``: ΔE00 between the paper's warmest and coldest side (two kinds of lamp);
    ``blur_mm``: width of an edge. ``rejected``: a sentence why it cannot serve, "" if it does.
    """

    size: str
    number: int
    marks: int
    mm_per_px: float
    off_mm: float
    uneven_pct: float = 0.0
    left_pct: float = 0.0
    tint: float = 0.0
    blur_mm: float = 0.0
    rejected: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """What was seen in one opening of an original.

    ``webs`` are whole-picture sizes, smallest first; ``view`` is the piece alone, upright at the
    library's one scale, and ``view_mm`` the width and height in mm that it shows, None where not
    known; it is corrected by its card where ``view_corrected``; ``card_strip`` the card
    alone, likewise. ``labels`` are the piece numbers read from labels in the frame; ``grid`` the
    piece in small squares; ``thumbnail`` the whole picture in THUMBNAIL_SIDE × THUMBNAIL_SIDE
    greys, packed (see :mod:`builder.measure.thumbnails`) and perhaps put away, "" where there is
    none. ``lettering``: places where words, or codes that are none of ours, can be read in what is
    shown of it. ``notes`` are plain sentences ("colour profile broken: sRGB assumed").
    """

    path: str
    sha256: str
    bytes: int
    format: str
    width: int
    height: int
    exif: Exif
    profile: str
    webs: tuple[WebImage, ...]
    file_day: dt.date
    view: WebImage | None = None
    view_mm: tuple[float, float] | None = None
    view_corrected: bool = False
    card_strip: WebImage | None = None
    labels: tuple[str, ...] = ()
    grid: Grid | None = None
    notes: tuple[str, ...] = ()
    thumbnail: str = ""
    lettering: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True)
class ColourShare:
    """One of the colours seen, and the share of the area it covers, 0 to 1."""

    lab: Lab
    share: float


@dataclass(frozen=True, slots=True)
class CardReport:
    """How the reference card was used. ``error`` is the mean ΔE00 of patches left out of the fit
    one at a time, and ``guessed`` the L*a*b* that each then came to, packed (see
    :mod:`builder.measure.left_out`), which is what two photographs of one card are held together
    by; ``model`` the correction used ("grey steps", ...); ``light`` what the camera made of the
    card's greys: L* 50 in its place, L*a*b* uncorrected; ``rejected`` a sentence, "" if it served;
    ``paper`` the L*a*b* of the white paper round the card, as corrected by it, None where not
    known."""

    kind: str
    error: float | None
    guessed: str = ""
    model: str = ""
    light: Lab | None = None
    rejected: str = ""
    paper: Lab | None = None


#: How a flag begins that makes a reading doubtful.
DOUBTFUL = "Doubtful"


@dataclass(frozen=True, slots=True)
class Reading:
    """The colour of one part of one photograph.

    ``zone`` is "" for the whole piece. ``colours`` are sorted by share, largest first; ``mean`` is
    the area's mean in linear light. ``u`` is the ΔE00 that ninety of a hundred repeat readings of
    an unchanged piece would stay within, and ``u_own`` the part of it that is this photograph's
    alone and not its card's. ``edge`` and ``centre`` are the means of the rim and of the middle,
    None where the piece is not outlined. Percentages 0 to 100. ``flags`` are sentences; those that
    begin with "Doubtful" mark the reading so. ``withheld`` is a sentence where no figure may be
    drawn from it, else "".
    """

    zone: str
    colours: tuple[ColourShare, ...]
    mean: Lab
    u: float
    evidence: Evidence
    mottle: float
    glare_pct: float
    clipped_pct: float
    flags: tuple[str, ...] = ()
    withheld: str = ""
    u_own: float | None = None
    edge: Lab | None = None
    centre: Lab | None = None

    @property
    def doubts(self) -> tuple[str, ...]:
        """The flags that make it doubtful."""
        return tuple(flag for flag in self.flags if flag.startswith(DOUBTFUL))


@dataclass(frozen=True, slots=True)
class Observation:
    """One photograph, all that is known of it."""

    file: PhotoFile
    picture: Picture
    card: CardReport | None = None
    readings: tuple[Reading, ...] = field(default=())
    sheet: SheetReport | None = None
