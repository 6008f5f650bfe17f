"""The MkDocs plugin: everything is gathered before anything is written, then our pages are handed
to MkDocs as if they had been written by hand. `mkdocs build`, `mkdocs serve` and `patinarium build`
all come through here."""

from __future__ import annotations

import datetime as dt
import logging
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import quote, urljoin

from jinja2 import Environment
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.utils import get_build_date
from mkdocs.utils.templates import TemplateContext

from builder.archive.site_zips import refuse_names, refuse_zip
from builder.bare_copies import bare_copy
from builder.carried import PAGES_FILE, lay_down, take_up
from builder.changeover import (
    building_folder,
    change_over,
    mark,
    mend,
    refuse_place,
    zip_beside,
)
from builder.errors import PatinariumError
from builder.holding import STORE, Hold, hold
from builder.pipeline import Gathered, Progress, choose_day, gather, name_makers
from builder.previewing.splicing import mark_part
from builder.publish.bases import Bases
from builder.publish.binding import Binder
from builder.publish.frame import (
    hide_author,
    is_for,
    list_assets,
    list_needed,
    list_own,
    list_unwanted,
    name_parts,
    navigate,
    prune,
    set_up_theme,
    surrounds_alike,
)
from builder.publish.last_pages import LastPages
from builder.publish.moulds import PLACE
from builder.publish.policy import guard_page
from builder.publish.site import Site, lay_out_site, write_beside_pages, write_page
from builder.publish.templates import keep_compiled, templates_folder
from builder.read.page_links import refuse_links
from builder.read.picture_files import PICTURE_ENDINGS
from builder.read.settings import read_settings_file
from builder.recent import Recent
from builder.records.audiences import PAGES, STUDENTS, Audience
from builder.records.settings import TIGHT, Settings
from builder.relate.findings import Findings
from builder.telling import choose_audience, tell

log = logging.getLogger("mkdocs.plugins.patinarium")


class PatinariumPlugin(BasePlugin):  # type: ignore[type-arg,no-untyped-call]  # options: load_config
    """``today``, ``progress``, ``audience`` (the name of those the site is for) and ``to_zip``
    (whether it will be handed over as one file) may be set from outside, and for a program that
    stays ``recent`` and ``heed``, which is called page by page; ``gathered``, ``told``, ``site``
    and ``failed`` tell how it went."""

    today: dt.date | None = None
    audience = ""
    to_zip = False
    progress: Progress = staticmethod(lambda done, of: None)
    recent: Recent | None = None
    heed: Callable[[], None] = staticmethod(lambda: None)
    gathered: Gathered | None = None
    told: Findings | None = None
    failed: PatinariumError | None = None
    site: Path = Path("site")
    serving = False
    lock: Hold | None = None

    def load_config(
        self, options: dict[str, Any], config_file_path: str | None = None
    ) -> tuple[list[Any], list[Any]]:
        """The options are checked with the rest of the library's settings, all at once."""
        return [], []

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self.serving = command == "serve"

    def on_shutdown(self) -> None:
        """MkDocs may use the same plugin again for another site."""
        self.serving, self.recent, self.heed = False, None, type(self).heed

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self.root = Path(config.config_file_path).resolve().parent
        self._usual_site = Path(config.site_dir).parent.resolve() / Path(config.site_dir).name
        self.site = self._usual_site
        set_up_theme(config)
        config.site_name = escape(config.site_name)  # the theme prints it as it is
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        try:
            settings = read_settings_file(self.root)
            refuse_links(self.root, Path(config.docs_dir))
            audience = choose_audience(self._named(), settings)
            self.site = name_site(self._usual_site, audience)
            if not self.serving:
                self._take_place(config, settings)
            self._gather(settings, audience, surrounds_alike(config))
            hide_author(config, audience)
        except PatinariumError as error:
            if not (self.serving and self.gathered):
                with self._said():
                    raise
            log.error("%s\nThe last good pages are shown until it is put right.", error)
            return
        if self.serving and self.gathered:
            for problem in self.gathered.findings.problems:
                log.info("%s  [%s]", problem, problem.weight)

    def _take_place(self, config: MkDocsConfig, settings: Settings) -> None:
        """Build beside the last good site, which stays until this one is whole."""
        store = self.root / STORE
        kept = (self.root / settings.samples, Path(config.docs_dir).resolve(), store)
        refuse_place(self.site, self.root, kept)
        if self.to_zip:
            refuse_zip(zip_beside(self.site), kept)
        self.lock = hold(store, "build")
        mend(self.site)
        config.site_dir = str(building_folder(self.site))

    def _named(self) -> str:
        return self.audience or os.environ.get("PATINARIUM_FOR", "")

    def _gather(self, settings: Settings, audience: Audience, alike: bool) -> None:
        day = self._today(settings)
        gathered = gather(self.root, settings, day, self.progress, recent=self.recent)
        self.told = tell(gathered.findings, audience)
        self.laid_out: Site = lay_out_site(self.told, gathered.pictures)
        pages = {page.path: page for page in self.laid_out.pages}
        self.binder = Binder(pages, alike, settings.invented, heed=self.heed)
        self.settings, self.gathered = settings, gathered
        if self.serving:
            self.binder.mark = mark_part
        elif alike:
            self._recall_pages(gathered)

    def _recall_pages(self, gathered: Gathered) -> None:
        """Find out which pages would be what they are in the site that stands."""
        makers = name_makers(templates_folder())
        recent = take_up(self.root / STORE / PAGES_FILE, makers)
        press = self.laid_out.press
        bases = Bases(gathered.findings, gathered.marks, press, makers, recent)
        self.binder.last = LastPages(self.site, bases)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        for unwanted in list_unwanted(config):
            if file := files.get_file_from_path(unwanted):
                files.remove(file)
        gone = self._leave_out_own(files, config)
        self._make_bare(files, config)
        for address, source in list_assets(templates_folder()):
            files.append(File.generated(config, address, abs_src_path=str(source)))
        for page in self.laid_out.pages:
            if files.get_file_from_path(page.path):  # a page of the maker's own goes before ours
                self.binder.drop(page.path)
        for page in self.binder.pages.values():
            level = InclusionLevel.INCLUDED if page.in_nav else InclusionLevel.NOT_IN_NAV
            kind = _Cast if self.binder.is_cast(page) else File
            file = kind.generated(config, page.path, content="", inclusion=level)
            file.dest_uri = page.address
            files.append(file)
        there = [file.src_uri for file in files.documentation_pages()]
        if config.nav is None:
            config.nav = navigate(there)
        else:
            ours = {f"{page}.md" for page in PAGES}
            config.nav = prune(config.nav, (gone | ours) - set(there))
        return files

    def _leave_out_own(self, files: Files, config: MkDocsConfig) -> frozenset[str]:
        """Take away the maker's own pages and files that are not for this audience; their
        addresses."""
        if self.told is None or self.told.audience.everything:
            return frozenset()
        name, open_ = self.told.audience.name, self.told.audience.sees("own pages")
        pages = {file.src_uri: file.content_string for file in files.documentation_pages()}
        kept = list_own(pages, lambda text: is_for(text, name, unless_said=open_))
        kept |= list_needed(config)
        if open_:  # every file that is no page
            kept |= {file.src_uri for file in files} - pages.keys()
        gone = [file for file in files if _is_own(file, config) and file.src_uri not in kept]
        for file in gone:
            files.remove(file)
        return frozenset(file.src_uri for file in gone)

    def _make_bare(self, files: Files, config: MkDocsConfig) -> None:
        """The maker's own pictures without position, owner and the like; those that cannot be made
        so are left out."""
        for file in [file for file in files if _is_own(file, config)]:
            if Path(file.src_uri).suffix.lower() not in PICTURE_ENDINGS:
                continue
            files.remove(file)
            if (bare := bare_copy(file.content_bytes)) is not None:
                files.append(File.generated(config, file.src_uri, content=bare))
            else:
                log.warning("%s is left out: what else it holds cannot be told.", file.src_uri)

    def on_env(self, env: Environment, **_: Any) -> Environment:
        env.bytecode_cache = env.bytecode_cache or keep_compiled()
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, **_: Any) -> str:
        ours = self.binder.pages.get(page.file.src_uri)
        if ours is None:
            return markdown
        # The theme prints titles as they are, so they are escaped here.
        page.meta = {
            "title": escape(self.binder.name(ours)),
            "hide": ["navigation", "toc"],
            "search": {"exclude": True},  # ours are put in when all is built, an entry a page
        }
        return ""

    def on_page_content(self, html: str, *, page: Page, **_: Any) -> str:
        path = page.file.src_uri
        ours = self.binder.pages.get(path)
        return self.binder.place(ours) if ours else self.binder.frame(path, html)

    def on_post_page(self, output: str, *, page: Page, **_: Any) -> str:
        self.heed()
        ours = self.binder.pages.get(page.file.src_uri)
        text = page.content or ""
        if ours is None or text != PLACE:
            return self._guard(name_parts(output), text)
        return self.binder.bind(ours, self._guard(name_parts(output)), page.canonical_url or "")

    def on_template_context(
        self, context: TemplateContext, *, template_name: str, config: MkDocsConfig
    ) -> TemplateContext:
        """The map of the site has the pages too that MkDocs does not make."""
        if template_name == "sitemap.xml":
            cast = (page for page in self.binder.pages.values() if self.binder.is_cast(page))
            whole = self._whole(config)
            named: list[Any] = [_name_in_sitemap(whole(page.address)) for page in cast]
            context["pages"] = [*context["pages"], *named]
        return context

    def on_post_template(self, output_content: str, **_: Any) -> str:
        return self._guard(output_content)

    def _guard(self, html: str, text: str = "") -> str:
        """A page with its policy; not where it is previewed, for the reloading is inline."""
        guarded = self.settings.policy == TIGHT and not self.serving
        return guard_page(html, text) if guarded else html

    @event_priority(-100)  # after the search has written its index, and everyone else
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        with self._said():
            built = Path(config.site_dir)
            for address, html in self.binder.cast_rest(self._whole(config)):
                write_page(built, address, html)
            write_beside_pages(built, self.laid_out, self.binder.found_by)
            if not self.serving:
                mark(built)
                if self.to_zip:
                    refuse_names(built, self.site.name)
                change_over(built, self.site)
                config.site_dir = str(self.site)
                self._leave_for_next()
        self._let_go()

    def _leave_for_next(self) -> None:
        """Leave for the next build how the pages stand."""
        if last := self.binder.last:
            lay_down(self.root / STORE / PAGES_FILE, last.bases.makers, last.bases.recent)

    def _whole(self, config: MkDocsConfig) -> Callable[[str], str]:
        """Gives the whole address of a page to the one within the site; "" where it has none."""
        site = config.site_url or ""
        folder = site if site.endswith("/") else f"{site}/"
        return lambda address: urljoin(folder, quote(address)) if site else ""

    def on_build_error(self, *, error: Exception) -> None:
        self._let_go()

    def _let_go(self) -> None:
        if self.lock:
            self.lock.release()

    def on_serve(self, server: Any, *, config: MkDocsConfig, builder: Callable[..., Any]) -> Any:
        server.watch(str(self.root / self.settings.samples))
        server.watch(str(templates_folder()))
        return server

    def _today(self, settings: Settings) -> dt.date:
        told = os.environ.get("PATINARIUM_TODAY")
        written = dt.date.fromisoformat(told) if told else None
        return choose_day(self.today or written, settings)

    @contextmanager
    def _said(self) -> Iterator[None]:
        """An error of ours as one MkDocs prints without a traceback."""
        try:
            yield
        except PatinariumError as error:
            self.failed = error
            raise PluginError(str(error)) from error


class _Cast(File):
    """A page whose address MkDocs knows, for links to it, and that it does not make."""

    def is_documentation_page(self) -> bool:
        return False

    def copy_file(self, dirty: bool = False) -> None:
        return


def _name_in_sitemap(address: str) -> SimpleNamespace:
    """A page as the map of the site asks for it."""
    page = SimpleNamespace(is_link=False, canonical_url=address, update_date=get_build_date())
    return SimpleNamespace(page=page)


def _is_own(file: File, config: MkDocsConfig) -> bool:
    """Whether a file is the maker's own; a link in the docs folder is, wherever it leads."""
    return file.src_dir == config.docs_dir


def name_site(usual: Path, audience: Audience) -> Path:
    """Where an audience's site is built: beside the students', so that none is taken for another's.
    ``site-for-clients`` beside ``site``."""
    if audience.name == STUDENTS:
        return usual
    return usual.with_name(f"{usual.name}-for-{audience.name}")
