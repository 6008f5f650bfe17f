"""The same picture saved again: smaller, lighter, cropped a little, without the camera's facts.

Two photographs of one piece on one sheet look alike by nature. What sets them apart from one
exposure saved twice is how little is left when the one thumbnail is fitted to the other (the misfit
of :mod:`builder.measure.thumbnails`), and what camera and names say of when they were taken.

Measured on the 228 photographs of the demo and seven copies of each: re-encoded at quality 60, at
half the size, 10 % darker, at a screen's size, all at most 0.013; 10 % lighter, its paper burnt out
by it, at most 0.057; no two photographs taken by hand nearer than 0.159. Cropped by 1.5 % at each
side or 3 % at two sides, at most 0.025 once fitted; others at least 0.048. On a fixed stand (the
demo's SH-004 and SH-014 drawn again under one camera that never moved) photographs of two days
come as near as 0.030, and 0.013 once cropping is allowed for: hence the strict limit, and no
cropping, where something says that they are two. To run it again::

    python -m tests.benchmarks.copies
    python -m tests.benchmarks.copies --stand SH-004 SH-014
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import numpy as np

from builder.measure.arrays import Floats
from builder.measure.thumbnails import describe, misfit_cropped, misfit_whole, read_thumbnail
from builder.records.photo import Observation, Picture
from builder.records.texts import NOTHING_AWAY, fetch_text

# Geometric means of the worst copy and the nearest other, as measured (see above).
ALIKE = 0.095
ALIKE_CROPPED = 0.035
#: Where camera, name or notes call them two: a copy needs to be as good as this.
ALIKE_THOUGH_TOLD_APART = 0.019
# An uncropped copy's traits lie within 0.027 of the original's; the demo's spread over 0.3 or more.
_TRAITS_WITHIN = 0.03
# A copy is read on its own, so a crop does not matter: L*a*b* to half a unit, sides to a cell.
_LAB_WITHIN = 1.0
_SIDES_WITHIN = 2.0
_KEYED = 3  # so many traits, those that vary most, choose the boxes that are looked through
_MOST_VARIED = (2, 8, 13)

Camera = tuple[str, str, object]
_Box = tuple[int, ...]


def find_copies(
    observations: Sequence[Observation], away: Mapping[str, str] = NOTHING_AWAY
) -> tuple[tuple[Observation, Observation], ...]:
    """Pairs of one exposure in two files whose bytes differ, in order of path; ``away`` are texts
    that were put away, by name."""
    told = [_camera_of(observation) for observation in observations]
    index = _Index(observations if None in told else (), away)
    by_camera = defaultdict(list)
    for observation, camera in zip(observations, told, strict=True):
        if camera is not None:
            by_camera[camera].append(observation)
    pairs = set()
    for observation, camera in zip(observations, told, strict=True):
        near = index.near(observation) if camera is None else by_camera[camera]
        for other in near:
            one, two = sorted((observation, other), key=lambda o: o.file.path)
            pairs.add((one.file.path, two.file.path))
    by_path = {observation.file.path: observation for observation in observations}
    asked = ((by_path[one], by_path[two]) for one, two in sorted(pairs) if one != two)
    return tuple((one, two) for one, two in asked if is_copy(one, two, away))


def find_copies_of(
    new: Observation, observations: Sequence[Observation], away: Mapping[str, str] = NOTHING_AWAY
) -> tuple[Observation, ...]:
    """Those of ``observations`` that are the same exposure as the ``new`` one in other bytes;
    ``away`` as for :func:`find_copies`."""
    camera = _camera_of(new)
    others = [o for o in observations if _camera_of(o) in (None, camera) or camera is None]
    near = {o.file.path for o in _Index(others, away).near(new)} if others else set()
    return tuple(
        other
        for other in others
        if (other.file.path in near or (camera and _camera_of(other) == camera))
        and is_copy(new, other, away)
    )


def is_copy(
    first: Observation, second: Observation, away: Mapping[str, str] = NOTHING_AWAY
) -> bool:
    """Whether two photographs are one exposure in two files."""
    one, two = first.picture, second.picture
    if one.sha256 == two.sha256 or not (one.thumbnail and two.thumbnail):
        return False
    cameras = _camera_of(first), _camera_of(second)
    if None not in cameras and cameras[0] != cameras[1]:
        return False
    thumbnails = _thumbnail_of(one, away), _thumbnail_of(two, away)
    misfit = misfit_whole(*thumbnails)
    if None in cameras and _are_told_apart(first, second):
        return misfit <= ALIKE_THOUGH_TOLD_APART
    if misfit <= ALIKE:
        return True
    return any(
        misfit_cropped(*ordered) <= ALIKE_CROPPED for ordered in (thumbnails, thumbnails[::-1])
    )


def _thumbnail_of(picture: Picture, away: Mapping[str, str]) -> Floats:
    return read_thumbnail(fetch_text(picture.thumbnail, away))


def _camera_of(observation: Observation) -> Camera | None:
    """Which camera took it at what second; None where it does not say."""
    exif = observation.picture.exif
    if exif.taken is None or not (exif.make or exif.model):
        return None
    return exif.make, exif.model, exif.taken


def _are_told_apart(first: Observation, second: Observation) -> bool:
    """Whether camera, name or notes say that the two are not one: another day, state, side or
    light."""
    one, two = first.file, second.file
    if one.side != two.side or one.light != two.light:
        return True
    told = (
        (one.state, two.state),
        (_day_of(first), _day_of(second)),
        (first.picture.exif.taken, second.picture.exif.taken),
    )
    return any(None not in pair and pair[0] != pair[1] for pair in told)


def _day_of(observation: Observation) -> object:
    taken = observation.picture.exif.taken
    return observation.file.written if taken is None else taken.date()


class _Index:
    """Photographs by what a copy has in common with its original, so that only a few have to be
    looked at: the folder, the traits of the whole picture, and the reading of the piece."""

    def __init__(self, observations: Sequence[Observation], away: Mapping[str, str]) -> None:
        self._away = away
        self._by_box: dict[tuple[str, _Box], list[tuple[Observation, tuple[float, ...]]]] = (
            defaultdict(list)
        )
        self._by_piece = defaultdict(list)
        for observation in observations:
            if not observation.picture.thumbnail:
                continue
            self._by_piece[observation.file.piece].append(observation)
            for kind, values in _place(observation, self._away):
                self._by_box[kind, _box(values)].append((observation, values))

    def near(self, observation: Observation) -> Iterator[Observation]:
        """What may be a copy of it or its original, some more than once."""
        yield from self._by_piece[observation.file.piece]
        if not observation.picture.thumbnail:
            return
        for kind, values in _place(observation, self._away):
            middle = _box(values)
            for step in product((-1, 0, 1), repeat=_KEYED):
                box = tuple(at + by for at, by in zip(middle, step, strict=True))
                for other, others in self._by_box.get((kind, box), ()):
                    if max(abs(a - b) for a, b in zip(values, others, strict=True)) <= 1:
                        yield other


def _place(
    observation: Observation, away: Mapping[str, str]
) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Where a photograph stands among others, in units that a copy stays within, the most telling
    three first."""
    traits = describe(_thumbnail_of(observation.picture, away)) / _TRAITS_WITHIN
    if np.isfinite(traits).all():
        rest = np.delete(traits, _MOST_VARIED)
        yield "whole", tuple(float(trait) for trait in (*traits[list(_MOST_VARIED)], *rest))
    grid = observation.picture.grid
    if grid is not None and observation.readings:
        lab = observation.readings[0].mean
        sides = (grid.rows / _SIDES_WITHIN, grid.columns / _SIDES_WITHIN)
        yield "piece", (*(value / _LAB_WITHIN for value in lab), *sides)


def _box(values: tuple[float, ...]) -> _Box:
    return tuple(math.floor(value) for value in values[:_KEYED])
