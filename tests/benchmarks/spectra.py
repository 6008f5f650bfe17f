"""Spectra of lamps and surfaces, and what the eye makes of them.

A spectrum is (71,) at ``NM``. Measured ones are those held by colour-science; the rest say so.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from tests.reference import colour

Spectrum = NDArray[np.float64]
Floats = NDArray[np.float64]
Random = np.random.Generator
Lab = tuple[float, float, float]

NM = np.arange(380.0, 731.0, 5.0)
_STEPS = colour.SpectralShape(380, 780, 5)
#: From here on a lamp is said to render colours well: common practice, no source.
GOOD_RENDERING = 90.0
_GLOWING_K = (2700.0, 3000.0, 3400.0)
_DAYLIGHT_K = (4000.0, 5000.0, 5500.0, 6500.0)
_LED = tuple(f"LED-{kind}" for kind in ("B1", "B2", "B3", "B4", "B5", "BH1", "RGB1", "V1", "V2"))
_FLUORESCENT = tuple(f"FL{number}" for number in range(1, 13))
_COMPONENTS = 12  # of the spread of measured surfaces; the rest is the noise of measuring them
_STEPS_OF_NEWTON = 12
_DARKEST = 0.004  # least reflectance of a made-up surface: black velvet's; from memory
#: How much of the measured surfaces' spread a made-up one is given, tried from the first on until
#: its reflectance is possible at every wavelength.
_SPREADS = (0.35, 0.25, 0.15, 0.08, 0.0)


@dataclass(frozen=True, eq=False)
class Lamp:
    """``rendering``: its general colour rendering index, CIE 13.3; ``kelvin``: its correlated
    colour temperature."""

    name: str
    power: Spectrum
    rendering: float
    kelvin: float

    @property
    def good(self) -> bool:
        return self.rendering >= GOOD_RENDERING


def on_grid(sd: colour.SpectralDistribution) -> Spectrum:
    """Interpolated straight to ``NM``, with its end values beyond its ends."""
    return np.asarray(np.interp(NM, sd.wavelengths, sd.values), dtype=np.float64)


@cache
def list_lamps() -> tuple[Lamp, ...]:
    """Lamps of about 2700 to 6500 K. Sources, by colour-science: Planck's law; the CIE D series;
    the CIE illuminants LED-B1 to LED-V2 and FL1 to FL12 (CIE 15:2018)."""
    found = [(f"glowing {k:.0f} K", colour.sd_blackbody(k, _STEPS)) for k in _GLOWING_K]
    for kelvin in _DAYLIGHT_K:
        xy = colour.temperature.CCT_to_xy_CIE_D(kelvin * 1.4388 / 1.4380)  # CIE 15, 4.1.1
        daylight = colour.sd_CIE_illuminant_D_series(xy).align(_STEPS)
        found.append((f"daylight {kelvin:.0f} K", daylight))
    found += [(name, colour.SDS_ILLUMINANTS[name]) for name in (*_LED, *_FLUORESCENT)]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that it brings spectra to one grid
        return tuple(
            Lamp(name, on_grid(sd), float(colour.colour_rendering_index(sd)), _kelvin(sd))
            for name, sd in found
        )


def _kelvin(sd: colour.SpectralDistribution) -> float:
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    power = on_grid(sd)
    X, Y, Z = (float(power @ np.interp(NM, cmfs.wavelengths, v)) for v in cmfs.values.T)
    xy = np.array([X, Y]) / (X + Y + Z)
    return float(colour.temperature.xy_to_CCT(xy, method="McCamy 1992"))


@cache
def _eye() -> tuple[Floats, Floats]:
    """(71, 3) from reflectance to XYZ under D65, 2°, and the white (3,) it gives: CIE 15."""
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    observer = np.stack(
        [np.interp(NM, cmfs.wavelengths, cmfs.values[:, k]) for k in range(3)], axis=-1
    )
    seen = observer * on_grid(colour.SDS_ILLUMINANTS["D65"])[:, None]
    seen = seen / seen[:, 1].sum()
    return seen, seen.sum(axis=0)


def to_share(reflectance: Floats) -> Floats:
    """Reflectances (…, 71) → XYZ over the white's XYZ, (…, 3), D65, 2°. Source: CIE 15."""
    seen, white = _eye()
    return np.asarray(reflectance @ seen / white)


def to_lab(reflectance: Floats) -> Floats:
    """Reflectances (…, 71) → L*a*b* (…, 3), D65, 2°. Source: CIE 15."""
    t = to_share(reflectance)
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def share_of_lab(lab: Lab) -> Floats:
    """L*a*b* → XYZ over the white's XYZ, (3,). Source: CIE 15."""
    y = (lab[0] + 16) / 116
    f = np.array([y + lab[1] / 500, y, y - lab[2] / 200])
    return np.asarray(np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)))


@cache
def measured_surfaces() -> Floats:
    """(n, 71): reflectances of surfaces of all kinds. Sources, by colour-science: the training set
    of the ACES input transforms; the colour samples of CIE 224:2017."""
    sets = (
        colour.characterisation.read_training_data_rawtoaces_v1(),
        colour.quality.cfi2017.load_TCS_CIE2017(_STEPS),
    )
    rows = np.array(
        [np.interp(NM, one.wavelengths, column) for one in sets for column in one.values.T]
    )
    return np.asarray(rows[rows.max(axis=1) <= 1.0])  # one that glows of itself is no reflectance


@cache
def target_patches() -> Floats:
    """(24, 71): the measured 24-patch target of ISO 17321-1, six to a row, greys in the last.
    Source: by colour-science."""
    return np.array([on_grid(sd) for sd in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()])


@cache
def _population() -> tuple[Floats, Floats]:
    """The mean (71,) of the logarithms of measured surfaces, and their main ways of varying
    (12, 71), each as long as its standard deviation. In logarithms a dark surface is a light one
    with less light, and none returns less than nothing."""
    rows = np.log(np.maximum(measured_surfaces(), _DARKEST))
    mean = rows.mean(axis=0)
    _, size, ways = np.linalg.svd(rows - mean, full_matrices=False)
    return mean, (size[:, None] * ways / np.sqrt(len(rows) - 1))[:_COMPONENTS]


def make_surface(lab: Lab, own: Floats) -> Spectrum:
    """A smooth reflectance that is ``lab`` to the eye, D65, 2°.

    One drawn from the spread of measured surfaces, brought to its colour by the least change:
    ``own`` (12,), standard normal, says which. Where no reflectance up to one would do, it comes
    out a little off ``lab``. Source of the bringing: Newton's method with the least step, as of
    an underdetermined system (Ben-Israel, Journal of Mathematical Analysis 15:243-252, 1966).
    """
    mean, ways = _population()
    eye, white = _eye()
    to_xyz = (eye / white).T  # (3, 71)
    wanted = share_of_lab(lab)
    surface = np.ones_like(NM)
    for spread in _SPREADS:
        numbers = spread * own
        for _ in range(_STEPS_OF_NEWTON):
            surface = np.exp(np.minimum(mean + numbers @ ways, 1.0))
            slope = (to_xyz * surface) @ ways.T
            step = slope.T @ np.linalg.solve(slope @ slope.T, wanted - to_xyz @ surface)
            numbers = numbers + step / max(1.0, float(np.linalg.norm(step)))
        surface = np.exp(np.minimum(mean + numbers @ ways, 1.0))
        if surface.max() <= 1.0:
            break
    return np.minimum(surface, 1.0)


def vary_print(surfaces: Floats, rng: Random, part: float) -> Floats:
    """Reflectances (n, 71), each off by about ``part`` of itself, smoothly over the spectrum: no
    card is quite what its list says. Invented; a slope and a bend of the spectrum apiece."""
    x = (NM - NM.mean()) / np.ptp(NM) * 2
    bends = np.stack([np.ones_like(x), x, x**2 - 1 / 3])
    return np.asarray(surfaces * (1 + part * rng.normal(0, 1, (len(surfaces), 3)) @ bends))
