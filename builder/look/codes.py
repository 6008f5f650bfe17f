"""Every QR code of a picture: the marks of a jig sheet, the label of a piece, and strangers' codes.

Read by zxing-cpp, the only decoder this house knows. Code: ISO/IEC 18004.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np
import zxingcpp
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from builder.records.jig import read_label, read_mark

Floats = NDArray[np.float64]

#: A mark of a sheet that fills the frame has five pixels a module at this length: plenty.
LONG_SIDE = 2000
#: Larger than this even the second try is not: time grows with the pixels.
LONGEST_SIDE = 4500
_ALL_MARKS = 4
#: Radius in pixels and strength in per cent, by experiment on the views of the tests.
_SHARPER = ImageFilter.UnsharpMask(1.5, 400, 0)
_SHARPER_STILL = ImageFilter.UnsharpMask(3.0, 400, 0)
#: Codes of ours have at most some thirty characters; a stranger's novel is no use here.
_LONGEST_TEXT = 80
_MOST_CODES = 60
#: With a sign to check by, or long: the others are read in any texture.
_BARCODES = [
    getattr(zxingcpp.BarcodeFormat, name)
    for name in ("EAN13", "EAN8", "UPCA", "Code128", "DataMatrix")
]


@dataclass(frozen=True, eq=False)
class Code:
    """``text`` as read; ``corners`` (4, 2): pixels of the whole picture, clockwise from the code's
    own left top, pixel (0, 0) having its middle at (0.5, 0.5); ``level``: its error correction,
    L, M, Q or H; ``mask``: number of its data mask, None where the decoder does not say."""

    text: str
    corners: Floats = field(repr=False)
    level: str = "Q"
    mask: int | None = None

    def reduced(self, times: int) -> Code:
        """The same in the picture reduced so many times."""
        return replace(self, corners=self.corners / times)

    @property
    def middle(self) -> Floats:
        return np.asarray(self.corners.mean(axis=0))

    @property
    def side(self) -> float:
        """Mean length of its sides, pixels."""
        sides = np.roll(self.corners, -1, axis=0) - self.corners
        return float(np.linalg.norm(sides, axis=1).mean())


def read_codes(
    picture: Image.Image | NDArray[np.uint8], small: Image.Image | None = None
) -> tuple[Code, ...]:
    """All QR codes of the picture, (h, w, 3) if as an array, sorted by text and place. ``small``:
    the same reduced to about LONG_SIDE, where that is there already.

    Where the first look, at some 2000 pixels, finds fewer than a sheet's four marks and a label,
    one at the picture sharpened adds what it can; where there are still not four marks, further
    ones at a larger picture. Never raises: what breaks the decoder counts as unread.
    """
    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    if min(image.size) < 2:
        return ()
    found: list[Code] = []
    for look, (grey, scale, binarizer) in enumerate(_tries(image, small)):
        found = _join(found, _read(grey, scale, binarizer))
        texts = {code.text for code in found}
        labelled = any(read_label(text) is not None for text in texts)
        if sum(read_mark(text) is not None for text in texts) >= _ALL_MARKS and (labelled or look):
            break
    return tuple(sorted(found, key=lambda code: (code.text, *code.corners[0])))


def read_labels(codes: Iterable[Code]) -> tuple[str, ...]:
    """The piece numbers on the labels among ``codes``, each once, sorted."""
    return tuple(sorted({label for code in codes if (label := read_label(code.text))}))


def find_barcodes(grey: Image.Image) -> tuple[Floats, ...]:
    """Where barcodes of goods, parcels and stock stand in a grey picture: corners (4, 2) as
    fractions of it. What they say is let go. Never raises."""
    try:
        seen = zxingcpp.read_barcodes(
            np.asarray(grey),
            formats=_BARCODES,  # type: ignore[arg-type] # several are taken as well
            try_downscale=False,
            try_invert=False,
        )
    except Exception:  # a stranger's picture can break the decoder in any way
        return ()
    return tuple(_corners(code.position) / grey.size for code in seen[:_MOST_CODES])


def _tries(
    image: Image.Image, reduced: Image.Image | None
) -> Iterator[tuple[NDArray[np.uint8], float, zxingcpp.Binarizer]]:
    """A grey picture, how many of the original's pixels one of its own is wide, and the threshold;
    the cheapest first."""
    long = max(image.size)
    small = max(1, round(long / LONG_SIDE))
    large = max(1, -(-long // LONGEST_SIDE))
    local, whole = zxingcpp.Binarizer.LocalAverage, zxingcpp.Binarizer.GlobalHistogram
    grey = (reduced or image.reduce(small)).convert("L")
    yield np.asarray(grey), small, local
    # Of 25 hard views at 1600 pixels the plain picture gave all four marks in 18, the sharpened in
    # 24, the sharpened and enlarged in all.
    yield np.asarray(grey.filter(_SHARPER)), small, whole
    finer = image.reduce(large).convert("L") if large < small else _enlarge(grey)
    scale = long / max(finer.size)
    yield np.asarray(finer.filter(_SHARPER_STILL)), scale, whole
    yield np.asarray(finer), scale, local


def _enlarge(grey: Image.Image) -> Image.Image:
    times = max(1, min(2, LONGEST_SIDE // max(grey.size)))
    return grey.resize((grey.width * times, grey.height * times), Image.Resampling.BICUBIC)


def _read(grey: NDArray[np.uint8], scale: float, binarizer: zxingcpp.Binarizer) -> Iterator[Code]:
    try:
        seen = zxingcpp.read_barcodes(
            grey,
            formats=zxingcpp.BarcodeFormat.QRCode,  # type: ignore[arg-type] # one is taken as well
            binarizer=binarizer,
            try_invert=False,
        )
        for code in seen[:_MOST_CODES]:
            if code.text and len(code.text) <= _LONGEST_TEXT:
                yield Code(code.text, _corners(code.position) * scale, code.ec_level, _mask(code))
    except Exception:  # a stranger's picture can break the decoder in any way
        return


def _corners(position: zxingcpp.Position) -> Floats:
    corners = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    return np.array([(corner.x + 0.5, corner.y + 0.5) for corner in corners])


def _mask(code: zxingcpp.Barcode) -> int | None:
    said = getattr(code, "extra", {}).get("DataMask")  # since version 3
    return said if isinstance(said, int) else None


def _join(known: Iterable[Code], seen: Iterable[Code]) -> list[Code]:
    """One of each: the same text at the same place is one code seen twice."""
    kept = list(known)
    for code in seen:
        if not any(
            code.text == other.text
            and np.linalg.norm(code.middle - other.middle) < max(code.side, other.side)
            for other in kept
        ):
            kept.append(code)
    return kept
