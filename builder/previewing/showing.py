"""The site as it is shown, and the quick pass: the pages of pieces whose sidecars were saved are
rendered alone and put into the pages as last built."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from html import escape
from pathlib import Path

from markupsafe import Markup

from builder.errors import Problem
from builder.pipeline import Gathered, gather_again
from builder.previewing.splicing import splice
from builder.publish.pages import Page
from builder.publish.pictures import FOLDER, place_pictures
from builder.publish.site import Site, lay_out_pieces
from builder.read.library import reread_sidecar
from builder.recent import Recent
from builder.records.audiences import Audience
from builder.records.piece import Entry
from builder.relate.undisturbed import undisturbed
from builder.telling import tell

#: Pages that a quick pass draws at most; more are left to the full one.
FEW = 8


@dataclass
class Shown:
    """A site as last built in ``folder``. ``pages`` are ours by path, ``frame`` puts round the HTML
    of one what every page has; ``unusable``: by sidecar, why what it last said still stands."""

    gathered: Gathered
    site: Site
    pages: dict[str, Page]
    folder: Path
    frame: Callable[[str, str], str]
    audience: Audience
    unusable: dict[str, tuple[Problem, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Redrawn:
    """The pieces whose pages are new, what is to be put right in their sidecars, and whether more
    of the site than these pages may depend on it."""

    numbers: tuple[str, ...]
    problems: tuple[Problem, ...]
    touches_more: bool


@undisturbed()
def redraw(shown: Shown, files: Collection[str], recent: Recent) -> Redrawn | None:
    """Show what the sidecars ``files``, relative to the library's folder, say now; of one that
    cannot be used the last good page stays, with a notice. None, and nothing new shown, where that
    takes a full pass.

    Raises as :func:`builder.pipeline.gather`, and ``SiteError`` or ``OSError`` where the disk
    refuses.
    """
    library = shown.gathered.findings.library
    for file in files:
        shown.unusable.pop(file, None)
        if problems := reread_sidecar(library.root, file, library.settings, recent):
            shown.unusable[file] = problems
    gathered = gather_again(shown.gathered, recent)
    entries = gathered and gathered.findings.library.entries
    numbers = entries and _list_numbers(library.entries, entries, files)
    if not gathered or not numbers:
        return None
    told = tell(gathered.findings, shown.audience)
    site = lay_out_pieces(told, shown.site, numbers)
    place_pictures(site.pictures, site.made, shown.folder / FOLDER)
    changed = gathered.findings != shown.gathered.findings
    shown.gathered = gathered
    for page in site.pages:
        _put_in(shown, page)
    problems = tuple(one for one in gathered.findings.problems if one.file in files)
    broken = tuple(one for file in sorted(files) for one in shown.unusable.get(file, ()))
    return Redrawn(numbers, (*broken, *problems), changed)


def put_notices(shown: Shown) -> None:
    """Say on the pages just built which of them are not of the sidecar as it is."""
    for entry in shown.gathered.findings.library.entries:
        page = shown.pages.get(f"pieces/{entry.piece.piece}.md")
        if entry.file in shown.unusable and page:
            _put_in(shown, page)


def _list_numbers(
    old: Iterable[Entry], new: Iterable[Entry], files: Collection[str]
) -> tuple[str, ...]:
    """The pieces to draw: those of the sidecars ``files``, and those that go by them where they are
    few; none where there are other pieces than before, or too many."""
    before = {(entry.piece.piece, entry.piece.attempt): entry for entry in old}
    now = {(entry.piece.piece, entry.piece.attempt): entry for entry in new}
    if before.keys() != now.keys():
        return ()
    own = dict.fromkeys(entry.piece.piece for entry in now.values() if entry.file in files)
    changed = (key[0] for key, entry in now.items() if entry is not before[key])
    every = tuple(own | dict.fromkeys(changed))
    if len(own) > FEW:
        return ()
    return every if len(every) <= FEW else tuple(own)


def _put_in(shown: Shown, page: Page) -> None:
    """Put a page into the one last built; one that a page of the maker's own replaces is left."""
    last = shown.pages.get(page.path)
    file = shown.folder / page.address
    if last is None or not file.is_file():
        return
    part = f"{_notice(shown, page.path)}{shown.frame(page.path, page.render().html)}"
    html = splice(file.read_text("utf-8"), part, escape(last.title), escape(page.title))
    if html is not None:
        file.write_text(html, "utf-8", newline="")
        shown.pages[page.path] = page


def _notice(shown: Shown, path: str) -> Markup:
    """Why a page is not of the sidecar as it is; "" where it is."""
    of = {entry.file for entry in shown.gathered.findings.library.entries
          if f"pieces/{entry.piece.piece}.md" == path}  # fmt: skip
    said = Markup("").join(
        Markup("<br>{}").format(str(problem))
        for file in sorted(of)
        for problem in shown.unusable.get(file, ())
    )
    words = "This page is as it was before: its sidecar cannot be used as it stands."
    return said and Markup('<p class="pat-invented" role="alert"><b>{}</b>{}</p>\n').format(
        words, said
    )
