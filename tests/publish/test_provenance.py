"""Provenance in the terms of PROV-O, read back by a general RDF library."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import json
from dataclasses import replace

import pytest
from rdflib import RDF, Graph, Namespace, URIRef

from builder.ledger import parse_ledger, seal_entries
from builder.publish.provenance import name_bytes, provenance_json
from builder.records.ledger import Deed, Draft
from builder.relate.findings import Findings
from tests.publish.fixture import findings as draw_findings
from tests.telling.told import tell_students

PROV = Namespace("http://www.w3.org/ns/prov#")
#: Domain and range of the starting-point terms used. Source: PROV-O, W3C Recommendation of
#: 30 April 2013, section 3.1 and the cross reference.
ENDS = {
    PROV.wasGeneratedBy: (PROV.Entity, PROV.Activity),
    PROV.used: (PROV.Activity, PROV.Entity),
    PROV.wasDerivedFrom: (PROV.Entity, PROV.Entity),
    PROV.wasAttributedTo: (PROV.Entity, PROV.Agent),
    PROV.wasAssociatedWith: (PROV.Activity, PROV.Agent),
}
TIMES = {PROV.startedAtTime, PROV.endedAtTime, PROV.generatedAtTime}
AT = dt.datetime(2026, 1, 20, 9, 30, tzinfo=dt.UTC)


@pytest.fixture(scope="module")
def findings(tmp_path_factory: pytest.TempPathFactory) -> Findings:
    found = draw_findings(tmp_path_factory.mktemp("pictures"))
    seen = found.observations[0]
    draft = Draft(Deed.FILED, seen.file.path, seen.picture.sha256, 1, {})
    ledger = parse_ledger(seal_entries([Draft(Deed.BEGAN), draft], None, AT))
    return replace(found, library=replace(found.library, ledger=ledger))


def read(findings: Findings) -> Graph:
    graph = Graph()
    graph.parse(data=provenance_json(findings), format="json-ld", publicID="https://example.org/p")
    return graph


def test_every_term_joins_what_the_recommendation_says_it_joins(findings: Findings) -> None:
    graph = read(findings)
    met = set()
    for subject, term, other in graph:
        if not str(term).startswith(str(PROV)):
            continue
        met.add(term)
        assert term in ENDS or term in TIMES, term
        if term in ENDS:
            domain, reach = ENDS[term]
            assert (subject, RDF.type, domain) in graph, (subject, term)
            assert (other, RDF.type, reach) in graph, (term, other)
    assert set(ENDS) <= met


def test_every_photograph_is_named_by_its_digest_and_every_reading_comes_from_one(
    findings: Findings,
) -> None:
    graph = read(findings)
    photos = {
        URIRef(name_bytes(look.observation.picture.sha256))
        for strand in findings.strands
        for look in strand.looks
    }
    for photo in photos:
        assert (photo, RDF.type, PROV.Entity) in graph
    measured = set(graph.subjects(PROV.wasGeneratedBy, URIRef("https://example.org/p#measuring")))
    assert measured
    readings = {node for node in measured if "#reading-" in str(node)}
    for reading in readings:
        assert set(graph.objects(reading, PROV.wasDerivedFrom)) <= photos
    for verdict in measured - readings:
        assert len(set(graph.objects(verdict, PROV.wasDerivedFrom)) & readings) == 2


def test_a_name_is_that_of_the_standard() -> None:
    """RFC 6920, section 8.1: "Hello World!" by SHA-256."""
    digest = hashlib.sha256(b"Hello World!").hexdigest()
    assert name_bytes(digest) == "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk"
    assert base64.urlsafe_b64decode(name_bytes(digest)[13:] + "=").hex() == digest


def test_the_ledgers_entry_is_told_with_its_time(findings: Findings) -> None:
    graph = read(findings)
    entry = URIRef("https://example.org/p#entry-2")
    assert str(graph.value(entry, PROV.endedAtTime)).startswith("2026-01-20T09:30:00")


def test_what_is_kept_private_is_not_told(findings: Findings) -> None:
    entries = []
    for entry in findings.library.entries:
        share = dict.fromkeys(("photos", "made_by", "sealant"), ("private",))
        piece = entry.piece.model_copy(update={"share": share})
        entries.append(entry.model_copy(update={"piece": piece}))
    by_file = {(e.file, e.piece.attempt): e for e in entries}
    strands = tuple(
        replace(s, entry=by_file[(s.entry.file, s.entry.piece.attempt)]) for s in findings.strands
    )
    library = replace(findings.library, entries=tuple(entries))
    found = replace(findings, library=library, strands=strands)
    told = provenance_json(tell_students(found))
    kinds = {node["@id"].partition("-")[0] for node in json.loads(told)["@graph"]}
    assert kinds == {"#patinarium", "#measuring", "#colouring", "#coloured"}


def test_it_is_laid_out_as_pythons_own_writer_does(findings: Findings) -> None:
    told = provenance_json(findings)
    assert json.dumps(json.loads(told), ensure_ascii=False, indent=1) + "\n" == told
