"""The rim of a piece against its middle: a halo, a pale edge, a worn one."""

from __future__ import annotations

from builder.measure.difference import delta_e_2000_of
from builder.records.photo import Reading
from builder.relate.directions import name_direction
from builder.relate.findings import Rim


def compare_rim(reading: Reading) -> Rim | None:
    """The rim against the middle; None where the piece was not outlined, or nothing may be said.

    Both lie in one photograph and are corrected by one card, so only the photograph's own noise
    counts.
    """
    if reading.edge is None or reading.centre is None or reading.withheld:
        return None
    de00 = delta_e_2000_of(reading.centre, reading.edge)
    u = reading.u if reading.u_own is None else reading.u_own
    direction = name_direction(reading.centre, reading.edge, u)
    if de00 <= u:
        return Rim(de00, u, (), "no difference beyond the noise")
    words = f"the rim is {', '.join(direction)}" if direction else "the rim is another colour"
    return Rim(de00, u, direction, words)
