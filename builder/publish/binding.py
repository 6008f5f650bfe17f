"""Each page of a site brought together with what surrounds it, one at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from builder.publish.frame import OURS, frame_page
from builder.publish.last_pages import LastPages
from builder.publish.moulds import PLACE, TITLE, Mould
from builder.publish.pages import Page
from builder.publish.search import SearchEntry


def _as_it_is(html: str) -> str:
    return html


@dataclass
class Binder:
    """``pages`` by path; ``alike``: nothing surrounds the pages outside the navigation but what
    their first one shows. ``invented`` is the notice of a made-up library, "" for none; ``last``
    the pages as last made, where they may serve again. ``mark`` marks our part of a page, and
    ``heed`` is called before each: what it raises ends it. ``found_by`` fills with what search
    finds each page by, by address, and ``rendered`` counts those that were made anew."""

    pages: dict[str, Page]
    alike: bool
    invented: str = ""
    last: LastPages | None = None
    mark: Callable[[str], str] = _as_it_is
    heed: Callable[[], None] = lambda: None
    found_by: dict[str, SearchEntry] = field(default_factory=dict)
    rendered: int = 0
    _mould: Mould | None = None

    def drop(self, path: str) -> None:
        """A page of the maker's own stands in the place of ours."""
        self.pages.pop(path, None)

    def is_cast(self, page: Page) -> bool:
        """Whether a page is made from the mould of another, and not by the site generator."""
        return self.alike and _may_be_cast(page) and page.path != self._first

    @property
    def _first(self) -> str:
        """The page that the mould is taken from."""
        return next((path for path, page in self.pages.items() if _may_be_cast(page)), "")

    def name(self, page: Page) -> str:
        """The title that a page is to be surrounded under, plain."""
        return TITLE if self.alike and page.path == self._first else page.title

    def place(self, page: Page) -> str:
        """What the site generator is to put in for a page's own part."""
        if self.alike:
            return PLACE
        self.heed()
        return self._fill(page)[0]

    def frame(self, path: str, html: str) -> str:
        """The HTML of a page with what every page of ours has round it."""
        return frame_page(html, self.invented, path, self.pages)

    def bind(self, page: Page, around: str, whole_address: str) -> str:
        """The whole page; ``around`` is what the site generator made round PLACE, under its
        ``whole_address`` ("" where the site has none)."""
        mould = Mould(around, whole_address)
        if page.path == self._first:
            self._mould = mould
        made = self._make(page, mould, whole_address)
        return made.read_text("utf-8") if isinstance(made, Path) else made

    def cast_rest(self, whole: Callable[[str], str]) -> Iterator[tuple[str, str | Path]]:
        """Address and HTML of every page that the site generator did not make, or where it stands
        as it is to be; ``whole`` gives the whole address to one within the site."""
        for page in self.pages.values():
            if self._mould and self.is_cast(page):
                yield page.address, self._make(page, self._mould, whole(page.address))

    def _make(self, page: Page, mould: Mould, whole_address: str) -> str | Path:
        self.heed()
        if self.last is None or not (basis := self.last.bases.of(page)):
            return mould.cast(page.title, self._fill(page)[0], whole_address)
        about = (*basis, page.title, mould.digest, whole_address)
        if found := self.last.find(page.address, about):
            file, self.found_by[page.address] = found
            return file
        part, search = self._fill(page)
        html = mould.cast(page.title, part, whole_address)
        self.last.note(page.address, about, html, search)
        return html

    def _fill(self, page: Page) -> tuple[str, SearchEntry]:
        """A page's own part, rendered, and what it is found by."""
        rendered = page.render()
        self.rendered += 1
        self.found_by[page.address] = rendered.search
        return self.mark(self.frame(page.path, rendered.html)), rendered.search


def _may_be_cast(page: Page) -> bool:
    return not page.in_nav and page.path.startswith(OURS)
