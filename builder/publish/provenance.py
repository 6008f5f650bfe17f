"""Provenance for other programs: JSON-LD in the terms of W3C PROV-O.

Each photograph is an entity named by its digest (RFC 6920, ``ni:``), made by a taking of the piece
as it was then; a reading is derived from it, a verdict from two readings. What the maker keeps back
stays out, as it does of every page. Source: PROV-O, W3C Recommendation of 30 April 2013; JSON-LD
1.1, W3C Recommendation of 16 July 2020.
"""

from __future__ import annotations

import base64
import datetime as dt
import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import quote

from builder import __version__
from builder.publish.cells import round_to
from builder.records.facts import Moment
from builder.records.ledger import LedgerEntry
from builder.records.photo import DateFrom, Observation
from builder.records.piece import Entry
from builder.relate.findings import Difference, Findings, Look, Strand
from builder.relate.strands import name_strand

Node = dict[str, Any]

_CONTEXT: Node = {
    "prov": "http://www.w3.org/ns/prov#",
    "xsd": "http://www.w3.org/2001/XMLSchema#",
    "dcterms": "http://purl.org/dc/terms/",
    "rdfs": "http://www.w3.org/2000/01/rdf-schema#",
    "label": "rdfs:label",
    "identifier": "dcterms:identifier",
    "format": "dcterms:format",
    "description": "dcterms:description",
    "date": {"@id": "dcterms:date", "@type": "xsd:date"},
    **{
        name: {"@id": f"prov:{name}", "@type": "@id"}
        for name in (
            "wasGeneratedBy",
            "used",
            "wasDerivedFrom",
            "wasAttributedTo",
            "wasAssociatedWith",
        )
    },
    **{
        name: {"@id": f"prov:{name}", "@type": "xsd:dateTime"}
        for name in ("startedAtTime", "endedAtTime", "generatedAtTime")
    },
}
_MEASURING, _PROGRAM = "#measuring", "#patinarium"
_FORMATS = {"JPEG": "image/jpeg", "PNG": "image/png", "TIFF": "image/tiff", "WebP": "image/webp"}


def provenance_json(findings: Findings) -> str:
    """The provenance of every piece, photograph, reading and verdict that is published."""
    return "".join(provenance_parts(findings))


def provenance_parts(findings: Findings) -> Iterator[str]:
    """The same in parts, in order: that of a large library is never all held."""
    yield f'{{\n "@context": {_write(_CONTEXT, 1)},\n "@graph": ['
    mark = ""
    for node in _list_nodes(findings):
        yield f"{mark}\n  {_write(node, 2)}"
        mark = ","
    yield "\n ]\n}\n"


def _write(node: Node, depth: int) -> str:
    """JSON, a space deeper at each level, so many levels in; no text in it has a line's end."""
    told = json.dumps(node, ensure_ascii=False, indent=1, allow_nan=False)
    return told.replace("\n", "\n" + " " * depth)


def _list_nodes(findings: Findings) -> Iterator[Node]:
    chains = findings.library.ledger.chains()
    yield {
        "@id": _PROGRAM,
        "@type": ["prov:Agent", "prov:SoftwareAgent"],
        "label": f"Patinarium {__version__}",
    }
    yield {
        "@id": _MEASURING,
        "@type": "prov:Activity",
        "label": "reading colours from photographs",
        "wasAssociatedWith": _PROGRAM,
    }
    by_entry: dict[int, list[Strand]] = defaultdict(list)
    for strand in findings.strands:
        by_entry[id(strand.entry)].append(strand)
    for entry in findings.library.entries:
        strands = by_entry[id(entry)]
        yield from _tell_piece(entry, strands)
        if "photos" not in entry.withheld:
            yield from _tell_photos(strands, chains)


def name_bytes(sha256: str) -> str:
    """The name of bytes by their digest. Source: RFC 6920, section 3."""
    coded = base64.urlsafe_b64encode(bytes.fromhex(sha256)).decode().rstrip("=")
    return f"ni:///sha-256;{coded}"


def _name(kind: str, *parts: object) -> str:
    return "#" + "-".join([kind, *(quote(str(part), safe="") for part in parts if part != "")])


def _of(entry: Entry) -> tuple[object, ...]:
    piece = entry.piece
    return (piece.piece, "" if piece.attempt == 1 else piece.attempt)


def _tell_piece(entry: Entry, strands: list[Strand]) -> Iterator[Node]:
    """The piece as it was coloured and, zone by zone, as it was sealed."""
    piece = entry.piece
    colouring, coloured = _name("colouring", *_of(entry)), _name("coloured", *_of(entry))
    maker = piece.made_by.written if piece.made_by.given else ""
    by: Node = {"wasAssociatedWith": _name("maker", maker)} if maker else {}
    if maker:
        yield {"@id": _name("maker", maker), "@type": "prov:Agent", "label": maker}
    yield {
        "@id": colouring,
        "@type": "prov:Activity",
        "label": f"colouring of {piece.piece}",
        **_begin(piece.started.value),
        **by,
    }
    yield {
        "@id": coloured,
        "@type": "prov:Entity",
        "label": f"{piece.piece}, coloured",
        "identifier": piece.piece,
        "wasGeneratedBy": colouring,
    }
    for strand in strands:
        if strand.sealed:
            yield from _tell_sealing(strand, coloured, by)


def _tell_sealing(strand: Strand, coloured: str, by: Node) -> Iterator[Node]:
    name = name_strand(strand)
    sealing = _name("sealing", *_of(strand.entry), strand.zone)
    zones = [zone for zone in strand.entry.piece.zones if zone.name == strand.zone]
    sealant = zones[0].sealant if zones else strand.entry.piece.sealant
    yield {
        "@id": sealing,
        "@type": "prov:Activity",
        "label": f"sealing of {name}",
        "description": strand.sealant,
        "used": coloured,
        **_begin(sealant.date.value),
        **by,
    }
    yield {
        "@id": _name("sealed", *_of(strand.entry), strand.zone),
        "@type": "prov:Entity",
        "label": f"{name}, sealed",
        "wasGeneratedBy": sealing,
        "wasDerivedFrom": coloured,
    }


def _begin(moment: Moment | None) -> Node:
    """A time is a time only where the hour was written; else it is a date."""
    if moment is None:
        return {}
    if moment.time is None:
        return {"date": moment.day.isoformat()}
    return {"startedAtTime": dt.datetime.combine(moment.day, moment.time).isoformat()}


def _tell_photos(
    strands: list[Strand], chains: Mapping[str, tuple[LedgerEntry, ...]]
) -> Iterator[Node]:
    told: set[str] = set()
    for strand in strands:
        for look in strand.looks:
            if look.observation.file.path not in told:
                told.add(look.observation.file.path)
                yield from _tell_photo(strand, look, chains)
            if look.colour is not None and look.reading is not None:
                yield _tell_reading(strand, look)
        if strand.drift:
            yield _tell_verdict(strand, strand.drift)


def _tell_photo(
    strand: Strand, look: Look, chains: Mapping[str, tuple[LedgerEntry, ...]]
) -> Iterator[Node]:
    seen = look.observation
    photo, taking = _photo(seen), _name("taking", _mark(seen))
    shows = look.days_since_sealed is not None and strand.sealed
    state = _name("sealed", *_of(strand.entry), strand.zone) if shows else ""
    yield {
        "@id": taking,
        "@type": "prov:Activity",
        "label": f"photographing {seen.file.piece}",
        "used": state or _name("coloured", *_of(strand.entry)),
        **_take_time(seen, look),
    }
    yield {
        "@id": photo,
        "@type": "prov:Entity",
        "label": seen.file.path.rpartition("/")[2],
        "identifier": seen.file.path,
        "format": _FORMATS.get(seen.picture.format, "image/heic"),
        "wasGeneratedBy": taking,
        **({"description": f"shows it {look.state}"} if look.state else {}),
    }
    for entry in chains.get(seen.file.path, ()):
        yield {
            "@id": _name("entry", entry.number),
            "@type": "prov:Activity",
            "label": f"ledger, entry {entry.number}: {entry.what}",
            "used": photo,
            "endedAtTime": entry.at.strftime("%Y-%m-%dT%H:%M:%SZ"),
        }


def _mark(seen: Observation) -> str:
    """What tells a photograph from all others, even for those who are not told its digest."""
    return seen.picture.sha256[:16] or seen.file.path


def _photo(seen: Observation) -> str:
    sha256 = seen.picture.sha256
    return name_bytes(sha256) if sha256 else _name("photograph", seen.file.path)


def _take_time(seen: Observation, look: Look) -> Node:
    taken = seen.picture.exif.taken
    if look.taken_from is DateFrom.CAMERA and taken is not None:
        offset = seen.picture.exif.offset
        zone = None if offset is None else dt.timezone(dt.timedelta(minutes=offset))
        return {"endedAtTime": taken.replace(tzinfo=zone).isoformat()}
    return {"date": look.taken.isoformat()} if look.taken else {}


def _reading(look: Look) -> str:
    return _name("reading", _mark(look.observation), look.zone)


def _tell_reading(strand: Strand, look: Look) -> Node:
    L, a, b = (round_to(value, 2) for value in look.colour or (0.0, 0.0, 0.0))
    u = round_to(look.reading.u, 2) if look.reading else None
    return {
        "@id": _reading(look),
        "@type": "prov:Entity",
        "label": f"colour of {name_strand(strand)}",
        "description": f"L* {L}, a* {a}, b* {b} (D65, 2°), u {u} ΔE00",
        "wasDerivedFrom": _photo(look.observation),
        "wasGeneratedBy": _MEASURING,
        "wasAttributedTo": _PROGRAM,
    }


def _tell_verdict(strand: Strand, last: Difference) -> Node:
    return {
        "@id": _name("verdict", *_of(strand.entry), strand.zone),
        "@type": "prov:Entity",
        "label": f"verdict on {name_strand(strand)}",
        "description": f"{strand.verdict}: ΔE00 {last.de00:.2f} in {last.days} days, "
        f"u {last.u:.2f}",
        "wasDerivedFrom": [_reading(last.first), _reading(last.second)],
        "wasGeneratedBy": _MEASURING,
        "wasAttributedTo": _PROGRAM,
    }
