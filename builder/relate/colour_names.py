"""What a colour is called, for those who cannot see it: the systematic names of ISCC–NBS."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_2000
from builder.measure.spaces import chroma, hue_degrees
from builder.records.photo import Lab
from builder.relate.iscc_nbs import CENTROIDS, NEUTRALS


@dataclass(frozen=True)
class Centroid:
    """The middle of one block of colours: its ``number``, 1 to 267, its level 3 ``name``, its
    ``munsell`` notation, and L*a*b* (D65, 2°)."""

    number: int
    name: str
    munsell: str
    lab: Lab


@dataclass(frozen=True)
class Neutral:
    """The block of a grey: its ``number`` and ``name``, the L* it begins at, and its ``reach`` from
    the grey axis, C*ab at twelve hue angles, 0°, 30° … 330°."""

    number: int
    name: str
    from_lightness: float
    reach: tuple[float, ...]


@cache
def list_centroids() -> tuple[Centroid, ...]:
    """The 267 blocks, by number."""
    return tuple(_read(line) for line in CENTROIDS.strip().splitlines())


@cache
def list_neutrals() -> tuple[Neutral, ...]:
    """White, the greys and black, the lightest first."""
    return tuple(_read_neutral(line) for line in NEUTRALS.strip().splitlines())


def name_colours(labs: Sequence[Lab]) -> tuple[str, ...]:
    """Each colour (L*a*b*, D65) in words: a neutral by the block it lies in, "dark grey"; any other
    by the block whose middle is nearest, CIEDE2000: "moderate bluish green".

    The blocks' own borders run along Munsell's hue, value and chroma; close to one, the nearest
    middle may be the neighbour's.
    """
    new = [lab for lab in dict.fromkeys(labs) if lab not in _NAMED]
    _NAMED.update(zip(new, _find_names(new), strict=True))
    return tuple(_NAMED[lab] for lab in labs)


#: Names found before: the same colours are named on several pages.
_NAMED: dict[Lab, str] = {}


def _find_names(labs: Sequence[Lab]) -> tuple[str, ...]:
    if not labs:
        return ()
    colours = np.array(labs, dtype=np.float64)
    apart = delta_e_2000(colours[:, None, :], _middles())
    apart[:, [neutral.number - 1 for neutral in list_neutrals()]] = np.inf
    nearest = apart.argmin(axis=1).tolist()
    return tuple(
        neutral or list_centroids()[place].name
        for neutral, place in zip(_name_neutrals(colours), nearest, strict=True)
    )


def name_colour(lab: Lab) -> str:
    """One colour as :func:`name_colours` names it."""
    return name_colours((lab,))[0]


def find_named(words: str) -> Lab | None:
    """The middle of the block of that name, "greyish" or "grayish"; None where there is none."""
    wanted = " ".join(words.lower().replace("gray", "grey").replace("-", " ").split())
    return next((c.lab for c in list_centroids() if c.name == wanted), None)


def spell_both(name: str) -> str:
    """A name as it is looked for on both sides of the Atlantic: "pale grey pale gray"."""
    other = name.replace("grey", "gray")
    return name if other == name else f"{name} {other}"


def _name_neutrals(labs: Floats) -> list[str]:
    """L*a*b* (n, 3) → the neutral's name of each, "" for what is none."""
    grey, hue = chroma(labs), hue_degrees(labs)
    names = [""] * len(labs)
    for neutral in reversed(list_neutrals()):
        reach = np.interp(hue, np.arange(13) * 30.0, (*neutral.reach, neutral.reach[0]))
        for place in np.flatnonzero(labs[:, 0] >= neutral.from_lightness).tolist():
            names[place] = neutral.name if grey[place] <= reach[place] else ""
    return names


@cache
def _middles() -> Floats:
    return np.array([centroid.lab for centroid in list_centroids()], dtype=np.float64)


def _read(line: str) -> Centroid:
    number, name, munsell, numbers = line.split(" | ")
    L, a, b = (float(value) for value in numbers.split())
    return Centroid(int(number), name, munsell, (L, a, b))


def _read_neutral(line: str) -> Neutral:
    number, name, from_lightness, reach = line.split(" | ")
    return Neutral(int(number), name, float(from_lightness), tuple(map(float, reach.split())))
