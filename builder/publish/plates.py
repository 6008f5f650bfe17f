"""Comparison plates: composed once, kept with the made pictures, found again by what is on them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from PIL import Image

from builder.digests import digest_bytes, digest_file
from builder.errors import PictureError, Problem
from builder.look import plate_band, plates, typesetting
from builder.look.plates import Plate, PlateSide, compose_plate
from builder.publish.ages import say_age, say_taken
from builder.publish.pictures import FOLDER, Shown
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.publish.words import say_days, say_lab, say_number, say_share
from builder.records.photo import Box
from builder.relate.findings import Difference, Findings, Look


def compose_plates(
    sets: Iterable[SisterSet], findings: Findings, pictures: Path
) -> tuple[dict[str, Shown], tuple[str, ...], tuple[Problem, ...]]:
    """A plate for every set that has both pictures, by its page's address; the names of their
    files in ``pictures``; what could not be composed."""
    shown: dict[str, Shown] = {}
    names: list[str] = []
    problems: list[Problem] = []
    code = _digest_code()
    for one in sets:
        plate = _lay_out(one, findings, pictures)
        if plate is None:
            continue
        named = plate_key(plate, pictures)
        name = f"plate-{digest_bytes((code + named).encode())[:16]}.jpg"
        try:
            shown[one.href] = _show(_keep(plate, pictures / name), one)
            names.append(name)
        except PictureError as error:
            problems += error.problems
    return shown, tuple(names), tuple(problems)


def plate_key(plate: Plate, pictures: Path) -> str:
    """All that is on a plate, in words that are the same on every machine."""
    return repr(plate).replace(repr(pictures)[1:-1], "").replace(str(pictures), "")


def _keep(plate: Plate, file: Path) -> Path:
    if not file.is_file():
        unfinished = file.with_suffix(".part")
        unfinished.write_bytes(compose_plate(plate))
        unfinished.replace(file)
    return file


def _show(file: Path, one: SisterSet) -> Shown:
    with Image.open(file) as image:
        width, height = image.size
    address = f"{FOLDER}/{file.name}"
    alt = (
        f"Comparison plate: {one.sealed_name} sealed with {one.sealant} beside {one.bare_name} "
        f"bare, at one scale, with both cards and the figures given on this page"
    )
    return Shown(address, width, height, alt, address, width, height)


def _lay_out(one: SisterSet, findings: Findings, pictures: Path) -> Plate | None:
    sisters = one.sisters
    sealed = sisters.sealed_drift.second if sisters.sealed_drift else sisters.sealed.latest
    bare = sisters.bare_drift.second if sisters.bare_drift else sisters.bare.latest
    if sealed is None or bare is None:
        return None
    left = _side(one.sealed, sealed, f"{one.sealed_name}, sealed: {one.sealant}", pictures)
    right = _side(one.bare, bare, f"{one.bare_name}, bare", pictures)
    if left is None or right is None:
        return None
    settings = findings.library.settings
    units = "ΔE00 is CIEDE2000; u the noise ninety in a hundred repeats keep within."
    return Plate(
        title=f"{one.sealed_name} sealed, {one.bare_name} bare",
        subtitle=one.sealed.title,
        left=left,
        right=right,
        figures=(
            ("Seal cost, on the day", _figure(sisters.seal_cost)),
            ("Drift of the sealed piece", _figure(sisters.sealed_drift, age=True)),
            ("Drift of the bare piece", _figure(sisters.bare_drift, age=True)),
            ("Protection", sisters.held_words or "nothing can be said yet"),
            ("Nearer the chosen look", sisters.nearer_words or "nothing can be said yet"),
        ),
        footer=f"{settings.title}. {units} {settings.invented}".strip(),
    )


def _side(subject: Subject, look: Look, heading: str, pictures: Path) -> PlateSide | None:
    seen = look.observation
    if seen.picture.view is None:
        return None
    view, box = pictures / seen.picture.view.name, subject.box_of(look)
    lines = [", ".join(words for words in (say_taken(look), say_age(look)) if words)]
    if look.colour and look.reading:
        lines.append(
            f"{say_lab(look.colour)}, {say_share(look.share)} of the area, "
            f"u {say_number(look.reading.u)}"
        )
    strip = seen.picture.card_strip
    width_mm = seen.picture.view_mm[0] if seen.picture.view_mm else None
    if box:
        view = _keep_zone(view, box)
        width_mm = width_mm * (box[2] - box[0]) if width_mm else None
    return PlateSide(
        view=view,
        heading=heading,
        lines=tuple(lines),
        width_mm=width_mm,
        colours=look.reading.colours if look.reading else (),
        card_strip=pictures / strip.name if strip else None,
    )


def _keep_zone(view: Path, box: Box) -> Path:
    """The zone of a view as a file of its own beside it, for the plate alone."""
    key = digest_bytes(f"{view.name} {box}".encode())[:16]
    file = view.with_name(f"zone-{key}.png")
    if not file.is_file():
        try:
            with Image.open(view) as image:
                width, height = image.size
                part = image.crop(
                    (
                        round(box[0] * width),
                        round(box[1] * height),
                        round(box[2] * width),
                        round(box[3] * height),
                    )
                )
        except (OSError, SyntaxError, ValueError):
            return view  # composing says what is wrong with it
        unfinished = file.with_suffix(".part")
        part.save(unfinished, "PNG")
        unfinished.replace(file)
    return file


def _figure(difference: Difference | None, age: bool = False) -> str:
    if difference is None:
        return "no figure yet"
    said = f"ΔE00 {say_number(difference.de00)}, u {say_number(difference.u)}"
    return f"{said}, in {say_days(difference.days)}" if age else said


def _digest_code() -> str:
    """Plates composed by other code are composed again."""
    return "".join(
        digest_file(Path(module.__file__ or "")) for module in (plates, plate_band, typesetting)
    )
