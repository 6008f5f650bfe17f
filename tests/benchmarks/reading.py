"""A photograph read as a library's is: written as a file and opened by ``builder.observing``."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from builder.kept import Seen
from builder.look.opening import open_original
from builder.measure.difference import delta_e_2000
from builder.observing.places import find_places
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.records.photo import DateFrom, Evidence, Observation, PhotoFile, Reading, State
from builder.records.settings import Settings, SetUp
from builder.relate.findings import Look
from tests.benchmarks.photographs import Shot, Stand, encode, take
from tests.benchmarks.spectra import Lab
from tests.benchmarks.things import GRIDS, Kind, Piece, card_of, corners_of, grid_mm, patches_mm

_DAY = dt.date(2024, 10, 9)
#: The part of a marked piece that is read, for a rectangle's box and for a disc's.
_OF_PLATE = (0.08, 0.08, 0.92, 0.92)
_OF_DISC = (0.2, 0.2, 0.8, 0.8)
SETTINGS = Settings(web_widths=(160,), view_width=60)


@dataclass(frozen=True, eq=False)
class Case:
    """One photograph: what was drawn, and what was read. ``edge_mm``: how far the piece's outline
    lies from the true one on average, None where it was not checked."""

    name: str
    piece: Piece
    stand: Stand
    shot: Shot
    seen: Seen
    edge_mm: float | None = None

    @property
    def reading(self) -> Reading | None:
        return self.seen.readings[0] if self.seen.readings else None

    @property
    def read(self) -> Lab | None:
        reading = self.reading
        return reading.colours[0].lab if reading is not None and reading.colours else None

    @property
    def error(self) -> float | None:
        """ΔE00 from the truth, None where nothing was read."""
        return None if self.read is None else float(delta_e_2000(self.read, self.piece.true))

    @property
    def refused(self) -> str:
        """Why no figure is drawn from it, "" where one is."""
        if self.reading is None:
            return self.seen.problem.found if self.seen.problem else "nothing was read"
        card = self.seen.card
        if card is not None and card.rejected:
            return card.rejected
        if self.reading.withheld:
            return self.reading.withheld
        return "" if self.read else "no colour was found"

    @property
    def doubts(self) -> tuple[str, ...]:
        return tuple(f for f in (self.reading.flags if self.reading else ())
                     if f.startswith("Doubtful"))  # fmt: skip

    def look(self) -> Look | None:
        """The look that findings are drawn from, None where none may."""
        if self.reading is None or self.read is None or self.refused or self.seen.picture is None:
            return None
        if self.reading.evidence in (Evidence.NONE, Evidence.SHEET):
            return None
        file = PhotoFile(self.name, "SH-001", setup=self.name.split("-")[1])
        return Look(
            observation=Observation(file, self.seen.picture, self.seen.card, self.seen.readings),
            zone="",
            taken=_DAY,
            taken_from=DateFrom.WRITTEN,
            state=State.RECHECK,
            state_from=None,
            days_since_coloured=None,
            days_since_sealed=None,
            reading=self.reading,
            colour=self.read,
            share=None,
        )


def photograph(
    name: str,
    piece: Piece,
    stand: Stand,
    shot: Shot,
    folder: Path,
    marked: bool = False,
    check_edge: bool = False,
) -> Case:
    """Take the photograph and read it, in ``folder``. ``marked``: by hand-marked corners, and not
    by finding the sheet. ``check_edge``: look at the outline as well."""
    path = f"{name}.jpg"
    data = encode(take(stand, shot, piece, "SH-001"), stand.body, shot.quality)
    (folder / path).write_bytes(data)
    setup = _marked(piece, stand, shot) if marked or stand.kind is Kind.NONE else _found(stand)
    task = Task(folder, folder / "pictures", PhotoFile(path, "SH-001"), setup, (), SETTINGS)
    seen = see(task)
    edge = _measure_edge(task, piece, shot) if check_edge and setup.sheet else None
    (folder / path).unlink()
    return Case(name, piece, stand, shot, seen, edge)


def _measure_edge(task: Task, piece: Piece, shot: Shot) -> float | None:
    """The area that is inside one outline and outside the other, over the true one's length, mm;
    None where none was found."""
    places = find_places(task, open_original(task.root, task.photo.path, task.settings.limits))
    found = places.laid.piece if places.laid else None
    if found is None:
        return None
    true = piece.shape.outline(shot.piece_at, shot.piece_turn)
    drawn = Image.new("L", found.mask.shape[::-1], 0)
    points = (true - found.origin_mm) * found.px_per_mm - 0.5
    ImageDraw.Draw(drawn).polygon([(float(x), float(y)) for x, y in points], fill=1)
    wrong = float((found.mask != (np.asarray(drawn) > 0)).sum()) / found.px_per_mm**2
    length = float(np.linalg.norm(np.roll(true, -1, axis=0) - true, axis=1).sum())
    return wrong / length


def _marked(piece: Piece, stand: Stand, shot: Shot) -> SetUp:
    """Corners as a maker marks them, without a slip of the hand."""
    size, card = piece.shape.size, card_of(stand.kind)
    return SetUp(
        name="",
        piece_at=shot.view.quad(corners_of(size, shot.piece_at, shot.piece_turn)),
        card_at=None
        if card is None
        else shot.view.quad(corners_of(grid_mm(stand.kind), shot.card_at, shot.card_turn)),
        card=card,
        read_at=_OF_DISC if piece.shape.round else _OF_PLATE,
        piece_mm=size,
    )


def _found(stand: Stand) -> SetUp:
    return SetUp(
        name="",
        card=card_of(stand.kind),
        card_mm=patches_mm(stand.kind) if stand.kind in GRIDS else None,
        sheet=stand.jig.name,
    )
