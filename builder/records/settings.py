"""How a library is set up: the plugin's part of ``mkdocs.yml``, checked."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from builder.errors import Problem
from builder.records.audiences import BUILT_IN, Audience
from builder.records.photo import Box, Lab, Quad
from builder.records.spans import Span

#: Of the pages: nothing but the site's own files, or whatever they ask for.
TIGHT = "tight"
POLICIES = (TIGHT, "none")


@dataclass(frozen=True)
class CardPatch:
    """One patch by row and column (``A1`` is left top, letters are rows); ``row`` and
    ``column`` count from 0; L*a*b*, 2°, for the white its card names."""

    name: str
    row: int
    column: int
    lab: Lab


@dataclass(frozen=True)
class Card:
    """A reference card: its patches on a grid of ``rows`` by ``columns``. ``white`` is the one
    the patches' values are given for, ``D65`` or ``D50``: they are not yet adapted."""

    name: str
    rows: int
    columns: int
    patches: tuple[CardPatch, ...]
    white: str = "D65"


@dataclass(frozen=True)
class SetUp:
    """A stand, named once. ``piece_at``/``card_at`` are corners in the upright picture;
    ``read_at`` the part of the piece's place that is measured; ``piece_mm`` its width and height.
    ``sheet``: the size of the jig sheet under the piece ("A4", "Letter"), "" for none, and
    ``sheet_number`` the one print it must be, None for any; ``card_mm``: width and height of the
    card's grid of patches, for finding it in the sheet's slot. ``blur``: parts of the upright
    picture that are made unrecognisable wherever it is shown.
    """

    name: str
    piece_at: Quad | None = None
    card_at: Quad | None = None
    card: Card | None = None
    read_at: Box = (0.08, 0.08, 0.92, 0.92)
    piece_mm: tuple[float, float] | None = None
    light: str = "plain"
    sheet: str = ""
    sheet_number: int | None = None
    card_mm: tuple[float, float] | None = None
    blur: tuple[Box, ...] = ()


@dataclass(frozen=True)
class Limits:
    """What a stranger's files may cost: pixels and bytes of one picture; bytes of one note, its
    values with repeats written out, how deep they nest, characters of one; pieces of a library,
    photographs of one piece."""

    pixels: int = 120_000_000
    picture_bytes: int = 200_000_000
    sidecar_bytes: int = 1_000_000
    sidecar_values: int = 10_000
    sidecar_depth: int = 20
    text_characters: int = 20_000
    pieces: int = 20_000
    photos: int = 1_000


@dataclass(frozen=True)
class Tolerances:
    """How far two numbers may lie apart and still be the same: absolute, or per cent of the greater
    one. Common practice, no source; kitchen measures are no better."""

    temperature_c: float = 2.0
    humidity_pct: float = 10.0
    thickness_mm: float = 0.05
    time_pct: float = 5.0
    amount_pct: float = 5.0


@dataclass(frozen=True)
class Price:
    """What one ``unit`` of a thing costs, in the maker's own money: ``cm2``, ``g``, ``ml``,
    ``coat``, or ``plate`` for what goes for each plate."""

    name: str
    each: float
    unit: str


@dataclass(frozen=True)
class Settings:
    """``threshold`` is the visible change in ΔE00 and ``threshold_source`` who says so.
    ``problems`` are those of the settings that do not stop the run (a card that cannot be used).
    ``rechecks``: when a piece is looked at again, counted from the day its watch opens, rising;
    then yearly. ``rechecks_heat``: heat colours also then. Both: common practice, no source.
    ``tolerances``: which numbers of two records are the same. ``prices``: for reckoning what a
    plate costs. ``audiences``: those a site can be made for. ``policy``: one of ``POLICIES``,
    what the pages may load and run.
    """

    title: str = "Patinarium"
    samples: str = "samples"
    invented: str = ""  # a sentence shown on every page of a made-up library
    default_setup: str = ""
    setups: tuple[SetUp, ...] = ()
    threshold: float = 2.3
    threshold_source: str = (
        "just noticeable difference of 2.3, Mahy, Van Eycken and Oosterlinck 1994, "
        "Color Research and Application 19(2):105-121; given there for ΔE*ab"
    )
    web_widths: tuple[int, ...] = (480, 960, 1600)
    view_width: int = 500  # pixels that show 100 mm; the whole width where the size is unknown
    rechecks: tuple[Span, ...] = (
        Span(days=1),
        Span(days=7),
        Span(months=1),
        Span(months=3),
        Span(months=6),
        Span(months=12),
    )
    rechecks_heat: tuple[Span, ...] = (Span(days=3), Span(days=7))
    tolerances: Tolerances = Tolerances()
    prices: tuple[Price, ...] = ()
    audiences: tuple[Audience, ...] = BUILT_IN
    today: dt.date | None = None
    limits: Limits = field(default_factory=Limits)
    policy: str = TIGHT
    problems: tuple[Problem, ...] = ()

    def setup_named(self, name: str) -> SetUp | None:
        return next((setup for setup in self.setups if setup.name == name), None)

    def audience_named(self, name: str) -> Audience | None:
        return next((one for one in self.audiences if one.name == name), None)
