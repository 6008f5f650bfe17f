"""Text files of strangers: sidecars, settings, cards, ledgers, cells."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import yaml
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from builder.ledger import seal_entries
from builder.read.fields import find_record, list_fields
from builder.read.settings import SETTINGS_KEYS, TOLERANCE_KEYS
from builder.read.setups import SETUP_KEYS
from builder.records.ledger import Deed, Draft
from builder.records.piece import Piece
from tests.fuzz.spoiling import spoiled

ROOT = Path(__file__).parents[2]
_SEEDS = 12

#: What breaks readers, by experience of all who ever wrote one.
NASTY = (
    "", " ", "~", "null", "unknown", "not measured", "none", "yes", "0", "-0", "-1", "1e999999",
    "9" * 400, "1/0", "1/00", "½½", "²", "١٢", "inf", "nan", "-inf", "0x10", "1_000", "1:30",
    "1:0", "a:b:c", "10 vol", "99999 US cups", "20 SWG", "-8 AWG", "400 AWG", "7/0 SWG",
    "2024-10-01", "2024-02-30", "0000-00-00", "9999-12-31", "1900-01-01", "2199-12-31T23:59",
    "2024-10-01T99:99", "01/10/2024", "attempt 2", "SH-012 attempt 1", "SH-014", "SH-012", "../..",
    "/etc/passwd", "C:\\con", "con", "aux.jpg", "a" * 5000, "\u202egpj.exe", "\u2028", "\ufeff",
    "e\u0301" * 40, "\U0001f9ea", "\x00", "\x1b[2J", "\x7f", "\x85", "<script>alert(1)</script>",
    "{{7*7}}", "{% raise %}", "=HYPERLINK(1)", "%s%n", "100 %", "0 %", "101 %", "0 mm", "1e9 mm",
    "999999999 km", "999999999 days", "999999999 weeks", "99999 years", "[", "{", "a,b", "a;b",
    "3 : 1 by weight", "0 : 0", "1 : 0", "not a thing", "private", "students", "Private ",
    "0.2", "0.6", "0.8", "1", "1.0000001", "front", "bare", "recheck", "before-seal",
)  # fmt: skip
_YAML_WORDS = (
    *(word.encode() for word in (
        "&a ", "*a", "<<: *a\n", "!!python/object/apply:os.system [x]", "!x ", "? ", "- ", "|\n  ",
        ">\n  ", "---\n", "...\n", "%YAML 1.1\n", "\t", "\r", "{", "}", "[", "]", ": ", "#", '"',
        "'", "\u2028", "\ufeff", "same_as: SH-014\n", "change:\n  sealant: none\n", "attempt: 2\n",
        "share: {recipe: private}\n", "zones:\n  - {name: left, at: [0, 0, 1, 1]}\n", "1e999999",
        "photos:\n  - file: SH-014_2024-10-15.jpg\n    piece_at: [0, 0, 1, 1]\n", '"\\0"',
    )),
    b"\x00", b"\xff\xfe", b"\xc3", b"\xed\xa0\x80", b"\x1b[2J",
)  # fmt: skip


def _nasty() -> SearchStrategy[str]:
    return st.sampled_from(NASTY) | st.text(max_size=30)


def _tree(keys: list[str], leaves: SearchStrategy[Any]) -> SearchStrategy[Any]:
    return st.recursive(
        leaves,
        lambda inner: (
            st.lists(inner, max_size=5) | st.dictionaries(st.sampled_from(keys), inner, max_size=6)
        ),
        max_leaves=20,
    )


def _write_yaml(tree: Any) -> bytes:
    return yaml.safe_dump(tree, allow_unicode=True, sort_keys=False).encode("utf-8", "replace")


def _piece_keys() -> list[str]:
    keys = set(list_fields(Piece))
    for field in list_fields(Piece).values():
        record = find_record(field)
        keys |= set(list_fields(record)) if record else set()
    return sorted(keys)


def sidecars() -> SearchStrategy[bytes]:
    """Spoiled notebooks of the demo, and mappings of the vocabulary's keys to anything."""
    seeds = [
        file.read_bytes() for file in sorted((ROOT / "samples").glob("SH-*/sample.yaml"))[:_SEEDS]
    ]
    keys = _piece_keys()
    fields = st.dictionaries(
        st.sampled_from(sorted(list_fields(Piece))), _tree(keys, _nasty()), max_size=12
    )
    one = fields.map(lambda tree: {"piece": "SH-014", **tree})
    return spoiled(seeds, _YAML_WORDS) | one.map(_write_yaml)


def settings() -> SearchStrategy[bytes]:
    """Spoiled settings of the demo, and the plugin's own keys with anything."""
    whole = (ROOT / "mkdocs.yml").read_bytes()
    own = whole[whole.index(b"plugins:") : whole.index(b"nav:")]
    keys = [*SETTINGS_KEYS, *TOLERANCE_KEYS, *SETUP_KEYS, "pixels", "A1", "B2", "D65"]
    options = st.dictionaries(st.sampled_from(SETTINGS_KEYS), _tree(keys, _nasty()), max_size=8)
    stands = st.dictionaries(
        st.sampled_from(SETUP_KEYS), _tree(["A1", "A2", "B1", "white"], _nasty()), max_size=6
    )
    plugin = (options | stands.map(lambda keys: {"setups": {"bench": keys}})).map(
        lambda told: _write_yaml({"site_name": "x", "plugins": [{"patinarium": told}]})
    )
    return spoiled([whole, own], _YAML_WORDS) | plugin


def cards() -> SearchStrategy[bytes]:
    """Spoiled CGATS text."""
    demo = (ROOT / "samples" / "sparrowhithe-card.txt").read_bytes()
    words = (
        b"BEGIN_DATA\n", b"END_DATA\n", b"BEGIN_DATA_FORMAT\n", b"END_DATA_FORMAT\n", b"LAB_L ",
        b"NUMBER_OF_SETS 999999\n", b'"', b"#", b"A1 ", b"Z99 ", b"SAMPLE_ID ", b"1e99 ", b"nan ",
        b"ILLUMINANT A\n", b"OBSERVER 10\xc2\xb0\n", b'WHITE "D65"\n', b"\x00", b"\x85", b"\x0c",
    )  # fmt: skip
    return spoiled([demo, demo.replace(b"\n", b"\r\n"), demo * 2], words)


def ledgers() -> SearchStrategy[bytes]:
    """Spoiled ledgers, and lines that seal rightly whatever they say."""
    at = dt.datetime(2025, 1, 14, tzinfo=dt.UTC)
    names = st.sampled_from(
        (
            "samples/SH-014/a.jpg",
            "../../etc/passwd",
            "samples/SH-014/sample.yaml",
            "a\x00b",
            "/",
            "",
        )
    )
    draft = st.builds(
        Draft, st.sampled_from(list(Deed)), names | st.text(max_size=20), st.just("0" * 64),
        st.integers(0, 10**30), st.dictionaries(st.sampled_from(("from", "why", "library")), names),
    )  # fmt: skip
    sealed = st.lists(draft, max_size=8).map(lambda drafts: seal_entries(drafts, None, at))
    demo = b"".join((ROOT / "ledger.jsonl").read_bytes().splitlines(keepends=True)[:20])
    words = (
        b'{"n":1}', b'"n":1e999,', b'"n":' + b"9" * 5000, b"[" * 2000, b"\n", b"\r\n", b"\x00",
        b'"at":"0000-00-00T00:00:00Z"', b'"facts":[]', b'"\\ud800"', b"{}", b"null", b'"seal":"',
        json.dumps({"n": None}).encode(),
    )  # fmt: skip
    return sealed | spoiled([demo], words)


def cells() -> SearchStrategy[bytes]:
    """Words for one cell of a table."""
    starts = st.sampled_from(
        ("", "=", "+", "-", "@", "\t", "\r", "\n", '"', "'", ",", "-1.5", "'=")
    )
    return st.builds(
        lambda start, text: (start + text).encode("utf-8", "replace"), starts, _nasty()
    )
