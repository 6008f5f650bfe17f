"""The little that is read of a HEIC file's boxes ahead of its decoder.

Source: ISO/IEC 14496-12 (boxes, ``meta``, ``infe``) and ISO/IEC 23008-12 (``irot``, ``imir``).
"""

from __future__ import annotations

from collections.abc import Iterator

_MOST_BOXES = 10_000
#: Bytes of the description, without what lies in it as pictures, and of one item's names: phones
#: write some five thousand and twenty. Each item is looked at, and may claim all that follows.
_MOST_DESCRIPTION, _MOST_ITEM = 2_000_000, 2_000


class UnsoundBoxesError(Exception):
    """The boxes do not keep to their own format."""


def turned_by_container(data: bytes) -> bool:
    """Whether the file declares a turn or mirroring of its own (``irot``, ``imir``).

    Looked for in the box that describes the pictures only, so that chance bytes of a compressed
    picture are not taken for one.
    """
    return any(b"irot" in box or b"imir" in box for box in _descriptions(data))


def check_names(data: bytes) -> None:
    """Raise :class:`UnsoundBoxesError` where an item's type or name is no text.

    The decoder in use ends the whole program at one: pi-heif 1.4 hands such a name on as if it
    were UTF-8 without looking whether it is.
    """
    for box in _descriptions(data):
        if len(box) > _MOST_DESCRIPTION:
            raise UnsoundBoxesError("its description is far longer than those of pictures are")
        at = box.find(b"infe")
        while at >= 0:
            _check_item(box, at)
            at = box.find(b"infe", at + 1)


def _check_item(box: bytes, at: int) -> None:
    size = int.from_bytes(box[max(0, at - 4) : at], "big")
    if at < 4 or size < 16 or at - 4 + size > len(box):
        raise UnsoundBoxesError("an item is larger than its box")
    if size > _MOST_ITEM:
        raise UnsoundBoxesError("an item's name is without end")
    item = box[at + 4 : at - 4 + size]
    # Version and flags, number (longer from version 3 on), protection; the rest is names.
    names = item[10 if item[0] >= 3 else 8 :]
    try:
        names.decode("utf-8", errors="strict")
    except UnicodeDecodeError:
        raise UnsoundBoxesError("an item's name is no text") from None


def _descriptions(data: bytes) -> Iterator[bytes]:
    """The bodies of the ``meta`` boxes, of which a sound file has one."""
    at = 0
    for _ in range(_MOST_BOXES):
        size, kind = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        header = 8
        if size == 1:  # a longer size follows
            size, header = int.from_bytes(data[at + 8 : at + 16], "big"), 16
        elif size == 0:  # to the end of the file
            size = len(data) - at
        if size < header:
            return
        if kind == b"meta":
            yield data[at + header : at + size]
        at += size
        if at + 8 > len(data):
            return
