"""Change maps as pictures: drawn once, kept with the made pictures, found again by what is on
them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from builder.digests import digest_bytes, digest_file
from builder.look import change_maps
from builder.look.change_maps import draw_change_map
from builder.publish.ages import say_moment
from builder.publish.pictures import FOLDER, Shown
from builder.publish.subjects import Subject
from builder.relate.findings import ChangeMap, Strand
from builder.relate.strands import name_strand

#: Maps by the name of their strand, :func:`builder.relate.strands.name_strand`.
Maps = Mapping[str, Shown]

_PER_SQUARE = 10  # pixels, where no view tells a size


def draw_maps(
    subjects: Iterable[Subject], pictures: Path
) -> tuple[dict[str, Shown], tuple[str, ...]]:
    """The change map of every strand that has one and whose pictures are shared, and the names of
    their files in ``pictures``. Raises ``OSError`` where the folder cannot be written to."""
    shown: dict[str, Shown] = {}
    names: list[str] = []
    code = digest_file(Path(change_maps.__file__ or ""))
    for subject in subjects:
        for strand in (*subject.earlier, *subject.strands):
            if strand.change is None:
                continue
            width, height = _size(subject, strand.change)
            drawn = f"{strand.change.levels} {width} {height}"
            name = f"change-{digest_bytes((code + drawn).encode())[:16]}.png"
            _keep(strand.change, width, height, pictures / name)
            address = f"{FOLDER}/{name}"
            shown[name_strand(strand)] = Shown(
                address, width, height, describe_map(strand, strand.change)
            )
            names.append(name)
    return shown, tuple(dict.fromkeys(names))


def describe_map(strand: Strand, change: ChangeMap) -> str:
    """The map in words: what it is of, between which days, where it changed and by how much."""
    first, second = change.difference.first, change.difference.second
    return (
        f"Change map of {name_strand(strand)}, {say_moment(first)} to {say_moment(second)}: "
        f"{change.words}"
    )


def _size(subject: Subject, change: ChangeMap) -> tuple[int, int]:
    """As large as the view it lies beside, so that places are found again."""
    beside = subject.show(change.difference.second, zone_only=True)
    rows = change.levels.splitlines()
    if beside is None or change.difference.second.observation.picture.view is None:
        return _PER_SQUARE * len(rows[0]), _PER_SQUARE * len(rows)
    return beside.width, beside.height


def _keep(change: ChangeMap, width: int, height: int, file: Path) -> None:
    if not file.is_file():
        file.parent.mkdir(parents=True, exist_ok=True)
        unfinished = file.with_suffix(".part")
        unfinished.write_bytes(draw_change_map(change.levels.splitlines(), width, height))
        unfinished.replace(file)
