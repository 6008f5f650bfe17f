"""The findings as tables for other programs: CSV files, and one JSON file of the same content.

Text that a spreadsheet would run as a formula has an apostrophe before it in the CSV files, not in
the JSON. An empty cell means that nothing is written or nothing may be said; "unknown" and "not
measured" stand as the maker wrote them; "withheld" is what the maker does not share.
"""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain

from builder.publish.cells import Cell, plain_lines, round_to, write_cell
from builder.publish.next_tests import COLUMNS as NEXT_COLUMNS
from builder.publish.next_tests import find_open_tests, list_next_rows
from builder.publish.piece_rows import PIECE_COLUMNS, WITHHELD, list_piece_row
from builder.records.audiences import KEPT_PRIVATE
from builder.records.photo import SheetReport
from builder.relate.findings import (
    Difference,
    Effect,
    Findings,
    Look,
    Pair,
    Repeats,
    Rim,
    Series,
    Single,
    Sisters,
    Strand,
)
from builder.relate.next_tests import NextTest
from builder.relate.strands import name_strand
from builder.relate.visible import DAYS_A_MONTH

Row = dict[str, Cell]
_PART = 1 << 16  # characters
#: A row, which holds nothing but cells, on lines of its own three spaces in.
_ROW = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, allow_nan=False, separators=(",\n   ", ": ")
)
Tables = Mapping[str, list[Row]]  # rows by the name of their file

#: Every column of every table, with what it holds. ΔE00 is CIEDE2000; colour is CIE L*a*b*, D65,
#: 2° observer.
COLUMNS: Mapping[str, Mapping[str, str]] = {
    "pieces.csv": PIECE_COLUMNS,
    "readings.csv": {
        "piece": "number of the piece",
        "zone": "part of the piece, empty for the whole",
        "attempt": "which attempt on this blank",
        "photo": "the photograph, in the library's folder",
        "sha256": "its digest, SHA-256",
        "taken": "day it was taken",
        "taken_from": "what the day rests on: camera, written, file",
        "state": "what it shows the piece as",
        "days_since_coloured": "days since it was lifted out, empty before",
        "days_since_sealed": "days since it was sealed, empty before and for bare pieces",
        "reference": "what the colour rests on: target, grey, sheet, none",
        "L": "L* of the colour followed",
        "a": "a* of the colour followed",
        "b": "b* of the colour followed",
        "u": "noise floor of the reading, ΔE00",
        "card_error": "mean error of card patches left out of the fit, ΔE00",
        "coverage_pct": "share of the metal covered, against the same blank photographed bare, %",
        "mottle": "median difference to the surroundings, ΔE00",
        "glare_pct": "share of the area left out as glare, %",
        "flags": "what to mind, and why it is compared with nothing, where it is not",
        "followed_pct": "share of the area that the colour followed covers, %",
        "bare_photo": "the photograph of the bare blank that coverage_pct is told against",
        "rim_dE00": "difference of the rim from the middle, ΔE00",
        "rim_u": "noise floor of that difference, ΔE00",
        "rim_direction": "which way the rim differs from the middle",
        "sheet": "the jig sheet in it: size and number",
        "mm_per_px": "millimetres a pixel of it covers, by the jig sheet",
        "light_uneven_pct": "how far the light on the sheet differs, before it is put right, %",
    },
    "verdicts.csv": {
        "piece": "number of the piece",
        "zone": "part of the piece, empty for the whole",
        "baseline_photo": "where the watch began",
        "latest_photo": "the latest look compared with it",
        "days": "days between the two",
        "drift": "their difference, ΔE00",
        "u": "noise floor of that difference, ΔE00",
        "verdict": "moved, held, cannot tell yet",
        "grade": "ISO 105-A05 grade of the change, 5 none to 1 great",
        "direction": "which way the colour went",
        "u_of": "difference: what both photographs share is left out of u; readings: it is not",
    },
    "sisters.csv": {
        "sealed": "the sealed piece, with its zone",
        "bare": "its bare sister, with its zone",
        "months": "age at which the two are compared",
        "seal_cost": "last look before sealing to first after cure, ΔE00",
        "sealed_drift": "drift of the sealed one, ΔE00",
        "bare_drift": "drift of the bare one, ΔE00",
        "held_pct": "part of the bare drift held back, %; a lower bound where the words say so",
        "held_words": "the same in words",
        "nearer": "which is nearer the chosen look: sealed, bare, too close to call",
        "u": "noise floor of that call, ΔE00",
    },
    "pairs.csv": {
        "piece_a": "one piece, with its zone",
        "piece_b": "the other",
        "factor": "the one recorded difference, empty for a repeat",
        "value_a": "what it was on the one",
        "value_b": "what it was on the other",
        "unrecorded": "what is not recorded on one or both",
        "dE00_fresh": "difference of the fresh looks, ΔE00",
        "u": "noise floor of that difference, ΔE00",
    },
    "series.csv": {
        "series": "the factor, and a number for each series of it",
        "factor": "the one thing that differs along it",
        "place": "place of the value along the series, from 1; empty where a value is withheld",
        "value": "what it was on this piece",
        "piece": "the piece, with its zone",
        "unrecorded": "what is not recorded on some of the series",
    },
    "effects.csv": {
        "factor": "what was changed",
        "value_1": "from",
        "value_2": "to",
        "sets": "sets of pieces that share everything else and have both values",
        "pieces": "pieces in them",
        "aspect": "lightness, chroma, hue, coverage; empty where sets are too few to generalise",
        "told_sets": "sets this aspect can be told of",
        "median": "median of the sets: ΔL*, ΔC*, degrees of hue, percentage points of the area",
        "lower_quartile": "a quarter of the sets lie below",
        "upper_quartile": "a quarter of the sets lie above",
        "rose": "sets in which it rose",
        "fell": "sets in which it fell",
        "size": "the median as ΔE00 of this aspect alone; of coverage, percentage points",
        "noise": "what size must be beyond, likewise",
        "p": "two-sided sign test over sets",
        "direction": "which way, in words",
        "claimed": "yes where it is beyond chance and noise",
    },
    "repeats.csv": {
        "pieces": "pieces with no recorded difference, with their zones",
        "read": "how many of them have a fresh look that can be compared",
        "dE00_apart": "mean difference of every two, ΔE00",
        "dE00_from_mean": "mean difference from the colour in their middle, ΔE00",
        "noise": "what of dE00_apart the camera alone would make, ΔE00",
        "spread": "dE00_apart without it, ΔE00",
        "words": "how well it repeats",
        "unrecorded": "what is not recorded on some of them",
    },
    "next_tests.csv": NEXT_COLUMNS,
}


def tables(findings: Findings, rows: Tables | None = None) -> dict[str, str]:
    """Every CSV file by name: UTF-8 text, lines end in LF, the first is the heading. ``rows`` are
    those of :func:`list_rows`, where they are listed already."""
    rows = rows or list_rows(findings)
    return {name: "".join(csv_parts(name, rows[name])) for name in COLUMNS}


def library_json(findings: Findings, rows: Tables | None = None) -> str:
    """The same content as one JSON text, with what the numbers mean beside them."""
    rows = rows or list_rows(findings)
    return "".join(json_parts(findings, rows))


def data_parts(
    findings: Findings, tests: Sequence[NextTest]
) -> Iterator[tuple[str, Iterator[str]]]:
    """Every data file, by its name and as parts of its text in order: those of a large library,
    and their rows, are never all held. To be taken one file after another."""
    drawn = _draw_tables(findings, tests)
    for name in sorted(COLUMNS):
        yield name, csv_parts(name, drawn[name]())
    yield "library.json", json_parts(findings, {name: drawn[name]() for name in COLUMNS})


def csv_parts(name: str, rows: Iterable[Row]) -> Iterator[str]:
    """The text of a CSV file in parts."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    names = list(COLUMNS[name])
    writer.writerow(names)
    for row in rows:
        writer.writerow([write_cell(row[name]) for name in names])
        if text.tell() > _PART:
            yield text.getvalue()
            text.seek(0)
            text.truncate()
    yield text.getvalue()


def json_parts(findings: Findings, rows: Mapping[str, Iterable[Row]]) -> Iterator[str]:
    """The one JSON text in parts: sorted, a space deeper at each level."""
    listed = {name.removesuffix(".csv"): listed for name, listed in rows.items()}
    mark = "{"
    for name in sorted((*listed, "about")):
        yield f'{mark}\n "{name}": '
        mark = ","
        if name == "about":
            told = json.dumps(_tell_about(findings), ensure_ascii=False, indent=1, sort_keys=True)
            yield told.replace("\n", "\n ")
        else:
            yield from _list_parts(listed[name])
    yield "\n}\n"


def _list_parts(rows: Iterable[Row]) -> Iterator[str]:
    mark = "["
    for row in rows:
        yield f"{mark}\n  {{\n   {_ROW.encode(row)[1:-1]}\n  }}"
        mark = ","
    yield "[]" if mark == "[" else "\n ]"


def _tell_about(findings: Findings) -> dict[str, object]:
    settings = findings.library.settings
    return {
        "title": settings.title,
        "invented": settings.invented,
        "today": f"{findings.today}",
        "colour": "CIE L*a*b*, D65 white, 2° observer",
        "difference": "CIEDE2000",
        "threshold": settings.threshold,
        "threshold_source": settings.threshold_source,
        "columns": {name.removesuffix(".csv"): dict(told) for name, told in COLUMNS.items()},
    }


def list_rows(findings: Findings, tests: Sequence[NextTest] | None = None) -> Tables:
    """The rows of every file; ``tests`` to do next are found, unless they are already."""
    if tests is None:
        tests = find_open_tests(findings)
    return {name: list(draw()) for name, draw in _draw_tables(findings, tests).items()}


def _draw_tables(
    findings: Findings, tests: Sequence[NextTest]
) -> Mapping[str, Callable[[], Iterator[Row]]]:
    """The rows of every file, drawn as they are asked for."""
    shown = [s for s in findings.strands if "photos" not in s.entry.withheld]
    return {
        "pieces.csv": lambda: map(list_piece_row, findings.strands),
        "readings.csv": lambda: (row for strand in shown for row in _list_readings(strand)),
        "verdicts.csv": lambda: map(_draw_verdict, shown),
        "sisters.csv": lambda: map(_draw_sisters, findings.sisters),
        "pairs.csv": lambda: map(_draw_pair, findings.pairs),
        "series.csv": lambda: (
            row for number, one in _number(findings.series) for row in _list_series(number, one)
        ),
        "effects.csv": lambda: (row for one in findings.effects for row in _list_shifts(one)),
        "repeats.csv": lambda: chain(
            map(_draw_repeats, findings.repeats), map(_draw_single, findings.singles)
        ),
        "next_tests.csv": lambda: iter(list_next_rows(findings, tests)),
    }


def _list_readings(strand: Strand) -> Iterator[Row]:
    for look in strand.looks:
        # Without a colour that may be shown there is no number to show beside it.
        reading = look.reading if look.colour is not None else None
        lab = look.colour or (None, None, None)
        card = look.observation.card
        error = card.error if card is not None and reading is not None else None
        flags = (*(look.reading.flags if look.reading else ()), look.excluded)
        yield {
            "piece": strand.entry.piece.piece,
            "zone": strand.zone,
            "attempt": strand.entry.piece.attempt,
            "photo": look.observation.file.path,
            "sha256": look.observation.picture.sha256,
            "taken": f"{look.taken}" if look.taken else None,
            "taken_from": look.taken_from.value,
            "state": look.state.value if look.state else None,
            "days_since_coloured": look.days_since_coloured,
            "days_since_sealed": look.days_since_sealed,
            "reference": look.reading.evidence.value if look.reading else None,
            "L": round_to(lab[0], 2),
            "a": round_to(lab[1], 2),
            "b": round_to(lab[2], 2),
            "u": round_to(reading.u, 2) if reading else None,
            "card_error": round_to(error, 2),
            "coverage_pct": _per_cent(look.coverage.share if look.coverage else None),
            "mottle": round_to(reading.mottle, 2) if reading else None,
            "glare_pct": round_to(reading.glare_pct, 2) if reading else None,
            "flags": plain_lines("; ".join(dict.fromkeys(flag for flag in flags if flag))),
            "followed_pct": _per_cent(look.share),
            "bare_photo": (look.coverage.against or None) if look.coverage else None,
            **_draw_rim(look.rim),
            **_draw_sheet(look.observation.sheet),
        }


def _draw_rim(rim: Rim | None) -> Row:
    return {
        "rim_dE00": round_to(rim.de00, 2) if rim else None,
        "rim_u": round_to(rim.u, 2) if rim else None,
        "rim_direction": "; ".join(rim.direction) if rim else None,
    }


def _draw_sheet(sheet: SheetReport | None) -> Row:
    found = sheet is not None and not sheet.rejected
    return {
        "sheet": f"{sheet.size} {sheet.number}" if sheet and found else None,
        "mm_per_px": round_to(sheet.mm_per_px, 4) if sheet and found else None,
        "light_uneven_pct": round_to(sheet.uneven_pct, 1) if sheet and found else None,
    }


def _per_cent(share: float | None) -> float | None:
    return round_to(None if share is None else 100 * share, 1)


def _draw_verdict(strand: Strand) -> Row:
    last = strand.drift
    return {
        "piece": strand.entry.piece.piece,
        "zone": strand.zone,
        "baseline_photo": _photo(strand.baseline),
        "latest_photo": _photo(last.second) if last else None,
        "days": last.days if last else None,
        "drift": _de00(last),
        "u": round_to(last.u, 2) if last else None,
        "verdict": strand.verdict.value,
        "grade": round_to(last.grade, 2) if last else None,
        "direction": "; ".join(last.direction) if last else None,
        "u_of": ("difference" if last.shared_out else "readings") if last else None,
    }


def _draw_sisters(sisters: Sisters) -> Row:
    return {
        "sealed": name_strand(sisters.sealed),
        "bare": name_strand(sisters.bare),
        "months": round_to(None if sisters.days is None else sisters.days / DAYS_A_MONTH, 1),
        "seal_cost": _de00(sisters.seal_cost),
        "sealed_drift": _de00(sisters.sealed_drift),
        "bare_drift": _de00(sisters.bare_drift),
        "held_pct": round_to(sisters.held_pct, 1),
        "held_words": sisters.held_words,
        "nearer": sisters.nearer.value if sisters.nearer else None,
        "u": round_to(sisters.u, 2),
    }


def _draw_pair(pair: Pair) -> Row:
    return {
        "piece_a": name_strand(pair.a),
        "piece_b": name_strand(pair.b),
        "factor": pair.factor,
        "value_a": _value(pair.value_a),
        "value_b": _value(pair.value_b),
        "unrecorded": "; ".join(pair.unrecorded),
        "dE00_fresh": round_to(pair.de00_fresh, 2),
        "u": round_to(pair.u, 2),
    }


def _value(words: str) -> str:
    return WITHHELD if words == KEPT_PRIVATE else plain_lines(words)


def _number(found: Iterable[Series]) -> Iterator[tuple[int, Series]]:
    counts: Counter[str] = Counter()
    for series in found:
        counts[series.factor] += 1
        yield counts[series.factor], series


def _list_series(number: int, series: Series) -> Iterator[Row]:
    for place, value in enumerate(series.values, start=1):
        for strand in value.strands:
            yield {
                "series": f"{series.factor} {number}",
                "factor": series.factor,
                "place": place if series.ordered else None,
                "value": _value(value.words),
                "piece": name_strand(strand),
                "unrecorded": "; ".join(series.unrecorded),
            }


def _list_shifts(effect: Effect) -> Iterator[Row]:
    row: Row = dict.fromkeys(COLUMNS["effects.csv"])
    row |= {
        "factor": effect.factor,
        "value_1": _value(effect.first),
        "value_2": _value(effect.second),
        "sets": effect.sets,
        "pieces": effect.pieces,
    }
    if not effect.shifts:
        yield row
        return
    for shift in effect.shifts:
        yield {
            **row,
            "aspect": shift.aspect.value,
            "told_sets": shift.sets,
            "median": round_to(shift.median, 2),
            "lower_quartile": round_to(shift.low, 2),
            "upper_quartile": round_to(shift.high, 2),
            "rose": shift.rose,
            "fell": shift.fell,
            "size": round_to(shift.size, 2),
            "noise": round_to(shift.noise, 2),
            "p": round_to(shift.p, 6),
            "direction": shift.words,
            "claimed": "yes" if shift.claimed else "no",
        }


def _draw_repeats(repeats: Repeats) -> Row:
    return {
        "pieces": "; ".join(map(name_strand, repeats.strands)),
        "read": repeats.read,
        "dE00_apart": round_to(repeats.apart, 2),
        "dE00_from_mean": round_to(repeats.from_mean, 2),
        "noise": round_to(repeats.noise, 2),
        "spread": round_to(repeats.spread, 2),
        "words": WITHHELD if repeats.private else repeats.words,
        "unrecorded": "; ".join(repeats.unrecorded),
    }


def _draw_single(single: Single) -> Row:
    row: Row = dict.fromkeys(COLUMNS["repeats.csv"])
    return row | {"pieces": name_strand(single.strand), "words": single.words}


def _de00(difference: Difference | None) -> float | None:
    return round_to(difference.de00, 2) if difference else None


def _photo(look: Look | None) -> str | None:
    return look.observation.file.path if look else None
