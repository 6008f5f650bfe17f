"""A small library of findings with drawn pictures, so that pages can be looked at without reading
a single photograph. Pieces, colours and dates: the invented demo, `tests/data/demo_pieces.csv`.

What `relate` would find is put together here by the simplest means: these numbers are there to be
shown, not checked.
"""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from builder.errors import Problem, Weight
from builder.measure.spaces import SRGB, lab_to_xyz
from builder.records.facts import Fact, Known, Moment
from builder.records.library import Library
from builder.records.photo import (
    CardReport,
    ColourShare,
    DateFrom,
    Evidence,
    Exif,
    Lab,
    Observation,
    PhotoFile,
    Picture,
    Reading,
    State,
    StateFrom,
    WebImage,
)
from builder.records.piece import Entry, Piece
from builder.records.settings import Card, CardPatch, Settings, SetUp
from builder.relate.effects import find_effects
from builder.relate.factors import list_factors
from builder.relate.failures import find_instead
from builder.relate.findings import (
    Difference,
    Failure,
    Findings,
    Look,
    Nearer,
    Pair,
    Sisters,
    Strand,
    Verdict,
    VisibleChange,
)
from builder.relate.pairs import find_near, find_pairs
from builder.relate.repeats import find_repeats, find_singles
from builder.relate.series import draw_series, find_rows

CSV = Path(__file__).parents[1] / "data" / "demo_pieces.csv"
TODAY = dt.date(2026, 3, 1)
MONTHS = ("0", "0.25", "1", "3", "6", "12")
DAYS = (1, 7, 30, 91, 182, 365)
U = 0.9  # ΔE00, a plausible noise floor for a reading with a card
PATCHES = (
    *((96.0, 0.0, 0.0), (81.0, 0.0, 0.0), (66.0, 0.0, 0.0)),
    *((51.0, 0.0, 0.0), (24.0, 0.0, 0.0), (45.0, 55.0, 30.0)),
    *((55.0, -38.0, 32.0), (32.0, 14.0, -48.0), (80.0, 3.0, 76.0)),
)
INVENTED = (
    "Everything in this library is invented: the workshop, the pieces, the dates, the colours."
)


def demo_rows() -> list[dict[str, str]]:
    with CSV.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def settings() -> Settings:
    patches = tuple(
        CardPatch("ABC"[i // 3] + str(i % 3 + 1), i // 3, i % 3, lab)
        for i, lab in enumerate(PATCHES)
    )
    return Settings(
        title="Sparrowhithe Metal Evenings",
        invented=INVENTED,
        default_setup="bench plates",
        setups=(
            SetUp(
                "bench plates",
                piece_at=((0.1, 0.1), (0.5, 0.1), (0.5, 0.9), (0.1, 0.9)),
                card_at=((0.6, 0.3), (0.85, 0.3), (0.85, 0.65), (0.6, 0.65)),
                card=Card("sparrowhithe-card.txt", 3, 3, patches),
                piece_mm=(100.0, 150.0),
            ),
        ),
    )


# ---------------------------------------------------------------------------------------- pictures


def _rgb(lab: Lab) -> NDArray[np.float64]:
    linear = lab_to_xyz(np.array(lab)) @ np.linalg.inv(SRGB.to_xyz).T
    rgb = SRGB.encode(np.clip(linear, 0, 1))
    return np.asarray(rgb) * 255


def _noise(rng: np.random.Generator, size: tuple[int, int], across: int, down: int) -> Any:
    small = rng.normal(size=(max(2, size[1] // down), max(2, size[0] // across)))
    low, high = small.min(), small.max()
    image = Image.fromarray(((small - low) / (high - low) * 255).astype("uint8"))
    return np.asarray(image.resize(size, Image.Resampling.BICUBIC), dtype=float) / 255 - 0.5


def draw_view(lab: Lab, second: Lab, cover: float, seed: int, texture: str) -> Image.Image:
    """The piece alone, 480 × 720, in two colours."""
    size = (480, 720)
    rng = np.random.default_rng(seed)
    blotch = _noise(rng, size, 22, 26) + 0.6 * _noise(rng, size, 8, 9)
    edge = np.quantile(blotch, cover)
    mix = np.clip((edge - blotch) * 14 + 0.5, 0, 1)[..., None]
    body = _rgb(lab) * mix + _rgb(second) * (1 - mix)
    across, down = (2, 90) if texture == "brushed" else (3, 3)
    body = (
        body
        * (1 + 0.16 * _noise(rng, size, across, down) + 0.10 * _noise(rng, size, 200, 160))[
            ..., None
        ]
    )
    image = Image.fromarray(np.clip(body, 0, 255).astype("uint8"))
    return image.filter(ImageFilter.GaussianBlur(0.6))


def draw_card() -> Image.Image:
    image = Image.new("RGB", (240, 240), (70, 70, 70))
    pen = ImageDraw.Draw(image)
    for i, lab in enumerate(PATCHES):
        left, top = 6 + (i % 3) * 78, 6 + (i // 3) * 78
        fill = tuple(int(v) for v in _rgb(lab))
        pen.rectangle((left, top, left + 72, top + 72), fill=fill)
    return image


def draw_photo(view: Image.Image, number: str) -> Image.Image:
    image = Image.new("RGB", (1600, 1200), (232, 231, 228))
    image.paste(view.resize((640, 960)), (160, 120))
    image.paste(draw_card().resize((400, 420)), (960, 360))
    ImageDraw.Draw(image).text((960, 200), number, fill=(30, 30, 30), font_size=90)
    return image


@dataclass
class Studio:
    """Writes pictures into ``folder`` by content name, or only pretends to where it is None."""

    folder: Path | None

    def keep(self, image: Image.Image | None, words: str, size: tuple[int, int]) -> WebImage:
        if image is None or self.folder is None:
            name = hashlib.sha256(words.encode()).hexdigest()[:16] + ".jpg"
            return WebImage(name, *size, 1000)
        stream = io.BytesIO()
        image.resize(size).save(stream, "JPEG", quality=80)
        data = stream.getvalue()
        name = hashlib.sha256(data).hexdigest()[:16] + ".jpg"
        self.folder.mkdir(parents=True, exist_ok=True)
        (self.folder / name).write_bytes(data)
        return WebImage(name, *size, len(data))

    def picture(self, path: str, lab: Lab, row: dict[str, str], cover: float) -> Picture:
        number = row["id"]
        seed = int(number[3:])
        second = (float(row["second_L"]), float(row["second_a"]), float(row["second_b"]))
        view = whole = card = None
        if self.folder is not None:
            view = draw_view(lab, second, cover, seed, row["texture"])
            whole, card = draw_photo(view, number), draw_card()
        return Picture(
            path=path,
            sha256=hashlib.sha256(path.encode()).hexdigest(),
            bytes=170_000,
            format="JPEG",
            width=1600,
            height=1200,
            exif=Exif(
                taken=None, make="Barnlight", model="B1", exposure="1/60", aperture="2.8", iso="100"
            ),
            profile="sRGB",
            webs=tuple(
                self.keep(whole, f"{path} {width}", (width, width * 3 // 4))
                for width in (480, 960, 1600)
            ),
            file_day=dt.date(2026, 2, 1),
            view=self.keep(view, f"{path} view", (480, 720)),
            view_mm=(100.0, 150.0),
            view_corrected=True,
            card_strip=self.keep(card, f"{path} card", (240, 240)),
        )


# ----------------------------------------------------------------------------------------- records


def _ingredients(row: dict[str, str]) -> list[dict[str, str]]:
    names = [name.strip() for name in row["ingredients"].split("+") if name.strip() != "none"]
    amounts = [part.strip() for part in row["strength"].split(":")]
    if len(names) != len(amounts):
        return [{"name": name, "strength": row["strength"]} for name in names]
    made = []
    for name, amount in zip(names, amounts, strict=True):
        word, _, strength = amount.partition(" (")
        made.append(
            {"name": name, "amount": word}
            | ({"strength": strength.rstrip(")")} if strength else {})
        )
    return made


def _day(text: str) -> Fact[Moment]:
    return Fact(text, Moment(dt.date.fromisoformat(text)), Known.GIVEN)


def entry_of(row: dict[str, str], **more: Any) -> Entry:
    number = row["id"]
    sealed = int(row["coats"] or 0) > 0 and row["sealant"] not in ("none", "")
    kind = row["sealant"]
    record: dict[str, Any] = {
        "piece": number,
        "form": row["piece"],
        "size_mm": ["100", "150", "0.9"],
        "metal": row["metal"],
        "prep": [{"step": step.strip()} for step in row["prep"].split(";")],
        "method": row["method"],
        "ingredients": _ingredients(row),
        "temperature_c": row["temp_C"],
        "humidity_pct": "not measured",
        "started": _day(row["coloured_on"]),
        "exposure": row["time"],
        "cycles": row["cycles"],
        "dry": {"how": "on a rack", "for": row["dry_before_seal"]},
        "sealant": {"kind": kind, "coats": row["coats"]} if sealed else "none",
        "outcome": row["outcome"],
        "colour_words": [word.strip() for word in row["remark"].replace(";", ",").split(",")][:2],
        "notes": row["remark"],
        "made_by": "R.T.",
    }
    inherited: tuple[tuple[str, str], ...] = ()
    if number in {"SH-014", "SH-015", "SH-016"}:
        record |= {
            "same_as": "SH-012",
            "change": {"sealant": kind},
            "why": "does wax keep the chalk?",
        }
        inherited = tuple((name, "SH-012") for name in ("metal", "prep", "method", "ingredients"))
    if number in {"SH-008", "SH-009", "SH-013", "SH-016", "SH-025", "SH-027"}:
        record["cause"] = {
            "SH-008": "grease",
            "SH-016": "damp at sealing",
            "SH-013": "too long",
        }.get(number, "unknown")
    if number == "SH-013":
        record["humidity_pct"] = "unknown"
    if number == "SH-012":
        record["checks"] = [
            {
                "date": _day("2025-01-14"),
                "state": "recheck",
                "seen": [
                    {
                        "what": "powdering",
                        "where": "lower edge",
                        "extent": "5-25",
                        "severity": "slight",
                        "moving": "active",
                    }
                ],
            }
        ]
    if number == "SH-024":
        record["sealant"] = "none"
        record["zones"] = [
            {"name": "left", "sealant": {"kind": "microcrystalline wax", "coats": "2"}},
            {"name": "centre", "sealant": "none"},
            {"name": "right", "sealant": {"kind": "acrylic lacquer", "coats": "2"}},
        ]
    return Entry(
        piece=Piece.model_validate(record | more),
        file=f"samples/{number}/sample.yaml",
        inherited=inherited,
    )


def _lab(row: dict[str, str], stem: str) -> Lab:
    return (float(row[f"{stem}_L"]), float(row[f"{stem}_a"]), float(row[f"{stem}_b"]))


def _observe(
    studio: Studio,
    row: dict[str, str],
    day: dt.date,
    state: State,
    lab: Lab,
    zones: tuple[str, ...],
) -> Observation:
    number = row["id"]
    path = f"samples/{number}/{number}_{day}_{str(state).replace(' ', '-')}_front.jpg"
    cover = float(row["main_cover"])
    second = _lab(row, "second")
    return Observation(
        file=PhotoFile(
            path, number, named_piece=number, written=day, state=state, setup="bench plates"
        ),
        picture=studio.picture(path, lab, row, cover),
        card=CardReport("grey steps and four colours", 0.7),
        readings=tuple(
            Reading(
                zone,
                (ColourShare(lab, cover), ColourShare(second, 1 - cover)),
                lab,
                U,
                Evidence.GREY,
                1.8,
                0.4,
                0.0,
            )
            for zone in zones
        ),
    )


def _look(
    seen: Observation, zone: str, row: dict[str, str], day: dt.date, sealed_on: dt.date | None
) -> Look:
    reading = next(r for r in seen.readings if r.zone == zone)
    start = dt.date.fromisoformat(row["coloured_on"])
    return Look(
        seen,
        zone,
        day,
        DateFrom.CAMERA,
        seen.file.state,
        StateFrom.FILE_NAME,
        (day - start).days,
        (day - sealed_on).days if sealed_on and day >= sealed_on else None,
        reading,
        reading.colours[0].lab,
        reading.colours[0].share,
    )


def _strands(studio: Studio, row: dict[str, str], entry: Entry) -> list[Strand]:
    zones = tuple(zone.name for zone in entry.piece.zones) or ("",)
    start = dt.date.fromisoformat(row["coloured_on"])
    fresh_day = start + dt.timedelta(days=10)
    sealed_on = fresh_day + dt.timedelta(days=1)
    seen: list[tuple[dt.date, Observation]] = [
        (fresh_day, _observe(studio, row, fresh_day, State.BEFORE_SEAL, _lab(row, "fresh"), zones))
    ]
    for months, days in zip(MONTHS, DAYS, strict=True):
        state = State.AFTER_SEAL if days == 1 else State.RECHECK
        day = sealed_on + dt.timedelta(days=days)
        seen.append((day, _observe(studio, row, day, state, _lab(row, f"{months}_mo"), zones)))
    made = []
    for zone in zones:
        kind = (
            next(z for z in entry.piece.zones if z.name == zone).sealant.kind.words()
            if zone
            else entry.piece.sealant.kind.words()
        )
        sealed = kind not in ("none", "(finish is the sealant)")
        looks = tuple(_look(o, zone, row, d, sealed_on if sealed else None) for d, o in seen)
        if not sealed:
            looks = looks[:1] + looks[2:]
        baseline = looks[1] if sealed else looks[0]
        later = looks[2:] if sealed else looks[1:]
        drifts = tuple(
            Difference(
                baseline,
                look,
                (look.taken - baseline.taken).days,  # type: ignore[operator]
                float(row[f"{months}_mo_dE00"]),
                U,
                4.5,
                ("darker", "browner"),
            )
            for look, months in zip(later, MONTHS[1:], strict=True)
        )
        last = drifts[-1]
        moved = last.de00 > 2.5
        made.append(
            Strand(
                entry,
                zone,
                kind,
                sealed,
                looks,
                looks[0],
                baseline,
                looks[-1],
                Difference(
                    looks[0],
                    looks[1],
                    2,
                    float(row["seal_cost_dE00"]),
                    U,
                    2.5,
                    ("darker", "greener"),
                )
                if sealed
                else None,
                drifts,
                Verdict.MOVED if moved else Verdict.HELD,
                f"Moved in {last.days} days: darker and browner (ΔE00 {last.de00:.1f}, noise {U})."
                if moved
                else f"Held for {last.days} days: any change is below what can be seen "
                f"(ΔE00 {last.de00:.1f}, noise {U}).",
                VisibleChange(30, 91, 62.0, "between 30 and 91 days, about 62")
                if moved
                else VisibleChange(None, None, None, "not by 365 days"),
                (),
            )
        )
    return made


SISTERS = (
    ("SH-004", "SH-002"), ("SH-005", "SH-002"), ("SH-014", "SH-012"), ("SH-015", "SH-012"),
    ("SH-020", "SH-019"), ("SH-025", "SH-023"), ("SH-026", "SH-027"),
)  # fmt: skip
PAIRS = (
    ("SH-012", "SH-014", "sealant", "none", "microcrystalline wax, 2 coats"),
    ("SH-012", "SH-015", "sealant", "none", "acrylic lacquer, 2 coats"),
    ("SH-011", "SH-012", "time", "3 d", "7 d"),
    ("SH-012", "SH-013", "time", "7 d", "14 d"),
    ("SH-012", "SH-017", "metal", "copper", "phosphor bronze"),
    ("SH-012", "SH-018", "recipe", "sawdust, malt vinegar, salt", "sawdust, malt vinegar"),
    ("SH-015", "SH-016", "dry", "7 d", "6 h"),
    ("SH-002", "SH-008", "prep", "pumice scrub, water-break, abrade", "abrade"),
    ("SH-002", "SH-006", "", "", ""),
)


def findings(
    folder: Path | None = None, numbers: tuple[str, ...] | None = None, **changes: Any
) -> Findings:
    """The demo, or those pieces of it that are named; pictures are drawn where ``folder`` is."""
    studio = Studio(folder)
    rows = [row for row in demo_rows() if numbers is None or row["id"] in numbers]
    entries = [entry_of(row, **changes.get(row["id"].replace("-", "_"), {})) for row in rows]
    strands = [s for r, e in zip(rows, entries, strict=True) for s in _strands(studio, r, e)]
    first = {s.entry.piece.piece: s for s in reversed(strands)}
    sisters = []
    for sealed, bare in SISTERS:
        if sealed not in first or bare not in first:
            continue
        a, b = first[sealed], first[bare]
        sisters.append(
            Sisters(
                a,
                b,
                "same in every recorded factor but sealant",
                365,
                a.seal_cost,
                a.drifts[-1],
                b.drifts[-1],
                68.0,
                "Held at least 68 % of the change its bare sister shows.",
                Nearer.BARE if sealed == "SH-014" else Nearer.TOO_CLOSE,
                "A year on, the bare piece is nearer the chosen look."
                if sealed == "SH-014"
                else "A year on, the two are too close to call.",
                14.0,
                6.3,
                U,
                ("humidity",),
            )
        )
    problems = [
        Problem(
            "samples/SH-014/sample.yaml", 12, 'amount "a splash"', "an amount such as 120 ml",
            "measure it next time; it is kept as written", Weight.NOTED,
        )
    ]  # fmt: skip
    library = Library(Path(), settings(), tuple(entries), (), tuple(problems))
    factors = [list_factors(strand) for strand in strands]
    near = find_near(factors)
    rows = find_rows(factors, near)
    repeats = find_repeats(strands, factors, near, find_pairs(strands, factors, near))
    failures = tuple(
        Failure(e, e.piece.cause.written or "cause not recorded", e.piece.notes.words())
        for e in entries
        if e.piece.outcome.words() in ("failure", "part success")
    )
    return Findings(
        library,
        TODAY,
        tuple(dict.fromkeys(look.observation for s in strands for look in s.looks)),
        tuple(strands),
        tuple(sisters),
        tuple(
            Pair(first[a], first[b], f, va, vb, ("humidity",), 6.2, U)
            for a, b, f, va, vb in PAIRS
            if a in first and b in first
        ),
        find_instead(failures, strands, factors),
        tuple(problems),
        draw_series(rows, strands, factors),
        find_effects(strands, rows, near),
        repeats,
        find_singles(strands, factors, repeats),
    )
