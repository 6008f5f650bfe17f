"""Zip files of strangers: bags whose list of members lies, and rightly sealed ones of odd names."""

from __future__ import annotations

import io
import warnings
import zipfile

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from tests.archive.bag_folders import Files, encode, make_files
from tests.fuzz.spoiling import spoiled
from tests.fuzz.texts import NASTY

_LIBRARY: Files = {
    "data/library/mkdocs.yml": "site_name: A\nplugins:\n  - patinarium\n",
    "data/library/samples/A-1/sample.yaml": "piece: A-1\nmetal: copper\n",
    "data/library/samples/A-1/a.jpg": "a picture",
}
_WORDS = (b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06", b"PK\x06\x06", b"PK\x06\x07", b"\xff" * 4,
          b"\xff" * 8, b"\x00" * 4, b"../", b"%2e%2e%2f", b"\x01\x00\x18\x00")  # fmt: skip
_NAMES = (
    "../evil", "/evil", "C:/evil", "a\\..\\..\\evil", "~/evil", "a//b", "./a", "con", "nul.jpg",
    "a.", "a ", "ä", "a\u0308", "\u202egpj.exe", "a\nb", "a%0Ab", "%2e%2e/evil", "a" * 300,
    "/".join("a" * 90), "data/library/.git/hooks/x", "data/library/samples/A-1", "bagit.txt",
    "fetch.txt", "file-times.tsv",
)  # fmt: skip


def zips() -> SearchStrategy[bytes]:
    whole = pack(make_files(_LIBRARY))
    md5 = pack(make_files(_LIBRARY, algorithm="md5"))
    names = st.sampled_from(_NAMES) | st.sampled_from(NASTY) | st.text(min_size=1, max_size=20)
    extra = st.dictionaries(names.map(lambda name: f"data/library/{name}"), st.binary(max_size=40))
    beside = st.dictionaries(names, st.binary(max_size=200), max_size=4)
    sealed = st.builds(lambda more, tags: pack({**_seal(more), **tags}), extra, beside)
    return spoiled([whole, md5], _WORDS) | sealed


def _seal(more: dict[str, bytes]) -> dict[str, str | bytes]:
    kept = {name: body for name, body in more.items() if "\n" not in name and "\r" not in name}
    return make_files({**_LIBRARY, **kept})


def pack(files: Files) -> bytes:
    stream = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        warnings.simplefilter("ignore")  # that a member is there twice
        for path, content in files.items():
            name = path.encode("utf-8", "replace").decode("utf-8").replace("\x00", "?")
            archive.writestr(zipfile.ZipInfo(f"bag/{name}"), encode(content))
    return stream.getvalue()
