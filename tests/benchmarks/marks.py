"""Corner marks compared: QR codes read and refined here, and ArUco by OpenCV.

Both are drawn at the same size at the same corners and photographed alike. OpenCV is no dependency
of this project; to run the comparison, in an environment of its own::

    python -m venv marks-env
    marks-env/bin/pip install . opencv-python-headless
    marks-env/bin/python -m tests.benchmarks.marks --views 100

Prints a table: share found (all four marks), error of the corners in pixels, size on disk.
"""

from __future__ import annotations

import argparse
import importlib.util
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.codes import read_codes
from builder.look.sheets import SheetError, find_sheet
from builder.records.jig import A4
from tests.look.sheet_drawing import INK, PAPER, PX_PER_MM, View, draw_sheet, look, photograph

Floats = NDArray[np.float64]
Picture = NDArray[np.uint8]
_MODULES = 6  # of a 4 × 4 ArUco mark with its border


def mark_corners() -> Floats:
    """(4, 4, 2): every mark's corners, mm."""
    return np.array(
        [[(left, t), (right, t), (right, b), (left, b)] for left, t, right, b in A4.marks]
    )


def views(count: int, width: int) -> Iterator[tuple[View, dict[str, Any]]]:
    """The same for every kind of mark: to 20° askew, soft, noisy, badly exposed, lossy."""
    chance = np.random.default_rng(11)
    for seed in range(count):
        view = look(
            width=width,
            tilt=chance.uniform(0, 20),
            towards=chance.uniform(0, 360),
            turn=chance.uniform(-10, 10),
            fill=chance.uniform(0.8, 0.95),
        )
        yield (
            view,
            {
                "blur": chance.uniform(0.5, 1.2) * max(1.0, width / 2000),
                "noise": chance.uniform(0.002, 0.01),
                "stops": chance.uniform(-1.5, 1.5),
                "quality": int(chance.integers(70, 96)),
                "uneven": chance.uniform(0, 0.25),
                "seed": seed,
            },
        )


def find_ours(picture: Picture) -> Floats | None:
    try:
        sheet = find_sheet(picture, read_codes(picture))
    except SheetError:
        return None
    return sheet.to_picture(mark_corners()) if sheet.marks == len(A4.marks) else None


def aruco(refinement: str) -> tuple[Floats, Callable[[Picture], Floats | None]]:
    """The sheet with ArUco marks in its corners, and their finder with the ``refinement`` of
    that name (SUBPIX, APRILTAG)."""
    import cv2

    words = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
    sheet = draw_sheet(A4).copy()
    for number, (left, top, right, bottom) in enumerate(A4.marks):
        x0, y0, x1, y1 = (round(edge * PX_PER_MM) for edge in (left, top, right, bottom))
        drawn = cv2.aruco.generateImageMarker(words, number, _MODULES * 15) > 127
        at = ((np.arange(x1 - x0) + 0.5) / (x1 - x0) * len(drawn)).astype(int)
        sheet[y0:y1, x0:x1] = np.where(drawn[np.ix_(at, at)], PAPER, INK)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = getattr(cv2.aruco, f"CORNER_REFINE_{refinement}")
    # Its SUBPIX counts from a pixel's middle, its APRILTAG from the pixel's corner (found by
    # experiment: the mean error vanishes so).
    shift = 0.5 if refinement == "SUBPIX" else 0.0
    detector = cv2.aruco.ArucoDetector(words, settings)

    def find(picture: Picture) -> Floats | None:
        corners, numbers, _ = detector.detectMarkers(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY))
        if numbers is None or not set(range(4)) <= {int(n) for n in numbers.ravel()}:
            return None
        found = {int(n): c[0] + shift for n, c in zip(numbers.ravel(), corners, strict=True)}
        return np.array([found[number] for number in range(4)], dtype=np.float64)

    return sheet, find


def measure(
    find: Callable[[Picture], Floats | None], sheet: Floats, count: int, width: int
) -> tuple[float, float, float, float]:
    """Share found, root mean square and 99th percentile of a corner's error in pixels, seconds."""
    errors, spent = [], 0.0
    for view, conditions in views(count, width):
        picture = photograph(view, sheet=sheet, **conditions)
        start = time.perf_counter()
        found = find(picture)
        spent += time.perf_counter() - start
        if found is not None:
            errors.append(np.linalg.norm(found - view.show(mark_corners()), axis=-1).ravel())
    if not errors:
        return 0.0, np.nan, np.nan, spent / count
    all_errors = np.concatenate(errors)
    return (
        len(errors) / count,
        float(np.sqrt(np.mean(all_errors**2))),
        float(np.quantile(all_errors, 0.99)),
        spent / count,
    )


def installed_mb(*packages: str) -> float:
    """Megabytes of the packages' files, with the shared libraries their wheels bring."""
    total = 0
    for package in packages:
        spec = importlib.util.find_spec(package)
        if spec is None or spec.origin is None:
            continue
        home = Path(spec.origin).parent
        for folder in (home, *home.parent.glob("opencv*.libs" if package == "cv2" else "\0")):
            total += sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())
    return total / 1e6


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--views", type=int, default=100)
    words.add_argument("--widths", type=int, nargs="*", default=[1600, 4000])
    chosen = words.parse_args()
    kinds = [("QR, refined here", find_ours, draw_sheet(A4), ("zxingcpp", "segno"))]
    if importlib.util.find_spec("cv2"):
        for refinement in ("SUBPIX", "APRILTAG"):
            sheet, find = aruco(refinement)
            kinds.append((f"ArUco, OpenCV, {refinement}", find, sheet, ("cv2",)))
    print("| marks | picture | found | corner error, rms px | 99 % px | s a picture | MB |")
    print("|---|---|---|---|---|---|---|")
    for width in chosen.widths:
        for name, find, sheet, packages in kinds:
            share, rms, most, spent = measure(find, sheet, chosen.views, width)
            print(
                f"| {name} | {width} px | {share:.1%} | {rms:.3f} | {most:.3f} | {spent:.2f} "
                f"| {installed_mb(*packages):.0f} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
