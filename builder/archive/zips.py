"""A zip file from a stranger: what it holds, before a byte of it is unpacked.

Refused: links and devices, names that lead elsewhere, members twice or lying over one another,
encrypted ones, and those that would swell beyond what pictures and text do. Deflate itself reaches
some 1000 to 1.
"""

from __future__ import annotations

import errno
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, BinaryIO

from builder.archive.names import find_escape
from builder.archive.verdict import Verdict

_MOST_DIRECTORY = 64_000_000  # bytes of the list of members, which is read whole
_SMALL, _MOST_SWELLING = 1_000_000, 200
#: All members together, beyond this many bytes: pictures hardly shrink at all, text some tenfold.
_LITTLE, _MOST_TOGETHER = 500_000_000, 20
_BROKEN = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError)
_HEADER = 30  # bytes before a member's name
_END = struct.Struct("<4s4H2LH")
_END64 = struct.Struct("<4sQ2H2L4Q")
_LOCATOR = struct.Struct("<4sLQL")
_TAKE_OUT = "ask for a zip file of the bag alone, made afresh"
_LEFT_BY_SYSTEMS = "__MACOSX/"


class UnreadableError(Exception):
    """A zip file that cannot be read. Stays in this room."""


@contextmanager
def open_zip(place: Path) -> Iterator[zipfile.ZipFile]:
    """The zip file ``place``. Raises :class:`UnreadableError` or ``OSError``."""
    with place.open("rb") as stream:
        try:
            if _measure_directory(stream) > _MOST_DIRECTORY:
                raise UnreadableError("its list of members is too long")
            stream.seek(0)
            archive = zipfile.ZipFile(stream)
        except (*_BROKEN, RuntimeError, ValueError) as error:
            raise UnreadableError(f"{error}") from error
        with archive:
            yield archive


@contextmanager
def open_member(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> Iterator[IO[bytes]]:
    """The bytes of a member, never more than it declares. Whatever goes wrong is an ``OSError``."""
    try:
        with archive.open(member) as stream:
            yield stream
    except _BROKEN as error:
        raise OSError(errno.EIO, f"{error}") from error


def list_members(
    archive: zipfile.ZipFile, verdict: Verdict, most: int
) -> dict[str, zipfile.ZipInfo]:
    """The members of the bag in ``archive`` by their path in the bag, without the one folder they
    all lie in; what is wrong with others goes to ``verdict``."""
    found: dict[str, zipfile.ZipInfo] = {}
    members = archive.infolist()
    if len(members) > most:
        verdict.fault("", f"there are more than {most} members", "fewer in one bag", "")
        return {}
    _find_overlaps(members, verdict)
    packed = sum(member.compress_size for member in members)
    whole = sum(member.file_size for member in members)
    if whole > max(_LITTLE, _MOST_TOGETHER * packed):
        verdict.fault("", f"{packed} bytes would swell to {whole}", "pictures and notes", _TAKE_OUT)
        return {}
    for member in members:
        name = member.orig_filename
        if name.startswith(_LEFT_BY_SYSTEMS):
            continue
        reason = _find_reason(member)
        if reason:
            verdict.fault(name, f"this is {reason}", "plain files, each once", _TAKE_OUT)
        elif name in found:
            verdict.fault(name, "this member is there twice", "each once", _TAKE_OUT)
        elif not name.endswith("/"):
            found[name] = member
    for name in found:
        above = name.rpartition("/")[0]
        while above:
            if above in found:
                verdict.fault(above, "this is a file and a folder", "one of them", _TAKE_OUT)
            above = above.rpartition("/")[0]
    return _enter_bag(found, verdict)


def _enter_bag(found: dict[str, zipfile.ZipInfo], verdict: Verdict) -> dict[str, zipfile.ZipInfo]:
    """The members without the folder that holds the bag."""
    if "bagit.txt" in found:
        verdict.note("bagit.txt", "the zip file holds the bag's files without a folder round them")
        return found
    tops = {name.partition("/")[0] for name in found}
    bags = sorted(top for top in tops if f"{top}/bagit.txt" in found)
    top = bags[0] if bags else min(tops, default="")
    for name in found:
        if not name.startswith(f"{top}/"):
            verdict.fault(name, "this lies beside the bag", "one folder: the bag", _TAKE_OUT)
    return {
        name.removeprefix(f"{top}/"): member
        for name, member in found.items()
        if name.startswith(f"{top}/")
    }


def _find_reason(member: zipfile.ZipInfo) -> str:
    path = member.orig_filename
    mode = member.external_attr >> 16
    kind = stat.S_IFMT(mode) if member.create_system == 3 else 0
    if kind == stat.S_IFLNK:
        return "a link"
    if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
        return "no file"
    if member.flag_bits & 0x1:
        return "encrypted"
    if member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "packed in a way that not everybody can unpack"
    if member.file_size > max(_SMALL, _MOST_SWELLING * member.compress_size):
        return f"packed so that {member.compress_size} bytes would swell to {member.file_size}"
    return find_escape(path.removesuffix("/"))


def _find_overlaps(members: list[zipfile.ZipInfo], verdict: Verdict) -> None:
    end, before = 0, ""
    for member in sorted(members, key=lambda member: member.header_offset):
        if member.header_offset < end:
            verdict.fault(
                member.orig_filename,
                f"this member lies over “{before[:60]}” in the zip file",
                "each in its own place",
                _TAKE_OUT,
            )
        coding = "utf-8" if member.flag_bits & 0x800 else "cp437"
        name = len(member.orig_filename.encode(coding, "replace"))
        end = max(end, member.header_offset + _HEADER + name + member.compress_size)
        before = member.orig_filename


def _measure_directory(stream: BinaryIO) -> int:
    """Bytes of the list of members, as the end of the file says; 0 where it says nothing."""
    size = stream.seek(0, 2)
    start = max(0, size - _END.size - 65_535)
    stream.seek(start)
    tail = stream.read()
    place = tail.rfind(b"PK\x05\x06")
    if place < 0 or len(tail) - place < _END.size:
        return 0
    told: int = _END.unpack_from(tail, place)[5]
    if place >= _LOCATOR.size and tail[place - _LOCATOR.size :].startswith(b"PK\x06\x07"):
        stream.seek(_LOCATOR.unpack_from(tail, place - _LOCATOR.size)[2])
        longer = stream.read(_END64.size)
        if longer.startswith(b"PK\x06\x06") and len(longer) == _END64.size:
            told = _END64.unpack(longer)[8]
    return told
