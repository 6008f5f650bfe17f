"""Photographs in which a piece lies turned, mirrored or on its face, told from its pattern.

A picture turned as a whole is put right by the sheet's marks and looks like any other; this is of
the piece laid otherwise on the sheet. A plain piece cannot tell, and nothing is said of it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from builder.errors import Problem
from builder.measure.turning import Way
from builder.records.photo import Grid, Light, Observation, State
from builder.relate.dating import Dated
from builder.relate.findings import Strand
from builder.relate.memory import Memory
from builder.relate.ways import compare_lie

#: So many of the photographs before are asked in turn: a coat of limewash hides the pattern of one.
ASKED = 2
_METAL = (State.BARE, State.CLEANED)

Shot = tuple[Observation, Dated]


@dataclass(frozen=True)
class Turned:
    """One photograph that does not lie as the one ``against`` it, of the day ``since``. ``way`` is
    None where it looks like a back."""

    observation: Observation
    way: Way | None
    against: Observation
    since: dt.date | None

    @property
    def words(self) -> str:
        """What is the matter, as the end of a sentence."""
        of = f"the photograph of {self.since or 'unknown date'}"
        if self.way is None:
            return f"looks like the back ({of})"
        if self.way is Way.MIRRORED:
            return f"is mirrored against {of}"
        return f"lies {self.way} round from {of}"

    def as_problem(self) -> Problem:
        """What to put right; it names both photographs."""
        return Problem(
            self.observation.file.path,
            0,
            f"{self.words}, {self.against.file.path}",
            "the front, laid the same way in every picture",
            _REMEDIES.get(self.way, _LAY_IT_AS_BEFORE),
        )


_LAY_IT_AS_BEFORE = (
    "lay it as it lay then and photograph it again; until then no change map is drawn between "
    "pictures that lie unlike, and zones are not compared"
)
_REMEDIES = {
    None: "if it is the back, say `side: back` at it under `photos` in its sample.yaml; until then "
    "it is compared with nothing",
    Way.MIRRORED: "put the picture in as the camera took it; until then no change map is drawn "
    "from it, and zones are not compared",
}


def find_turned(
    shots: Sequence[Shot], strays: Container[str], memory: Memory
) -> tuple[Turned, ...]:
    """Those of one attempt's photographs in which it does not lie as in those before them, or which
    show its back; by day. ``strays`` are paths of photographs to be passed over."""
    faces = sorted(
        (
            _Face(observation, dated.taken, grid)
            for observation, dated in shots
            if (grid := observation.picture.grid) is not None
            and observation.file.path not in strays
            and observation.file.state is not State.FAILURE_DETAIL  # a part, not the face
            and observation.file.light is not Light.RAKING  # which makes a pattern of its own
        ),
        key=lambda face: (face.day or dt.date.max, _moment(face.observation), face.path),
    )
    backs = [face for face in faces if face.observation.file.side == "back"]
    upright: list[_Face] = []
    found = []
    for face in faces:
        if face.observation.file.side != "front":
            continue
        turned = _judge(face, upright[-ASKED:][::-1], backs, memory)
        if turned is None:
            upright.append(face)
        else:
            found.append(turned)
    return tuple(found)


def withhold_map(strand: Strand, turned: Mapping[str, Turned]) -> Strand:
    """The strand without its change map where the two pictures lie unlike, with why; ``turned`` by
    path."""
    if strand.change is None:
        return strand
    looks = (strand.change.difference.first, strand.change.difference.second)
    found = [turned.get(look.observation.file.path) for look in looks]
    first, second = (one and one.way for one in found)
    if first == second:
        return strand
    said = " and ".join(
        f"the photograph of {look.taken} {one.words}"
        for look, one in zip(looks, found, strict=True)
        if one is not None
    )
    return replace(strand, change=None, change_withheld=f"No change map: {said}.")


@dataclass(frozen=True, eq=False)
class _Face:
    observation: Observation
    day: dt.date | None
    grid: Grid

    @property
    def path(self) -> str:
        return self.observation.file.path


def _judge(
    face: _Face, upright: Sequence[_Face], backs: Sequence[_Face], memory: Memory
) -> Turned | None:
    for other in upright:
        way = compare_lie(other.grid, face.grid, memory)
        if way is Way.UPRIGHT:
            return None
        if way is not None:
            return Turned(face.observation, way, other.observation, other.day)
    # Both bare faces of a blank bear the grain of one sheet of metal.
    asked = backs if upright and face.observation.file.state not in _METAL else ()
    for back in asked:
        if compare_lie(back.grid, face.grid, memory) not in (None, Way.MIRRORED):
            return Turned(face.observation, None, back.observation, back.day)
    return None


def _moment(observation: Observation) -> dt.datetime:
    taken = observation.picture.exif.taken
    return dt.datetime.max if taken is None else taken.replace(tzinfo=None)
