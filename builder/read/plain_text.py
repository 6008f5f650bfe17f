"""A text file from anyone to text, or a problem that says what it is instead."""

from __future__ import annotations

import codecs
import re
import stat
from pathlib import Path

from builder.errors import Problem, SidecarError, Weight

_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_UNPRINTED = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")
_SAVE_AS_UTF8 = "save it as UTF-8 (“plain text, UTF-8” in most editors)"


def read_plain_text(path: Path, file: str, limit: int) -> str:
    """The text of a file in UTF-8, line ends as ``\\n``; at most ``limit`` bytes are read.

    Raises ``SidecarError`` with one problem, named by ``file``, where it is no such file.
    """
    try:
        # Opening a pipe or a device would wait for ever.
        regular = stat.S_ISREG(path.stat().st_mode)
        data = _read_bytes(path, limit) if regular else b""
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise _refuse(file, 0, f"the file cannot be opened: {reason}", "a file that can be read",
                      "check that it is there and that you may read it") from None  # fmt: skip
    if not regular:
        raise _refuse(file, 0, "this is not a file", "a text file", "move it out of the way")
    if len(data) > limit:
        raise _refuse(
            file,
            0,
            f"the file is larger than {limit} bytes",
            "a short text file",
            "move long notes elsewhere, or raise limits in mkdocs.yml",
        )
    return decode_plain_text(data, file)


def decode_plain_text(data: bytes, file: str) -> str:
    """UTF-8 bytes to text, with or without byte order mark. Raises ``SidecarError``."""
    if data.startswith(_UTF16):
        raise _refuse(file, 1, "the file is saved as UTF-16", "UTF-8", _SAVE_AS_UTF8)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n") + 1
        byte = data[error.start]
        found = f"byte {byte:#04x} here is not UTF-8"
        raise _refuse(file, line, found, "text saved as UTF-8", _SAVE_AS_UTF8) from None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    odd = _UNPRINTED.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        found = f"a sign that does not print (code {ord(odd[0]):#04x})"
        raise _refuse(file, line, found, "plain text", "delete it; perhaps this is another file")
    return text


def _read_bytes(path: Path, limit: int) -> bytes:
    with path.open("rb") as stream:
        return stream.read(limit + 1)


def _refuse(file: str, line: int, found: str, expected: str, remedy: str) -> SidecarError:
    return SidecarError(Problem(file, line, found, f"expected {expected}", remedy, Weight.LEFT_OUT))
