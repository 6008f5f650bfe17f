"""The tag files of a bag, read from strangers and written by us (RFC 8493, 2.1 and 2.2)."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from builder.archive.names import Version, decode_path, encode_path

DECLARATION, INFO, FETCH = "bagit.txt", "bag-info.txt", "fetch.txt"
TIMES = "file-times.tsv"
PAYLOAD = "data/"
ALGORITHMS = ("md5", "sha1", "sha224", "sha256", "sha384", "sha512")
OURS = ("sha256", "sha512")
OUR_DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
#: Versions there have been.
KNOWN: tuple[Version, ...] = ((0, 93), (0, 94), (0, 95), (0, 96), (0, 97), (1, 0))

_MANIFEST = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
_DECLARED = re.compile(
    r"BagIt-Version: (\d{1,3})\.(\d{1,3})(?:\r\n|\r|\n)"
    r"Tag-File-Character-Encoding: ([!-~]{1,40})(?:\r\n|\r|\n)?"
)
_ENCODING = re.compile(
    r"utf-8|utf-16(?:le|be)?|utf-32(?:le|be)?|us-ascii|iso-8859-\d{1,2}|windows-125\d", re.I
)
_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+(\*?)(.+)", re.DOTALL)
_LABEL = re.compile(r"([^\s:][^:]*?)[ \t]*:[ \t]*(.*)", re.DOTALL)
_MOST_FAULTS = 1_000  # of one manifest that are told
_OXUM = re.compile(r"(\d{1,20})\.(\d{1,20})")


class TagFileError(ValueError):
    """A tag file that is not what the standard asks; its text says why. Stays in this room."""


@dataclass(frozen=True)
class Declared:
    version: Version
    encoding: str


@dataclass(frozen=True)
class Listed:
    """One line of a manifest: the path it means and the one it writes, and its digest."""

    line: int
    path: str
    written: str
    digest: str
    starred: bool  # as digest tools write in their binary mode


@dataclass(frozen=True)
class Manifest:
    """``name`` of the file; ``lines`` that can be read; ``faults``: line and what is wrong."""

    name: str
    algorithm: str
    of_tags: bool
    lines: tuple[Listed, ...] = ()
    faults: tuple[tuple[int, str], ...] = field(default=())

    @property
    def checkable(self) -> bool:
        return self.algorithm in ALGORITHMS


def read_declaration(data: bytes) -> Declared:
    """``bagit.txt``: exactly two lines, in this order. Raises :class:`TagFileError`."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise TagFileError("it is not UTF-8") from None
    if text.startswith("\ufeff"):
        raise TagFileError("it begins with a byte order mark")
    found = _DECLARED.fullmatch(text)
    if not found:
        raise TagFileError("its two lines are not those of the standard")
    version = (int(found[1]), int(found[2]))
    if version not in KNOWN:
        raise TagFileError(f"its version {found[1]}.{found[2]} is none that is known")
    return Declared(version, found[3])


def decode_tags(data: bytes, encoding: str) -> str:
    """The text of a tag file. Raises :class:`TagFileError`."""
    if not _ENCODING.fullmatch(encoding):
        raise TagFileError(f"the encoding {encoding} is none that is known here")
    try:
        return data.decode(encoding)
    except (UnicodeDecodeError, LookupError):
        raise TagFileError(f"it is not {encoding}, as bagit.txt says") from None


def name_manifest(path: str) -> Manifest | None:
    """The manifest that a tag file of this name is, without its lines."""
    found = _MANIFEST.fullmatch(path)
    return Manifest(path, found[2], bool(found[1])) if found else None


def read_lines(empty: Manifest, text: str, version: Version) -> Manifest:
    """``empty`` with its lines."""
    lines: list[Listed] = []
    faults: list[tuple[int, str]] = []
    size = 2 * hashlib.new(empty.algorithm).digest_size if empty.checkable else 0
    for number, line in enumerate(_split(text), start=1):
        if not line.strip():
            continue
        found = _LINE.fullmatch(line)
        if not found or (size and len(found[1]) != size):
            faults.append((number, "this line is no digest and path"))
            if len(faults) == _MOST_FAULTS:
                break
            continue
        path = decode_path(found[3], version).removeprefix("./")
        lines.append(Listed(number, path, found[3], found[1].lower(), bool(found[2])))
    return Manifest(empty.name, empty.algorithm, empty.of_tags, tuple(lines), tuple(faults))


def read_info(text: str) -> tuple[tuple[str, str], ...]:
    """Labels and values of ``bag-info.txt``. Raises :class:`TagFileError`."""
    pairs: list[tuple[str, list[str]]] = []
    for number, line in enumerate(_split(text), start=1):
        if not line.strip():
            continue
        if line[0] in " \t" and pairs:
            pairs[-1][1].append(line.strip())
            continue
        found = _LABEL.fullmatch(line)
        if not found:
            raise TagFileError(f"line {number} is no label and value")
        pairs.append((found[1], [found[2].strip()]))
    return tuple((label, " ".join(lines)) for label, lines in pairs)


def read_oxum(value: str) -> tuple[int, int]:
    """Bytes and files of a Payload-Oxum. Raises :class:`TagFileError`."""
    found = _OXUM.fullmatch(value)
    if not found:
        raise TagFileError("its Payload-Oxum is not bytes.files")
    return int(found[1]), int(found[2])


def read_fetch(text: str, version: Version) -> tuple[tuple[int, str], ...]:
    """Lines and paths of ``fetch.txt``. Raises :class:`TagFileError`."""
    wanted = []
    for number, line in enumerate(_split(text), start=1):
        if not line.strip():
            continue
        parts = re.split(r"[ \t]+", line, maxsplit=2)
        if len(parts) != 3:
            raise TagFileError(f"line {number} is no address, length and path")
        wanted.append((number, decode_path(parts[2], version).removeprefix("./")))
    return tuple(wanted)


def write_manifest(digests: Mapping[str, str]) -> bytes:
    lines = (f"{digests[path]}  {encode_path(path)}\n" for path in sorted(digests))
    return "".join(lines).encode("utf-8")


def write_info(pairs: Iterable[Sequence[str]]) -> bytes:
    lines = (f"{label}: {' '.join(value.split())}\n" for label, value in pairs)
    return "".join(lines).encode("utf-8")


def _split(text: str) -> list[str]:
    return re.split(r"\r\n|\n|\r", text)
