"""The invented demo as records and readings, straight from its table: no photograph is needed.

Every reading has a noise floor of ``U``, and looks fall on the days of the table. SH-024 is three
zones: left as its row, centre as SH-023, right as SH-025.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from pathlib import Path
from typing import Any

from builder.digests import digest_bytes
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.library import Library
from builder.records.photo import (
    ColourShare,
    Evidence,
    Exif,
    Lab,
    Observation,
    PhotoFile,
    Picture,
    Reading,
    State,
    StateFrom,
)
from builder.records.piece import Entry, Piece
from builder.records.settings import Settings
from builder.relate.find import find_findings
from builder.relate.findings import Findings, Strand

ROOT = Path(__file__).parents[2]
DATA = ROOT / "tests" / "data"
DAYS = (0, 7, 30, 91, 182, 365)
MONTHS = ("0", "0.25", "1", "3", "6", "12")
U = 2.0
TODAY = dt.date(2026, 6, 1)
#: Pieces whose wanted colour is not the largest: the maker's own share tells which it is.
LESS_THAN_HALF = ("SH-009", "SH-011")
ZONED = "SH-024"
ZONES = {"left": "SH-024", "centre": "SH-023", "right": "SH-025"}

Row = dict[str, str]


def read_table(name: str) -> list[Row]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def demo_rows() -> dict[str, Row]:
    return {row["id"]: row for row in read_table("demo_pieces.csv")}


def lab_of(row: Row, prefix: str) -> Lab:
    return (float(row[f"{prefix}_L"]), float(row[f"{prefix}_a"]), float(row[f"{prefix}_b"]))


def drifts_of(row: Row) -> list[float]:
    return [float(row[f"{months}_mo_dE00"]) for months in MONTHS[1:]]


def is_bare(row: Row) -> bool:
    return row["sealant"] in ("none", "(finish is the sealant)")


def find_demo(u: float = U) -> Findings:
    """The findings of the whole demo with this noise floor."""
    rows = demo_rows()
    entries = tuple(Entry(piece=piece_of(row), file=file_of(row["id"])) for row in rows.values())
    observations = [o for row in rows.values() for o in observe(row, rows, u)]
    return find(entries, observations)


def find(
    entries: tuple[Entry, ...], observations: list[Observation], today: dt.date = TODAY
) -> Findings:
    library = Library(Path(), Settings(), entries, tuple(o.file for o in observations))
    return find_findings(library, observations, today)


def strand_of(findings: Findings, piece: str, zone: str = "") -> Strand:
    return next(s for s in findings.strands_of(piece) if s.zone == zone)


def file_of(piece: str) -> str:
    return f"samples/{piece}/sample.yaml"


def entry_of(**fields: Any) -> Entry:
    """An entry from a sidecar's own words; copper, dipped, unless told otherwise."""
    told = {"piece": "SH-901", "metal": "copper", "method": "dip", **fields}
    piece = Piece.model_validate(told)
    return Entry(piece=piece, file=file_of(piece.piece))


def piece_of(row: Row) -> Piece:
    bare = is_bare(row)
    told: dict[str, Any] = {
        "piece": row["id"],
        "form": row["piece"],
        "metal": row["metal"],
        "prep": [{"step": step.strip()} for step in row["prep"].split(";")],
        "method": row["method"],
        "ingredients": _ingredients(row),
        "temperature_c": row["temp_C"],
        "started": f"{row['coloured_on']}T19:30",
        "exposure": row["time"],
        "cycles": row["cycles"],
        "dry": {"for": row["dry_before_seal"]},
        "outcome": row["outcome"],
        "notes": row["remark"],
    }
    if row["id"] in LESS_THAN_HALF:
        told["coverage_pct"] = str(100 * float(row["main_cover"]))
    if bare:
        told["sealant"] = row["sealant"].strip("()")
    elif row["id"] != ZONED:
        told["sealant"] = _seal(row)
        told["cure"] = {"for": "24 h"}
    if row["id"] == ZONED:
        wax, lacquer = ({**_seal(row), "kind": kind} for kind in _KINDS)
        told["zones"] = [
            {"name": "left", "at": ["0", "0", "0.333", "1"], "sealant": wax},
            {"name": "centre", "at": ["0.333", "0", "0.667", "1"], "sealant": "none"},
            {"name": "right", "at": ["0.667", "0", "1", "1"], "sealant": lacquer},
        ]
        told["cure"] = {"for": "24 h"}
    return Piece.model_validate(told)


_KINDS = ("microcrystalline wax", "acrylic lacquer")


def _seal(row: Row) -> dict[str, str]:
    return {"kind": row["sealant"], "coats": row["coats"], "date": str(_sealed_on(row))}


def _ingredients(row: Row) -> str | list[dict[str, str]]:
    if row["ingredients"] == "none":
        return "none"
    names = row["ingredients"].split(" + ")
    amounts = [part.strip() for part in row["strength"].split(" : ")]
    if "by weight" in row["strength"]:
        amounts = [row["strength"], ""]
    found = []
    for name, amount in zip(names, amounts[: len(names)], strict=True):
        match = re.fullmatch(r"(.*?)(?: \((.*)\))?", amount)
        assert match
        told = {"name": name}
        told["strength" if match[1].endswith("g/L") else "amount"] = match[1]
        found.append({**told, "strength": match[2]} if match[2] else told)
    return found


def _coloured_on(row: Row) -> dt.date:
    number, _, unit = row["time"].partition(" ")
    lifted = dt.date.fromisoformat(row["coloured_on"])
    return lifted + dt.timedelta(days=int(number) if unit == "d" else 0)


def _dried_on(row: Row) -> dt.date:
    number, _, unit = row["dry_before_seal"].partition(" ")
    hours = int(number) * (24 if unit == "d" else 1)
    begun = dt.datetime.combine(_coloured_on(row), dt.time(20))
    return (begun + dt.timedelta(hours=hours)).date()


def _sealed_on(row: Row) -> dt.date:
    return _dried_on(row) + dt.timedelta(days=1)


def observe(row: Row, rows: dict[str, Row], u: float = U) -> list[Observation]:
    """The looks of the table: a fresh one, and one on every day of the watch."""
    zones = ZONES if row["id"] == ZONED else {"": row["id"]}

    def readings(prefix: str) -> tuple[Reading, ...]:
        return tuple(
            read(_colours(rows[like], prefix), u, zone=zone) for zone, like in zones.items()
        )

    watch_from = _dried_on(row) if is_bare(row) else _sealed_on(row) + dt.timedelta(days=1)
    opening = State.DRY if is_bare(row) else State.AFTER_SEAL
    looks = [] if is_bare(row) else [(_dried_on(row), State.BEFORE_SEAL, readings("fresh"))]
    for days, months in zip(DAYS, MONTHS, strict=True):
        day = watch_from + dt.timedelta(days=days)
        looks.append((day, State.RECHECK if days else opening, readings(f"{months}_mo")))
    return [photo(row["id"], day, state, seen) for day, state, seen in looks]


def _colours(row: Row, prefix: str) -> tuple[ColourShare, ...]:
    cover = float(row["main_cover"])
    main = ColourShare(lab_of(row, prefix), cover)
    second = ColourShare(lab_of(row, "second"), 1 - cover)
    return (main, second)


def read(
    colours: tuple[ColourShare, ...] | Lab,
    u: float = U,
    zone: str = "",
    evidence: Evidence = Evidence.GREY,
    **told: Any,
) -> Reading:
    """A reading of these colours, or of one alone."""
    if not isinstance(colours[0], ColourShare):
        colours = (ColourShare(colours, 1.0),)  # type: ignore[arg-type]
    seen = tuple(sorted(colours, key=lambda c: -c.share))  # type: ignore[union-attr]
    return Reading(zone, seen, seen[0].lab, u, evidence, 1.0, 0.0, 0.0, **told)


def photo(
    piece: str,
    day: dt.date,
    state: State | None = None,
    readings: tuple[Reading, ...] = (),
    name: str = "",
    camera: dt.date | None = None,
    exif: bool = True,
    sha256: str = "",
    file_day: dt.date = dt.date(2026, 1, 1),
    **told: Any,
) -> Observation:
    """One photograph; ``camera`` its EXIF day, else ``day``, else none where ``exif`` is off."""
    name = name or f"{piece}_{day}_{(state or State.DRY).replace(' ', '-')}.jpg"
    path = f"samples/{piece}/{name}"
    facts: dict[str, Any] = {"written": day, "setup": "bench", **told}
    if state is not None:
        facts = {"state": state, "state_from": StateFrom.FILE_NAME, **facts}
    taken = dt.datetime.combine(camera or day, dt.time(19, 0)) if exif else None
    return Observation(
        PhotoFile(path, piece, **facts),
        Picture(
            path, sha256 or digest_bytes(path.encode()), 1, "JPEG", 4, 3, Exif(taken=taken),
            "sRGB", (), file_day,
        ),
        None,
        readings,
    )  # fmt: skip


def find_written(today: dt.date) -> Findings:
    """The demo as its notes and the days in its file names tell it, no photograph opened."""
    library = read_library(ROOT, read_settings_file(ROOT), today)
    return find_findings(library, [_unopened(file) for file in library.photos], today)


def _unopened(file: PhotoFile) -> Observation:
    sha256, day = digest_bytes(file.path.encode()), dt.date(2026, 6, 1)
    return Observation(
        file, Picture(file.path, sha256, 1, "JPEG", 4, 3, Exif(), "sRGB", (), day), None, ()
    )
