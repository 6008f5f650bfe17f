"""The whole site laid out, and what is written beside its pages: data, pictures, search."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from builder.errors import Problem, SiteError, Weight
from builder.publish.change_pictures import draw_maps
from builder.publish.data import data_parts
from builder.publish.finder import SCRIPT, finder_script
from builder.publish.pages import Page, plan_pages, plan_pieces
from builder.publish.pictures import FOLDER, list_names, place_pictures, put_again
from builder.publish.plates import compose_plates
from builder.publish.press import Press
from builder.publish.provenance import provenance_parts
from builder.publish.search import SearchEntry, as_script, fill_index
from builder.publish.tile_pictures import cut_tile_pictures, list_tile_names
from builder.publish.wall import SCRIPT as WALL_SCRIPT
from builder.publish.wall import hang_small, wall_script
from builder.relate.findings import Findings


@dataclass(frozen=True)
class Site:
    """Everything that will be written. ``files`` gives (path in the site, parts of its text), to be
    taken one after the other; ``pictures`` names of files in the folder ``made``; ``problems`` are
    of pictures that could not be composed; ``press`` is what all of it was laid out with."""

    pages: tuple[Page, ...]
    files: Callable[[], Iterator[tuple[str, Iterable[str]]]]
    pictures: tuple[str, ...]
    made: Path
    press: Press
    problems: tuple[Problem, ...] = ()


def lay_out_site(findings: Findings, made: Path) -> Site:
    """Plan all there is to make; nothing is written but plates and maps that were not yet made.

    Raises :class:`SiteError` where ``made``, the folder of made pictures, cannot be written to.
    """
    press = Press(findings)
    try:
        press.plates, names, problems = compose_plates(press.sets, findings, made)
        shows_maps = findings.audience.sees("records")  # no other page has them
        press.maps, map_names = draw_maps(press.listed if shows_maps else (), made)
        press.small = cut_tile_pictures((tile.shown for tile in press.tiles if tile.shown), made)
        small_names = list_tile_names(press.small)
    except OSError as error:
        raise _cannot_write(made, error) from error
    press.add_problems(problems)
    return Site(
        tuple(plan_pages(press)),
        partial(_list_files, press),
        tuple(sorted({*list_names(findings.observations), *names, *map_names, *small_names})),
        made,
        press,
        problems,
    )


def lay_out_pieces(findings: Findings, last: Site, numbers: Collection[str]) -> Site:
    """The pages of some pieces alone, with their pictures, as :func:`lay_out_site` would have them
    for these ``findings``; ``last`` is the site that they go into.

    Raises :class:`SiteError` as that does.
    """
    press = Press(findings)
    press.add_problems(last.problems)
    subjects = [one for one in press.listed if one.number in numbers]
    try:
        shows_maps = findings.audience.sees("records")
        press.maps, names = draw_maps(subjects if shows_maps else (), last.made)
    except OSError as error:
        raise _cannot_write(last.made, error) from error
    pages = plan_pieces(press, [one.number for one in subjects])
    photos = list_names(seen for subject in subjects for seen in subject.observations)
    return replace(last, pages=tuple(pages), pictures=tuple(sorted({*photos, *names})))


def _list_files(press: Press) -> Iterator[tuple[str, Iterable[str]]]:
    told = press.findings
    if told.audience.sees("data"):
        for name, parts in data_parts(told, press.tests):
            yield f"data/{name}", parts
        yield "data/provenance.jsonld", provenance_parts(told)
    if told.audience.sees("find-a-colour"):
        yield SCRIPT, (finder_script(told, press.subjects),)
    yield WALL_SCRIPT, (wall_script(hang_small(press.tiles, press.small), told.audience),)


def write_beside_pages(folder: Path, site: Site, found_by: Mapping[str, SearchEntry]) -> None:
    """Write data files, put the pictures in place, and fill the search with an entry a page:
    ``found_by`` has them by address.

    Raises :class:`SiteError` where the disk refuses.
    """
    try:
        for path, parts in site.files():
            _write(folder / path, parts)
        place_pictures(site.pictures, site.made, folder / FOLDER)
        index = folder / "search" / "search_index.json"
        if index.is_file():
            filled = fill_index(index.read_text(encoding="utf-8"), found_by.items())
            index.write_text(filled, encoding="utf-8", newline="")
            script = index.with_suffix(".js")
            script.write_text(as_script(filled), encoding="utf-8", newline="")
    except OSError as error:
        raise _cannot_write(folder, error) from error


def write_page(folder: Path, address: str, page: str | Path) -> None:
    """Write a page into the site's ``folder``, or put the file there that is as it is to be.

    Raises :class:`SiteError` where the disk refuses.
    """
    try:
        _write(folder / address, page if isinstance(page, Path) else (page,))
    except OSError as error:
        raise _cannot_write(folder, error) from error


def _write(file: Path, text: Iterable[str] | Path) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    if isinstance(text, Path):
        put_again(text, file)
        return
    with file.open("w", encoding="utf-8", newline="") as stream:
        stream.writelines(text)


def _cannot_write(folder: Path, error: OSError) -> SiteError:
    return SiteError(
        Problem(
            folder.name,
            0,
            f"the site could not be written ({error.strerror or error})",
            "a folder that may be written to, with room on its disk",
            "make room or choose another folder; the last site is as it was",
            Weight.STOPS,
        )
    )
