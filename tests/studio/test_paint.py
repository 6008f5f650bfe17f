"""What is painted is the truth that is claimed for it."""

from __future__ import annotations

import numpy as np
import pytest

from tests.reference import colour
from tests.studio.colours import linear_to_lab
from tests.studio.diary import Shot, list_shots
from tests.studio.paint import paint, prepare
from tests.studio.pieces import read_pieces
from tests.studio.truths import Phase, truth

#: ΔE00 of a painted mean from its truth: a point counts for a colour from 97 % on, so that up to
#: 3 % of its neighbour may be in it along the seams.
PAINTED = 0.1
#: Share of the area: pixels on the seam, of which there are most on wood-chip prints.
COVER = 0.01

#: One piece of every skin, at its last look, when most has happened to it.
SKINS = ("SH-001", "SH-003", "SH-008", "SH-010", "SH-012", "SH-013", "SH-016", "SH-018",
         "SH-020", "SH-024", "SH-027", "SH-028", "SH-029", "SH-030")  # fmt: skip


def _last_look(number: str) -> Shot:
    return next(s for s in list_shots(read_pieces()[number]) if s.planned == 365)


@pytest.mark.parametrize("number", SKINS)
def test_every_colour_of_a_piece_has_its_true_mean_and_share(number: str) -> None:
    shot = _last_look(number)
    painted = paint(shot, prepare(shot))
    for zone in shot.truth.zones:
        read = painted.read[zone.name] > 0
        for seen in zone.colours:
            mask = painted.masks[zone.name, seen.name]
            assert mask[read].mean() == pytest.approx(seen.share, abs=COVER)
            core = read & (mask > 0.97) & (painted.touched == 0)
            if core.sum() < 0.02 * read.sum():
                continue  # a colour of specks is nearly all fringe: it has no core to speak of
            mean = linear_to_lab(painted.rgb[core].mean(axis=0, dtype=np.float64))
            tolerance = PAINTED if not painted.touched.any() else 5 * PAINTED
            assert colour.delta_E(mean, np.array(seen.lab), method="CIE 2000") < tolerance


def test_truth_at_the_planned_days_is_the_table() -> None:
    for piece in read_pieces().values():
        if piece.number == "SH-024":
            continue
        for days, lab in zip((0, 7, 30, 91, 182, 365), piece.curve, strict=True):
            assert truth(piece.number, Phase.WATCHED, days).zones[0].main.lab == lab


def test_truth_between_planned_days_is_in_proportion() -> None:
    halfway = truth("SH-002", Phase.WATCHED, 3.5).zones[0].main.lab
    assert halfway == pytest.approx((32.9, 9.9, 11.9))


def test_a_split_piece_has_three_zones_with_their_own_truth() -> None:
    zones = truth("SH-024", Phase.WATCHED, 365).zones
    pieces = read_pieces()
    assert [zone.name for zone in zones] == ["left", "centre", "right"]
    assert [zone.main.lab for zone in zones] == [
        pieces[number].curve[-1] for number in ("SH-024", "SH-023", "SH-025")
    ]


@pytest.mark.parametrize(
    ("number", "days", "name", "share"),
    [
        ("SH-012", 365, "main", 0.70),
        ("SH-013", 365, "main", 0.62),
        ("SH-027", 91, "rust", 0.18),
        ("SH-027", 365, "rust", 0.45),
    ],
)
def test_cover_follows_the_events_of_the_table(
    number: str, days: float, name: str, share: float
) -> None:
    found = {c.name: c.share for c in truth(number, Phase.WATCHED, days).zones[0].colours}
    assert found[name] == pytest.approx(share)
