"""Ways to spoil bytes: what a disk, a mail program or somebody with bad intent does to a file."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

_MOST = 200_000  # bytes of a spoiled file: a case should take milliseconds
_KINDS = 7
#: Lengths of what is cut, doubled or moved: mostly little, sometimes half the file.
_SPANS = (1, 2, 4, 8, 16, 32, 64, 256, 1024, 4096, 65536)

Step = tuple[int, int, int, int]


def spoiled(seeds: Sequence[bytes], words: Sequence[bytes] = ()) -> SearchStrategy[bytes]:
    """One of ``seeds`` after some steps of spoiling; ``words`` are put in whole."""
    step = st.tuples(
        st.integers(0, _KINDS - 1),
        st.integers(0, 1_000_000),
        st.integers(0, len(_SPANS) - 1),
        st.integers(0, 255),
    )
    return st.builds(
        lambda seed, other, steps: spoil(seed, other, steps, words),
        st.sampled_from(list(seeds)),
        st.sampled_from(list(seeds)),
        st.lists(step, max_size=12),
    )


def spoil(seed: bytes, other: bytes, steps: Sequence[Step], words: Sequence[bytes] = ()) -> bytes:
    """``seed`` after ``steps``: (kind, place in millionths, which span, a byte) each; what is
    spliced in comes from ``other``."""
    data = bytearray(seed)
    for kind, place, which, byte in steps:
        at, span = place * len(data) // 1_000_001, _SPANS[which]
        match kind:
            case 0 if data:
                data[at] = byte
            case 1 if data:
                data[at] ^= 1 << (byte % 8)
            case 2:
                del data[at : at + span]
            case 3:
                data[at:at] = data[at : at + span] * (1 + byte % 8)
            case 4 if words:
                data[at:at] = words[(byte * len(_SPANS) + which) % len(words)]
            case 5:
                start = place * len(other) // 1_000_001
                data[at : at + span] = other[start : start + span]
            case 6:
                del data[len(data) - at // 4 if byte < 128 else at :]
            case _:
                data[at : at + span] = bytes([byte]) * span
        del data[_MOST:]
    return bytes(data)
