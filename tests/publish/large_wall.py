"""A wall of as many pieces as are wanted: the demo's tiles, each under a number of its own, with
its own picture's name, days and words."""

from __future__ import annotations

import hashlib
import random
from dataclasses import replace

from builder.publish.pages import EVERY_PIECE
from builder.publish.subjects import list_subjects
from builder.publish.templates import open_templates
from builder.publish.wall import FIRST, SCRIPT, Tile, hang_wall, list_facets
from builder.records.audiences import PRIVATE
from tests.publish.fixture import findings


def hang_many(count: int, pictures: tuple[str, ...] = (), seed: int = 1) -> tuple[Tile, ...]:
    """So many tiles, the same for the same seed. Their pictures are named as a build would name
    them, or are those of ``pictures`` in turn."""
    drawn = random.Random(seed)  # noqa: S311  # for variety, not for secrets
    models = hang_wall(list_subjects(findings()))
    words = sorted({word for tile in models for word in tile.words.split(", ")})
    made = []
    for place in range(count):
        tile = models[place % len(models)]
        number = f"SH-{place + 1:05}"
        name = hashlib.sha256(number.encode()).hexdigest()[:16]
        src = pictures[place % len(pictures)] if pictures else f"pictures/tile-{name}.jpg"
        day = f"{drawn.randint(1, 28)} {drawn.choice(('Jan', 'Apr', 'Sep'))} {2020 + place % 7}"
        shown = tile.shown
        if shown:
            told = shown.alt.removeprefix(tile.subject.number).rpartition(", ")[0]
            shown = replace(
                shown,
                src=src,
                width=226,
                height=339,
                of_mat=drawn.choice((70.7, 87.0, 51.2)),
                alt=f"{number}{told}, {day}",
            )
        made.append(
            replace(
                tile,
                subject=replace(tile.subject, number=number),
                shown=shown,
                words=", ".join(drawn.sample(words, 2)),
                place=place,
                hue=drawn.uniform(0, 360),
                lightness=drawn.uniform(10, 90),
            )
        )
    return tuple(made)


def wall_html(tiles: tuple[Tile, ...]) -> str:
    """The page's own part, without what surrounds it."""
    page = open_templates().get_template("pages/wall.html")
    return page.render(
        root="",
        sees=PRIVATE.sees,
        tiles=tiles[:FIRST],
        count=len(tiles),
        facets=list_facets(tiles),
        script=SCRIPT,
        every_piece=EVERY_PIECE,
    )
