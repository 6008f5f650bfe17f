"""Findings as the built-in audiences are told them."""

from __future__ import annotations

from builder.records.audiences import BUILT_IN, Audience
from builder.relate.findings import Findings
from builder.telling import tell

STUDENTS, CLIENTS, PRIVATE = BUILT_IN


def tell_students(found: Findings) -> Findings:
    return tell(found, STUDENTS)


def tell_clients(found: Findings, audience: Audience = CLIENTS) -> Findings:
    return tell(found, audience)
