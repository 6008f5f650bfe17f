from __future__ import annotations

from builder.records.library import Library
from builder.relate.find import find_findings
from builder.relate.findings import Findings
from tests.relate.demo import TODAY, find, find_demo


def test_order_of_photographs_changes_nothing() -> None:
    found = find_demo()
    turned: Findings = find_findings(found.library, found.observations[::-1], TODAY)
    assert turned == found


def test_empty_library_has_empty_findings() -> None:
    found = find((), [])
    assert isinstance(found.library, Library)
    assert (found.strands, found.sisters, found.pairs, found.failures, found.problems) == (
        (), (), (), (), (),
    )  # fmt: skip


def test_pieces_without_photographs_are_told_all_the_same() -> None:
    demo = find_demo()
    found = find(demo.library.entries, [])
    assert len(found.strands) == len(demo.strands)
    assert len(found.pairs) == len(demo.pairs)
    assert all(s.verdict_words == "Cannot tell yet: no photograph." for s in found.strands)
