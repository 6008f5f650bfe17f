"""The whole site laid out, and what is written beside its pages: data, pictures, search."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from builder.errors import Problem, SiteError, Weight
from builder.publish.change_pictures import draw_maps
from builder.publish.data import library_json, list_rows, tables
from builder.publish.finder import SCRIPT, finder_script
from builder.publish.next_tests import find_open_tests
from builder.publish.pages import RenderedPage, render_pages, render_pieces
from builder.publish.pictures import FOLDER, list_names, place_pictures
from builder.publish.plates import compose_plates
from builder.publish.provenance import provenance_json
from builder.publish.search import as_script, fill_index
from builder.publish.sister_pages import list_sets
from builder.publish.subjects import Subject, list_subjects
from builder.publish.tile_pictures import cut_tile_pictures, list_tile_names
from builder.publish.wall import SCRIPT as WALL_SCRIPT
from builder.publish.wall import hang_small, hang_wall, wall_script
from builder.relate.findings import Findings
from builder.relate.next_tests import NextTest


@dataclass(frozen=True)
class Site:
    """Everything that will be written. ``files`` are (path in the site, text); ``pictures`` names
    of files in the folder ``made``; ``problems`` are of pictures that could not be composed."""

    pages: tuple[RenderedPage, ...]
    files: tuple[tuple[str, str], ...]
    pictures: tuple[str, ...]
    made: Path
    problems: tuple[Problem, ...] = ()


def lay_out_site(findings: Findings, made: Path, heed: Callable[[], None] = lambda: None) -> Site:
    """Render all there is to render; nothing is written but plates and maps that
    were not yet made. ``heed`` is called page by page: what it raises ends it.

    Raises :class:`SiteError` where ``made``, the folder of made pictures, cannot be written to.
    """
    subjects = list_subjects(findings)
    by_number = {subject.number: subject for subject in subjects}
    sets = list_sets(findings, by_number)
    try:
        plates, names, problems = compose_plates(sets, findings, made)
        shows_maps = findings.audience.sees("records")  # no other page has them
        maps, map_names = draw_maps(subjects if shows_maps else (), made)
        tiles = hang_wall([subject for subject in subjects if not subject.planned])
        small = cut_tile_pictures((tile.shown for tile in tiles if tile.shown), made)
        small_names = list_tile_names(small)
    except OSError as error:
        raise _cannot_write(made, error) from error
    tests = find_open_tests(findings) if findings.audience.sees("next-tests") else ()
    told = _with_problems(findings, problems)
    return Site(
        tuple(render_pages(told, plates, maps, tests, small, heed)),
        (
            *_list_files(told, by_number, tests),
            (WALL_SCRIPT, wall_script(hang_small(tiles, small), findings.audience)),
        ),
        tuple(sorted({*list_names(findings.observations), *names, *map_names, *small_names})),
        made,
        problems,
    )


def lay_out_pieces(findings: Findings, last: Site, numbers: Collection[str]) -> Site:
    """The pages of some pieces alone, with their pictures, as :func:`lay_out_site` would render
    them for these ``findings``; ``last`` is the site that they go into.

    Raises :class:`SiteError` as that does.
    """
    subjects = [one for one in list_subjects(findings) if one.number in numbers]
    try:
        shows_maps = findings.audience.sees("records")
        maps, names = draw_maps(subjects if shows_maps else (), last.made)
    except OSError as error:
        raise _cannot_write(last.made, error) from error
    there = [one.number for one in subjects]
    pages = render_pieces(_with_problems(findings, last.problems), there, maps)
    photos = list_names(seen for subject in subjects for seen in subject.observations)
    return replace(last, pages=tuple(pages), files=(), pictures=tuple(sorted({*photos, *names})))


def _with_problems(findings: Findings, problems: Iterable[Problem]) -> Findings:
    return replace(findings, problems=tuple(sorted({*findings.problems, *problems})))


def _list_files(
    told: Findings, subjects: Mapping[str, Subject], tests: Sequence[NextTest]
) -> Iterator[tuple[str, str]]:
    if told.audience.sees("data"):
        rows = list_rows(told, tests)
        yield from ((f"data/{name}", text) for name, text in sorted(tables(told, rows).items()))
        yield "data/library.json", library_json(told, rows)
        yield "data/provenance.jsonld", provenance_json(told)
    if told.audience.sees("find-a-colour"):
        yield SCRIPT, finder_script(told, subjects)


def write_beside_pages(folder: Path, site: Site, pages: Iterable[RenderedPage]) -> None:
    """Write data files, put the pictures in place, and fill the search with an entry a page.

    Raises :class:`SiteError` where the disk refuses.
    """
    try:
        for path, text in site.files:
            file = folder / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8", newline="")
        place_pictures(site.pictures, site.made, folder / FOLDER)
        index = folder / "search" / "search_index.json"
        if index.is_file():
            filled = fill_index(
                index.read_text(encoding="utf-8"), [(page.address, page.search) for page in pages]
            )
            index.write_text(filled, encoding="utf-8", newline="")
            script = index.with_suffix(".js")
            script.write_text(as_script(filled), encoding="utf-8", newline="")
    except OSError as error:
        raise _cannot_write(folder, error) from error


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
