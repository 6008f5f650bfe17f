"""What authorities let the air hold of what is used or given off, as their papers print it.

ppm is at 25 °C and 760 torr. Both printed figures are kept and neither is made from the other: for
15 minutes of ammonia NIOSH prints 35 ppm as 27 mg/m³, ACGIH as 24. ``year`` is that of the paper
the figure was read in, "" where it does not tell; later limits may hold, and local ones go first.
Sources: as each row names them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from builder.records.hazards import Status


class Kind(StrEnum):
    """What a figure limits."""

    SHIFT = "on average"
    SHORT = "at most"
    CEILING = "as a ceiling"
    PEAK = "as a peak"
    DANGER = "dangerous to life or health at once"
    EXPLOSIVE = "takes fire in air from"


@dataclass(frozen=True)
class Limit:
    """One figure: ``value`` in ``unit`` ("ppm", "mg/m3" or "% v/v"), and ``mg_per_m3`` where it is
    printed beside; ``value`` is None where ``said`` stands for it ("no limit"). ``authority`` is ""
    for what is no rule but a property. ``superseded``: a later figure of the same authority is
    known, and this one is kept to be known again."""

    substance: str
    cas: str
    authority: str
    kind: Kind
    value: float | None
    unit: str
    mg_per_m3: float | None
    averaging: str
    source: str
    year: str
    status: Status
    said: str = ""
    superseded: bool = False


LIMITS: tuple[Limit, ...] = (
    Limit(
        "ammonia", "7664-41-7", "NIOSH", Kind.SHIFT, 25.0, "ppm", 18.0,
        "over a shift of up to 10 h", "NIOSH IDLH documentation (May 1994) for ammonia", "1994",
        Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "NIOSH", Kind.SHORT, 35.0, "ppm", 27.0, "over 15 min",
        "NIOSH IDLH documentation (May 1994) for ammonia", "1994", Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "OSHA", Kind.SHIFT, 50.0, "ppm", 35.0, "over 8 h",
        "NIOSH IDLH documentation (May 1994) for ammonia", "1994", Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "ACGIH", Kind.SHORT, 35.0, "ppm", 24.0, "over 15 min",
        "NIOSH IDLH documentation (May 1994) for ammonia", "1993–94", Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "NIOSH", Kind.DANGER, 300.0, "ppm", None, "",
        "Minnesota Department of Agriculture ammonia page", "", Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "NIOSH", Kind.DANGER, 500.0, "ppm", None, "",
        "NIOSH table of original (SCP) IDLH values", "", Status.SEEN, superseded=True,
    ),
    Limit(
        "ammonia", "7664-41-7", "EU", Kind.SHIFT, 20.0, "ppm", None, "over 8 h",
        "exposure-limit crosswalk dataset page (secondary)", "", Status.SEEN,
    ),
    Limit(
        "ammonia", "7664-41-7", "", Kind.EXPLOSIVE, 15.0, "% v/v", None, "",
        "NIOSH IDLH documentation", "", Status.SEEN,
    ),
    Limit(
        "acetic acid", "64-19-7", "NIOSH", Kind.SHIFT, 10.0, "ppm", 25.0,
        "over a shift of up to 10 h", "NIOSH IDLH documentation (May 1994) for acetic acid",
        "1994", Status.SEEN,
    ),
    Limit(
        "acetic acid", "64-19-7", "NIOSH", Kind.SHORT, 15.0, "ppm", 37.0, "over 15 min",
        "NIOSH IDLH documentation (May 1994) for acetic acid", "1994", Status.SEEN,
    ),
    Limit(
        "acetic acid", "64-19-7", "OSHA", Kind.SHIFT, 10.0, "ppm", 25.0, "over 8 h",
        "NIOSH IDLH documentation (May 1994) for acetic acid", "1994", Status.SEEN,
    ),
    Limit(
        "acetic acid", "64-19-7", "NIOSH", Kind.DANGER, 1000.0, "ppm", None, "",
        "NIOSH table of original (SCP) IDLH values", "", Status.SEEN, superseded=True,
    ),
    Limit(
        "acetic acid", "64-19-7", "NIOSH", Kind.DANGER, 50.0, "ppm", None, "",
        "NIOSH Pocket Guide", "", Status.MEMORY,
    ),
    Limit(
        "hydrogen sulphide", "7783-06-4", "NIOSH", Kind.CEILING, 10.0, "ppm", 15.0,
        "over 10 min", "PMC5777517 Table 3; compliance summary page", "", Status.SEEN,
    ),
    Limit(
        "hydrogen sulphide", "7783-06-4", "OSHA", Kind.CEILING, 20.0, "ppm", None, "",
        "PMC5777517 Table 3", "", Status.SEEN,
    ),
    Limit(
        "hydrogen sulphide", "7783-06-4", "OSHA", Kind.PEAK, 50.0, "ppm", None,
        "of 10 min once a shift", "PMC5777517 Table 3", "", Status.SEEN,
    ),
    Limit(
        "hydrogen sulphide", "7783-06-4", "NIOSH", Kind.DANGER, 100.0, "ppm", None, "",
        "PMC5777517 Table 3", "", Status.SEEN,
    ),
    Limit(
        "nitric acid", "7697-37-2", "NIOSH", Kind.SHIFT, 2.0, "ppm", 5.0,
        "over a shift of up to 10 h", "NIOSH IDLH documentation for nitric acid", "", Status.SEEN,
    ),
    Limit(
        "nitric acid", "7697-37-2", "NIOSH", Kind.SHORT, 4.0, "ppm", 10.0, "over 15 min",
        "NIOSH IDLH documentation for nitric acid", "", Status.SEEN,
    ),
    Limit(
        "nitric acid", "7697-37-2", "OSHA", Kind.SHIFT, 2.0, "ppm", 5.0, "over 8 h",
        "NIOSH IDLH documentation for nitric acid", "", Status.SEEN,
    ),
    Limit(
        "nitric acid", "7697-37-2", "NIOSH", Kind.DANGER, 25.0, "ppm", None, "",
        "NIOSH IDLH documentation for nitric acid", "1994", Status.SEEN,
    ),
    Limit(
        "nitrogen dioxide", "10102-44-0", "NIOSH", Kind.SHORT, 1.0, "ppm", 1.8, "over 15 min",
        "NIOSH IDLH documentation for nitrogen dioxide", "", Status.SEEN,
    ),
    Limit(
        "nitrogen dioxide", "10102-44-0", "OSHA", Kind.CEILING, 5.0, "ppm", 9.0, "",
        "NIOSH IDLH documentation for nitrogen dioxide", "", Status.SEEN,
    ),
    Limit(
        "nitrogen dioxide", "10102-44-0", "NIOSH", Kind.DANGER, 20.0, "ppm", None, "",
        "NIOSH IDLH documentation for nitrogen dioxide", "1994", Status.SEEN,
    ),
    Limit(
        "nitrogen dioxide", "10102-44-0", "NIOSH", Kind.DANGER, 13.0, "ppm", None, "",
        "NIOSH Publication 2017-202 (the publication was seen; the number was not)", "2017",
        Status.MEMORY,
    ),
    Limit(
        "soluble iron salts (as Fe)", "", "NIOSH", Kind.SHIFT, 1.0, "mg/m3", 1.0,
        "over a shift of up to 10 h", "NIOSH Pocket Guide entry (university mirror npgd0346)", "",
        Status.SEEN,
    ),
    Limit(
        "soluble iron salts (as Fe)", "", "OSHA", Kind.SHIFT, None, "", None, "",
        "NIOSH Pocket Guide entry (university mirror npgd0346)", "", Status.SEEN,
        said="no limit set",
    ),
    Limit(
        "soluble iron salts (as Fe)", "", "NIOSH", Kind.DANGER, None, "", None, "",
        "NIOSH Pocket Guide entry (university mirror npgd0346)", "", Status.SEEN,
        said="danger to life at once not determined",
    ),
    Limit(
        "hydrogen peroxide", "7722-84-1", "NIOSH", Kind.SHIFT, 1.0, "ppm", 1.4,
        "over a shift of up to 10 h",
        "NIOSH IDLH documentation for hydrogen peroxide (translated mirror)", "", Status.SEEN,
    ),
    Limit(
        "hydrogen peroxide", "7722-84-1", "OSHA", Kind.SHIFT, 1.0, "ppm", 1.4, "over 8 h",
        "NIOSH IDLH documentation for hydrogen peroxide (translated mirror)", "", Status.SEEN,
    ),
    Limit(
        "hydrogen peroxide", "7722-84-1", "NIOSH", Kind.DANGER, 75.0, "ppm", None, "",
        "NIOSH IDLH documentation for hydrogen peroxide (translated mirror)", "", Status.SEEN,
    ),
    Limit(
        "acetone", "67-64-1", "NIOSH", Kind.SHIFT, 250.0, "ppm", None,
        "over a shift of up to 10 h", "exposure-limit crosswalk dataset page (secondary)", "",
        Status.SEEN,
    ),
    Limit(
        "acetone", "67-64-1", "OSHA", Kind.SHIFT, 1000.0, "ppm", None, "over 8 h",
        "exposure-limit crosswalk dataset page (secondary)", "", Status.SEEN,
    ),
    Limit(
        "acetone", "67-64-1", "NIOSH", Kind.DANGER, 20000.0, "ppm", None, "",
        "NIOSH table of original (SCP) IDLH values", "", Status.SEEN, superseded=True,
    ),
    Limit(
        "acetone", "67-64-1", "NIOSH", Kind.DANGER, 2500.0, "ppm", None, "", "NIOSH Pocket Guide",
        "", Status.MEMORY,
    ),
    Limit(
        "peracetic acid", "79-21-0", "ACGIH", Kind.SHORT, 0.4, "ppm", None, "over 15 min",
        "occupational summary sheet (May 2014)", "2014", Status.SEEN,
    ),
)  # fmt: skip

#: What is in the air over something of a class: substances as :data:`LIMITS` names them.
IN_THE_AIR: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "ammonia": ("ammonia",),
        "acetic acid": ("acetic acid",),
        "sulphide": ("hydrogen sulphide",),
        "nitric acid": ("nitric acid", "nitrogen dioxide"),
        "peroxide": ("hydrogen peroxide",),
        "iron salt": ("soluble iron salts (as Fe)",),
        "acetone": ("acetone",),
    }
)
#: What two classes together give off, likewise.
GIVEN_OFF: Mapping[tuple[str, str], str] = MappingProxyType(
    {("peroxide", "acetic acid"): "peracetic acid"}
)
