"""What became of a filed photograph, in a maker's words."""

from __future__ import annotations

from collections.abc import Iterator

from builder.filing.planning import Filing
from builder.records.photo import DateFrom, Evidence, StateFrom
from builder.relate.findings import Findings, Look, Strand
from builder.relate.strands import name_strand
from builder.relate.verdicts import is_doubtful, judge_difference

_DATE_FROM = {
    DateFrom.CAMERA: "by the camera",
    DateFrom.WRITTEN: "as written",
    DateFrom.FILE: "by the file alone",
    DateFrom.NOTHING: "",
}
_BY = {
    Evidence.TARGET: "by a colour target",
    Evidence.GREY: "by a grey card",
    Evidence.SHEET: "by white paper",
    Evidence.NONE: "by nothing in it",
}
_STATE_FROM = {
    StateFrom.SIDECAR: "by the sidecar",
    StateFrom.FILE_NAME: "by its name",
    StateFrom.DATES: "by the piece's dates",
}


def say_as_what(filing: Filing) -> str:
    """Where a picture goes, the day and the state it counts as, and what each rests on."""
    look = filing.look
    parts = [filing.path]
    if look and look.taken:
        parts.append(f"taken {look.taken} {_DATE_FROM[look.taken_from]}".rstrip())
    if look and look.state and look.state_from:
        parts.append(f"{look.state} {_STATE_FROM[look.state_from]}")
    elif look:
        parts.append("its state cannot be told from the piece's dates")
    return ", ".join(parts)


def say_verdicts(path: str, findings: Findings) -> tuple[str, ...]:
    """What the photograph at ``path`` says of its piece, zone by zone: the reading and the verdict,
    or why there is none."""
    return tuple(
        f"{name_strand(strand)}, {line}"
        for strand in findings.strands
        for look in strand.looks
        if look.observation.file.path == path
        for line in _say_look(strand, look, findings.library.settings.threshold)
    )


def _say_look(strand: Strand, look: Look, threshold: float) -> Iterator[str]:
    reading, when = look.reading, _say_when(look)
    if look.colour is None or reading is None:
        yield f"{when}: no reading ({look.excluded or 'nothing of it could be read'})"
        return
    L, a, b = look.colour
    colour = f"L* {L:.1f}, a* {a:.1f}, b* {b:.1f} (u {reading.u:.1f}, {_BY[reading.evidence]})"
    if look.excluded:
        yield f"{when}: {colour}; not compared: {look.excluded}"
    elif drift := next((drift for drift in strand.drifts if drift.second == look), None):
        verdict = judge_difference(drift, threshold)
        why = " (a reading is doubtful)" if is_doubtful(drift) else ""
        yield (
            f"{when}: {verdict}{why}, ΔE00 {drift.de00:.1f} in {drift.days} days; u {drift.u:.1f}. "
            f"{colour}"
        )
    elif strand.baseline is look:
        yield f"{when}: the watch begins with it. {colour}"
    else:
        yield f"{when}: {colour}"


def _say_when(look: Look) -> str:
    for days, since in (
        (look.days_since_sealed, "sealing"),
        (look.days_since_coloured, "colouring"),
    ):
        if days is not None:
            return f"{days} day{'' if days == 1 else 's'} after {since}"
    return f"{look.state or 'undated'}"
