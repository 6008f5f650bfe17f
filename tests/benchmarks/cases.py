"""What is photographed, drawn by chance from a fixed seed.

A group is one piece and two set-ups: three photographs on the first (the third of the piece
changed, by an amount known only once the first two are read) and one on the second.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from builder.measure.difference import delta_e_2000
from builder.records.jig import A4, LETTER, Jig
from tests.benchmarks.cameras import CURVES, Body, responses
from tests.benchmarks.photographs import Shot, Stand
from tests.benchmarks.sheet import SLIP_MM
from tests.benchmarks.spectra import NM, Lab, Lamp, Random, Spectrum, list_lamps, vary_print
from tests.benchmarks.things import Kind, Piece, card_mm, card_surfaces, draw_piece
from tests.benchmarks.views import View

SEED = 20241009
GROUP = 4  # photographs
#: Which reference each of twenty groups in turn has: most have a card, as is asked of makers.
KINDS = (
    *(Kind.TARGET, Kind.GREYS, Kind.TARGET, Kind.NINE, Kind.SHEET) * 2,
    *(Kind.TARGET, Kind.GREYS, Kind.TARGET, Kind.NINE, Kind.NONE) * 2,
)
PRINT_PART = 0.008  # of its reflectance that a card's print is off its list, by and large; invented
_TRIES = 40
_DARKEST_L = 10.0


@dataclass(frozen=True, eq=False)
class Group:
    """``number`` of it; ``stands``: the set-up, and the unlike one; ``shots``: the first three on
    the first set-up, the last on the second; ``way``: a direction in L*a*b*."""

    number: int
    piece: Piece
    stands: tuple[Stand, Stand]
    shots: tuple[Shot, Shot, Shot, Shot]
    way: Lab


def draw_group(number: int) -> Group:
    """The group of that number, the same each time."""
    rng = np.random.default_rng([SEED, number])
    kind = KINDS[number % len(KINDS)]
    piece = draw_piece(rng)
    stands = (_draw_stand(kind, rng), _draw_stand(kind, rng))
    a, b, c = (_draw_shot(stands[0], piece, rng) for _ in range(3))
    way = rng.normal(0, 1, 3)
    L, a_, b_ = (float(v) for v in way / np.linalg.norm(way))
    return Group(number, piece, stands, (a, b, c, _draw_shot(stands[1], piece, rng)), (L, a_, b_))


def change_piece(piece: Piece, way: Lab, by: float) -> Piece:
    """The piece with its main colour moved by the ΔE00 ``by``, along ``way`` or against it."""
    true = np.array(piece.true)
    side = -1.0 if true[0] + 2 * by * way[0] < _DARKEST_L else 1.0
    low, high = 0.0, 40.0 * max(by, 1.0)
    for _ in range(_TRIES):
        middle = (low + high) / 2
        apart = float(delta_e_2000(true, true + side * middle * np.array(way)))
        low, high = (middle, high) if apart < by else (low, middle)
    L, a, b = (float(v) for v in np.array(piece.lab) + side * low * np.array(way))
    return replace(piece, lab=(L, a, b))


def _draw_lamp(rng: Random) -> Lamp:
    """Good and poor ones alike; of the poor, LED lamps as often as tubes."""
    good = [lamp for lamp in list_lamps() if lamp.good]
    led = [lamp for lamp in list_lamps() if not lamp.good and lamp.name.startswith("LED")]
    tubes = [lamp for lamp in list_lamps() if not lamp.good and lamp.name.startswith("FL")]
    pool = good if rng.random() < 0.5 else led if rng.random() < 0.5 else tubes
    return pool[int(rng.integers(len(pool)))]


def _draw_stand(kind: Kind, rng: Random) -> Stand:
    body = Body(
        sensor=int(rng.integers(len(responses()))),
        curve=list(CURVES)[int(rng.integers(len(CURVES)))],
        profile=str(rng.choice(["srgb", "display-p3", "adobe-rgb"], p=[0.5, 0.3, 0.2])),
    )
    surfaces = card_surfaces(kind)
    print_off = vary_print(np.ones_like(surfaces), rng, PRINT_PART)
    return Stand(
        kind=kind,
        jig=LETTER if rng.random() < 0.2 else A4,
        body=body,
        lamp=_draw_lamp(rng),
        paper=_draw_paper(rng),
        bench=_slope(rng.uniform(0.08, 0.4), rng.uniform(-0.2, 0.5)),
        print_off=print_off,
        adapted=float(rng.uniform(0.75, 1.0)),
        flare=float(rng.uniform(0.0, 0.008)),
    )


def _draw_paper(rng: Random) -> Spectrum:
    """Copying paper: white, a little off, dark in the violet. Invented after what is usual."""
    violet = 1 - 0.4 * np.exp(-(NM - 380) / 18)
    return np.asarray(_slope(rng.uniform(0.82, 0.9), rng.normal(0, 0.015)) * violet)


def _slope(level: float, tilt: float) -> Spectrum:
    return np.asarray(level * (1 + tilt * (NM - 555) / 350))


def _draw_shot(stand: Stand, piece: Piece, rng: Random) -> Shot:
    jig = stand.jig
    uneven, part = float(rng.uniform(0.0, 0.25)), float(rng.uniform(0.2, 1.0))
    return Shot(
        view=_draw_view(jig, rng),
        stops=float(rng.uniform(-1.5, 1.5)),
        lean=uneven * part,
        bearing=float(rng.uniform(0, 360)),
        falloff=uneven * (1 - part),
        noise=float(rng.uniform(0.006, 0.025)),
        blur=float(rng.uniform(0.4, 1.1)),
        quality=int(rng.integers(70, 96)),
        tint=np.exp(rng.normal(0, 0.02, 3)) * (1.0, 0.0, 1.0) + (0.0, 1.0, 0.0),
        piece_at=_somewhere(jig.place, _span(piece.shape.size, 3.0), rng),
        piece_turn=float(rng.uniform(-3.0, 3.0)) if not piece.shape.round else 0.0,
        card_at=_somewhere(jig.slot, _span(_size_of_card(stand.kind), 3.0), rng),
        card_turn=float(rng.uniform(-3.0, 3.0)),
        slip_at=(jig.label[0] + float(rng.uniform(1, 20)), jig.label[1] + float(rng.uniform(1, 7))),
        seed=int(rng.integers(1 << 30)),
    )


def _draw_view(jig: Jig, rng: Random) -> View:
    return View(
        jig,
        tilt=float(rng.uniform(0, 20)),
        towards=float(rng.uniform(0, 360)),
        turn=float(rng.normal(0, 4)),
        fill=float(rng.uniform(0.85, 0.95)),
        shift=(float(rng.uniform(-1, 1)), float(rng.uniform(-1, 1))),
        bend=float(rng.uniform(-0.02, 0.02)),
    )


def _size_of_card(kind: Kind) -> tuple[float, float]:
    return card_mm(kind) if kind not in (Kind.SHEET, Kind.NONE) else (1.0, 1.0)


def _span(size: tuple[float, float], degrees: float) -> tuple[float, float]:
    """The box that holds a rectangle turned by so much."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return float(size[0] * c + size[1] * s), float(size[0] * s + size[1] * c)


def _somewhere(
    box: tuple[float, float, float, float], span: tuple[float, float], rng: Random
) -> tuple[float, float]:
    """A middle near the box's own such that what has the ``span`` lies inside it."""
    found = []
    for low, high, side in ((box[0], box[2], span[0]), (box[1], box[3], span[1])):
        room = max(0.0, (high - low - side) / 2)
        found.append((low + high) / 2 + float(rng.uniform(-1, 1)) * min(room, 8.0))
    return found[0], found[1]


def list_groups(photographs: int) -> Iterator[int]:
    """Numbers of as many groups as hold that many photographs."""
    yield from range(-(-photographs // GROUP))


assert SLIP_MM[0] + 21 < A4.label[2] - A4.label[0]
