"""Paints a piece: colours of the truth, laid on its skin, lit, and brought back to the truth.

Everything is linear light. Shading, grain and sheen move single points up and down; what is left
over as a shift of the mean over the part that is read is divided out, colour by colour and zone by
zone, so that the drawn means are the truth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.studio import events
from tests.studio.colours import Array, lab_to_linear
from tests.studio.diary import Shot
from tests.studio.grain import Field, blur, millimetres, soft_step
from tests.studio.light import (
    CHALKY,
    FINISHES,
    Finish,
    broad_sheen,
    edge_light,
    glints,
    shade_relief,
)
from tests.studio.shapes import Outline, draw_outline
from tests.studio.skin import Skin, tone
from tests.studio.skins import draw_skin
from tests.studio.stand import PLATES
from tests.studio.truths import Phase, TrueColour, ZoneTruth
from tests.studio.worked import brushed

PX = 6.0  # raster pixels a millimetre
MARGIN_MM = 8.0
EDGE_MM = 1.5  # of burr, blur and shadow along the outline, over which no truth is claimed
_CHALKY_TEXTURES = ("mottled", "crusted", "granular", "matt")
_CORE = 0.97  # mask above which a point belongs to one colour alone


@dataclass(frozen=True)
class Painted:
    """``rgb`` linear (h, w, 3); ``alpha`` 1 on metal; ``masks`` the share of each colour of each
    zone at each point, by (zone, colour); ``read`` 1 where the zone is read; ``touched`` over 0
    where a mark lies over the colour."""

    rgb: Array
    alpha: Field
    outline: Outline
    masks: dict[tuple[str, str], Field]
    read: dict[str, Field]
    touched: Field


@dataclass(frozen=True)
class Blank:
    """What stays the same in every picture of a piece."""

    outline: Outline
    skin: Skin
    bare: Skin
    extras: events.Extras


def draw_shape(shot: Shot) -> Outline:
    """The outline of a shot's piece alone, ``MARGIN_MM`` wider than its box on every side."""
    return _draw_shape(shot, np.random.default_rng([7, shot.piece.index]))


def _draw_shape(shot: Shot, rng: np.random.Generator) -> Outline:
    width, height = shot.place.size_mm
    shape = (round((height + 2 * MARGIN_MM) * PX), round((width + 2 * MARGIN_MM) * PX))
    return draw_outline(shot.piece.form, shape, PX, MARGIN_MM, rng)


def prepare(shot: Shot) -> Blank:
    """Draw outline and skins of a shot's piece; the same for every shot of it."""
    piece = shot.piece
    rng = np.random.default_rng([7, piece.index])
    outline = _draw_shape(shot, rng)
    skin = draw_skin(piece, outline, PX, rng)
    bare = brushed(outline, PX, np.random.default_rng([8, piece.index]))
    return Blank(outline, skin, bare, events.draw_extras(piece.number, outline, PX))


def paint(shot: Shot, blank: Blank) -> Painted:
    """The piece of a shot as it lay on the sheet."""
    outline = blank.outline
    skin = blank.bare if shot.phase in (Phase.BARE, Phase.BACK) else blank.skin
    if shot.phase is Phase.BARE and shot.piece.texture in ("hammered", "forged"):
        skin = _over(blank.bare, blank.skin)
    shape = outline.depth.shape
    x, y = millimetres(shape, PX)
    width, height = shot.place.size_mm
    u = (x - MARGIN_MM) / width
    rgb = np.zeros((*shape, 3), dtype=np.float32)
    masks: dict[tuple[str, str], Field] = {}
    reads: dict[str, Field] = {}
    for zone in shot.truth.zones:
        zone_mask = _zone_mask(zone, u)
        read = _read_mask(zone, outline, u)
        reads[zone.name] = read
        shares = _share_out(zone, skin, blank.extras, read)
        finish = _finish(zone, shot)
        sheen = broad_sheen(x - MARGIN_MM, y - MARGIN_MM, width, height)
        if outline.place is not PLATES:
            sheen = 0.25 * sheen  # a curved piece shows its own lights instead
        painted = _light_zone(shot, skin, blank, zone, shares, finish, sheen, read)
        rgb += painted * zone_mask[..., None]
        for name, share in shares.items():
            masks[zone.name, name] = share
    rgb, touched = events.add_marks(shot, blank.extras, outline, rgb, PX)
    return Painted(rgb, soft_step(outline.inside, 0.0, 0.3), outline, masks, reads, touched)


def _over(fine: Skin, coarse: Skin) -> Skin:
    """Hammer marks under a bright surface."""
    return Skin(fine.rank, fine.main, fine.second, fine.tint, fine.powder,
                coarse.height + fine.height, fine.brush, soft=fine.soft)  # fmt: skip


def _zone_mask(zone: ZoneTruth, u: Field) -> Field:
    left, _, right, _ = zone.at
    if zone.name == "":
        return np.ones_like(u)
    low, high = (-9.0 if left == 0 else left), (9.0 if right == 1 else right)
    return soft_step(u, low, 0.003) * (1 - soft_step(u, high, 0.003))


def _read_mask(zone: ZoneTruth, outline: Outline, u: Field) -> Field:
    left, _, right, _ = zone.at
    within = (u >= left) & (u <= right) | (zone.name == "")
    return np.asarray((outline.inside > EDGE_MM) & within, dtype=np.float32)


def _finish(zone: ZoneTruth, shot: Shot) -> Finish:
    if shot.phase is Phase.WET:
        return FINISHES["wet"]
    if zone.finish == "bare" and shot.piece.texture in _CHALKY_TEXTURES:
        return CHALKY
    return FINISHES[zone.finish]


def _share_out(zone: ZoneTruth, skin: Skin, extras: events.Extras, read: Field) -> dict[str, Field]:
    """Which colour lies where, so that each covers its true share of what is read."""
    where = read > 0
    taken = np.zeros_like(read)
    shares: dict[str, Field] = {}
    for colour in zone.colours[2:]:
        rank = extras.ranks[colour.name]
        level = np.quantile(rank[where], 1 - colour.share)
        mask = blur((rank > level).astype(np.float32), PX, 0.12)
        shares[colour.name] = mask
        taken = np.maximum(taken, mask)
    main, second = zone.colours[:2]
    free = where & (taken < 0.5)
    level = np.quantile(skin.rank[free], 1 - main.share / (main.share + second.share))
    mask = blur((skin.rank > level).astype(np.float32), PX, skin.soft / 2)
    shares["main"] = mask * (1 - taken)
    shares["second"] = (1 - mask) * (1 - taken)
    return shares


def _light_zone(
    shot: Shot,
    skin: Skin,
    blank: Blank,
    zone: ZoneTruth,
    shares: dict[str, Field],
    finish: Finish,
    sheen: Field,
    read: Field,
) -> Array:
    outline = blank.outline
    inside = outline.inside
    bevel = -0.25 * np.clip(0.9 - inside, 0, 1.3) ** 2
    thick = skin.thick * blur(shares["main"], PX, 0.07)
    height = (skin.height + thick) * finish.relief + bevel + 0.42 * outline.relief
    shade = shade_relief(height.astype(np.float32), PX)
    shine = glints(blur(height, PX, 0.08), PX, finish.tight)
    swing = finish.sheen * sheen * (1 + 0.22 * skin.brush)
    swing = np.maximum(1 + swing + (1.8 * finish.sheen + 0.22) * outline.belly, 0.4)
    edge = np.exp((0.5 + 1.6 * finish.glint) * edge_light(inside))
    result = np.zeros((*inside.shape, 3), dtype=np.float32)
    haze = events.film_haze(shot, blank.extras)
    for colour in zone.colours:
        share = shares[colour.name]
        log_tone, tint = _tone_of(colour, skin, share, finish, blank.extras)
        layer = lab_to_linear(colour.lab).astype(np.float32) * tone(log_tone + haze, tint)
        layer = layer * (shade * swing * edge)[..., None]
        glint = finish.glint * shine * (0.35 + 0.65 * np.exp(0.4 * skin.brush))
        body = lab_to_linear(colour.lab).astype(np.float32)
        body = 0.55 + 0.45 * body / max(float(body.max()), 1e-3)  # metal colours its own shine
        layer = layer + glint[..., None] * body
        core = (read > 0) & (share > _CORE)
        if int(core.sum()) < 200:
            core = read > 0
        drawn = layer[core].mean(axis=0, dtype=np.float64)
        layer = layer * (lab_to_linear(colour.lab) / drawn).astype(np.float32)
        result += layer * share[..., None]
    return result


def _tone_of(
    colour: TrueColour, skin: Skin, share: Field, finish: Finish, extras: events.Extras
) -> tuple[Field, Field]:
    powder = finish.powder * skin.powder
    rim = skin.rim * 4 * share * (1 - share) * 1.6
    if colour.name == "main":
        return skin.main + powder + rim, skin.tint
    if colour.name == "second":
        return skin.second + 0.5 * powder, 0.6 * skin.tint
    return extras.tones[colour.name], 0.5 * extras.tones[colour.name]
