"""What photographs tell beside the piece, and how much of it an audience would get: what the camera
wrote, the names of files and folders, and what lies in the frame."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from builder.records.photo import Box, Observation, WebImage
from builder.relate.findings import Findings

_MOST_FILES = 60  # told one by one; the rest are counted
_NEVER = "in no picture that is made"
_THIRDS = (("left", "middle", "right"), ("top", "middle", "bottom"))


def list_doors(found: Findings, told: Findings) -> tuple[tuple[str, str], ...]:
    """Counts, then a line for each photograph that there is something to say of, as (what,
    which)."""
    whole = _list_shown_whole(found, told)
    return (
        ("written by the camera", _count_written(found.observations)),
        ("names of files", _say_names(told)),
        ("whole photographs", _say_whole(found.observations, whole)),
        ("lettering in the frame", _say_lettering(found.observations, whole)),
        ("blurred", _say_blurred(found)),
        *_list_files(found, whole),
    )


def count_lettering(found: Findings) -> int:
    """How many photographs have something in the frame that may be words."""
    return sum(bool(seen.picture.lettering) for seen in found.observations)


def _list_shown_whole(found: Findings, told: Findings) -> frozenset[str]:
    """Paths of the originals that are shown whole: pictures are named by what is in them."""
    made = {web.name for seen in told.observations for web in seen.picture.webs}
    return frozenset(
        seen.file.path for seen in found.observations if _is_among(seen.picture.webs, made)
    )


def _is_among(webs: Iterable[WebImage], made: set[str]) -> bool:
    return any(web.name in made for web in webs)


def _count_written(observations: Iterable[Observation]) -> str:
    counts: Counter[str] = Counter()
    for seen in observations:
        counts.update(_list_written(seen))
    said = [f"{what} in {count}" for what, count in counts.items()]
    return f"{'; '.join(said)}: {_NEVER}" if said else "nothing of a place, a number or an owner"


def _list_written(seen: Observation) -> Iterator[str]:
    exif = seen.picture.exif
    yield from (f"position ({where})" for where in exif.position_in)
    if exif.has_serial:
        yield "serial number"
    if exif.has_owner:
        yield "name of owner or artist"
    if exif.has_makers_note:
        yield "maker’s note, which may hold any of them"


def _say_names(told: Findings) -> str:
    if not told.audience.sees("file names"):
        return "none is shown, nor those of folders"
    photos = len(told.observations)
    folders = {entry.file.rpartition("/")[0] for entry in told.library.entries}
    return f"{photos} of photographs and {len(folders)} of folders are shown as they are written"


def _say_whole(observations: tuple[Observation, ...], whole: frozenset[str]) -> str:
    said = f"{len(whole)} of {len(observations)} are shown, with all that lies in the frame"
    return said if len(whole) == len(observations) else f"{said}; of others at most the piece"


def _say_lettering(observations: Iterable[Observation], whole: frozenset[str]) -> str:
    paths = [seen.file.path for seen in observations if seen.picture.lettering]
    if not paths:
        return "none found, which is no promise"
    shown = sum(path in whole for path in paths)
    return f"in {_count(len(paths))}, {shown or 'none'} of them shown whole"


def _say_blurred(found: Findings) -> str:
    usual = {setup.name: setup.blur for setup in found.library.settings.setups}
    count = sum(
        bool(seen.file.blur or usual.get(seen.file.setup)) for seen in found.observations
    )  # fmt: skip
    return f"parts of {_count(count)}" if count else "nothing"


def _count(photographs: int) -> str:
    return f"{photographs} photograph{'' if photographs == 1 else 's'}"


def _list_files(found: Findings, whole: frozenset[str]) -> Iterator[tuple[str, str]]:
    """What somebody may want to see to comes first."""
    said: Mapping[str, str] = {
        seen.file.path: "; ".join(_say_photo(seen, seen.file.path in whole))
        for seen in sorted(
            found.observations,
            key=lambda seen: (
                not (seen.picture.lettering and seen.file.path in whole),
                not seen.picture.lettering,
                seen.file.path,
            ),
        )
    }
    lines = [(path, words) for path, words in said.items() if words]
    yield from lines[:_MOST_FILES]
    if len(lines) > _MOST_FILES:
        yield f"and {len(lines) - _MOST_FILES} more", "likewise"


def _say_photo(seen: Observation, whole: bool) -> Iterator[str]:
    places = seen.picture.lettering
    if places:
        where = ", ".join(dict.fromkeys(map(_say_place, places)))
        yield f"lettering {where}: {'shown' if whole else 'not shown'}"
    written = ", ".join(_list_written(seen))
    if written:
        yield f"{written}: not shown"


def _say_place(box: Box) -> str:
    """Where in the picture, and as what a part of it can be blurred."""
    across, down = (
        names[min(2, int(3 * (low + high) / 2))]
        for names, (low, high) in zip(_THIRDS, ((box[0], box[2]), (box[1], box[3])), strict=True)
    )
    words = "in the middle" if across == down == "middle" else f"{down} {across}"
    return f"{words} [{', '.join(f'{side:.2f}' for side in box)}]"
