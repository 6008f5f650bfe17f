"""The thirty invented pieces of the Sparrowhithe Metal Evenings, as their table gives them."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.studio.colours import Lab

TABLE = Path(__file__).parent.parent / "data" / "demo_pieces.csv"
STARTED_AT = dt.time(19, 30)
#: Days from the start of the watch at which the table gives a colour.
CURVE_DAYS = (0, 7, 30, 91, 182, 365)
_CURVE_MONTHS = ("0", "0.25", "1", "3", "6", "12")

#: Prepared metal before colouring, L*a*b* D65. Invented for the demo, near what is seen.
BARE_METALS: dict[str, tuple[Lab, Lab]] = {
    "copper": ((64.0, 19.5, 23.5), (60.0, 19.0, 22.0)),
    "brass": ((76.5, 1.5, 34.0), (73.0, 1.8, 32.0)),
    "phosphor bronze": ((63.0, 10.5, 22.5), (59.0, 10.0, 21.0)),
    "gilding metal": ((68.0, 10.5, 29.5), (64.0, 10.0, 28.0)),
    "mild steel": ((60.5, -0.3, 1.6), (57.0, -0.2, 2.0)),
    "tinplate": ((80.0, -0.5, 1.8), (77.0, -0.4, 2.4)),
}


@dataclass(frozen=True)
class DemoPiece:
    """One row of the table. ``curve``: L*a*b* at ``CURVE_DAYS`` from the start of the watch.
    ``cover``: the main colour's share of the area, 0 to 1."""

    number: str
    form: str
    metal: str
    method: str
    texture: str
    prep: str
    ingredients: str
    strength: str
    temperature_c: str
    exposure: str
    cycles: str
    dry: str
    sealant: str
    coats: str
    outcome: str
    remark: str
    events: str
    coloured_on: dt.date
    fresh: Lab
    second: Lab
    cover: float
    curve: tuple[Lab, ...]

    @property
    def index(self) -> int:
        return int(self.number.split("-")[1])

    @property
    def sealed(self) -> bool:
        """Whether something was put over the colour after it was dry."""
        return self.sealant not in ("none", "(finish is the sealant)")


def _row_as_piece(row: dict[str, str]) -> DemoPiece:
    def lab(prefix: str) -> Lab:
        return (float(row[f"{prefix}_L"]), float(row[f"{prefix}_a"]), float(row[f"{prefix}_b"]))

    return DemoPiece(
        number=row["id"],
        form=row["piece"],
        metal=row["metal"],
        method=row["method"],
        texture=row["texture"],
        prep=row["prep"],
        ingredients=row["ingredients"],
        strength=row["strength"],
        temperature_c=row["temp_C"],
        exposure=row["time"],
        cycles=row["cycles"],
        dry=row["dry_before_seal"],
        sealant=row["sealant"],
        coats=row["coats"],
        outcome=row["outcome"],
        remark=row["remark"],
        events=row["events"],
        coloured_on=dt.date.fromisoformat(row["coloured_on"]),
        fresh=lab("fresh"),
        second=lab("second"),
        cover=float(row["main_cover"]),
        curve=tuple(lab(f"{months}_mo") for months in _CURVE_MONTHS),
    )


@cache
def read_pieces() -> dict[str, DemoPiece]:
    """Every piece by its number, in the table's order."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {row["id"]: _row_as_piece(row) for row in csv.DictReader(file)}
