"""What surrounds a page: the theme's settings, our styles and scripts, the navigation, the notice.

The only module that knows which theme carries the pages, with `scheme.css` beside the templates.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from markupsafe import Markup
from mkdocs.utils.meta import get_data

from builder.read.places import USUAL_PLUGINS
from builder.records.audiences import ALIASES, PUBLIC, Audience

FOLDER = "patinarium"
SHIM = f"{FOLDER}/worker.js"
MARK = f"{FOLDER}/mark.svg"
#: The theme marks the words searched for on the page that was found, and for that loads the whole
#: index on every page; without it, on the search's first use.
_LOADS_THE_INDEX = "search.highlight"
_THEME = "material"
_THEMES_OWN_MARK = "assets/images/favicon.png"
_FOOT = "Made by Patinarium from the maker’s own notes and photographs."
STYLES = (
    f"{FOLDER}/vendor/photoswipe/photoswipe.css",
    f"{FOLDER}/scheme.css",
    f"{FOLDER}/pages.css",
)
SCRIPTS = (f"{FOLDER}/pages.js",)
CLOSER_LOOK = (
    f"{FOLDER}/vendor/photoswipe/photoswipe.umd.min.js",
    f"{FOLDER}/vendor/photoswipe/photoswipe-lightbox.umd.min.js",
)
_OPENS_CLOSER = 'class="pat-zoom"'
NAVIGATION: tuple[Any, ...] = (
    {"Home": "index.md"},
    {"The wall": "wall.md"},
    {"Finishes": "finishes.md"},
    {"Find a colour": "find-a-colour.md"},
    {
        "Does it hold": [
            {"Ageing": "ageing.md"},
            {"Sealed against bare": "sealed-against-bare.md"},
            {"Due": "due.md"},
        ]
    },
    {
        "What was learned": [
            {"What one change does": "what-one-change-does.md"},
            {"Repeats": "repeats.md"},
            {"Did not work": "did-not-work.md"},
            {"Next tests": "next-tests.md"},
        ]
    },
    {
        "Method": [
            {"How we photograph and measure": "how-we-measure.md"},
            {"Safety": "safety.md"},
            {"Glossary": "glossary.md"},
            {"Data": "data.md"},
        ]
    },
)
#: Folders of the site whose pages are all ours, and in no navigation.
OURS = ("pieces/", "sisters/")
#: What a page may name: between brackets, quotation marks or angle brackets.
_LINK = re.compile(r"""[(\["'<]\s*([^()\[\]"'<>\s]+)""")


def set_up_theme(config: Any) -> None:
    """Make an MkDocs configuration carry pages that are opened from a folder, with no network:
    plain file addresses, no fonts from elsewhere, the search's worker from this site itself."""
    config.use_directory_urls = False
    config.theme["font"] = False
    features = config.theme.get("features") or []
    config.theme["features"] = [one for one in features if one != _LOADS_THE_INDEX]
    for name in ("logo", "favicon"):
        if config.theme.get(name) in (None, _THEMES_OWN_MARK):
            config.theme[name] = MARK
    config.extra.setdefault("generator", False)
    config.copyright = config.copyright or _FOOT
    config.extra.setdefault("polyfills", [])
    if SHIM not in config.extra["polyfills"]:
        config.extra["polyfills"].append(SHIM)
    config.extra_css = [*STYLES, *(own for own in config.extra_css if own not in STYLES)]
    own_scripts = (own for own in config.extra_javascript if str(own) not in SCRIPTS)
    config.extra_javascript = [*SCRIPTS, *own_scripts]
    for name in list_unwanted(config):
        config.theme.static_templates.discard(name)


def surrounds_alike(config: Any) -> bool:
    """Whether what surrounds pages outside the navigation can differ by nothing but their title and
    address: the theme is as it comes, and no plugin or hook could see to each page."""
    usual = {name.rpartition("/")[2] for name in config.plugins} <= USUAL_PLUGINS
    plain = not config.theme.custom_dir and "analytics" not in config.extra
    return bool(config.theme.name == _THEME and plain and usual and not config.hooks)


def hide_author(config: Any, audience: Audience) -> None:
    """Take the author and the address of the sources off every page, where they are not shown."""
    if not audience.sees("author"):
        config.site_author = config.site_description = config.repo_url = config.edit_uri = None
        config.copyright = _FOOT
        config.extra.pop("social", None)
        config.repo_name = config.edit_uri_template = None


def list_needed(config: Any) -> frozenset[str]:
    """Addresses of the maker's own files that every page needs: styles, scripts, logo."""
    named = (config.theme.get(name) for name in ("logo", "favicon"))
    several = (*config.extra_css, *config.extra_javascript, *named)
    return frozenset(str(one) for one in several if one)


def name_parts(html: str) -> str:
    """Give the theme's search dialog the name it lacks, for those who hear the page."""
    dialog = 'data-md-component="search" role="dialog"'
    return html.replace(dialog, f'{dialog} aria-label="Search"', 1)


def list_unwanted(config: Any) -> tuple[str, ...]:
    """Files of the theme that would say nothing, and carry the day they were built."""
    return () if config.site_url else ("sitemap.xml",)


def list_assets(templates: Path) -> tuple[tuple[str, Path], ...]:
    """Styles, scripts and what they need: (address in the site, file), sorted."""
    found = []
    for folder, below in (("assets", ""), ("vendor", "vendor/")):
        root = templates / folder
        for file in sorted(root.rglob("*")):
            if file.is_file():
                found.append((f"{FOLDER}/{below}{file.relative_to(root).as_posix()}", file))
    return tuple(found)


def navigate(pages: Sequence[str]) -> list[Any]:
    """The navigation of a library that names none: ours, then the maker's own pages; of ``pages``
    alone, those there are."""
    known = {"index.md"} | {page for _, listed in _headings() for _, page in listed}
    others = [page for page in pages if page not in known and not page.startswith(OURS)]
    ours = prune(list(NAVIGATION), known - set(pages))
    return [*ours, *([{"Notes": others}] if others else [])]


def prune(navigation: Sequence[Any], gone: Container[str]) -> list[Any]:
    """A navigation without the pages ``gone``, and without sections that they leave empty; one that
    they leave with a single page gives it its own place."""
    kept: list[Any] = []
    for item in navigation:
        if isinstance(item, str):
            kept += [] if item in gone else [item]
        elif isinstance(item, dict):
            kept += _prune_section(item, gone)
        else:
            kept.append(item)  # MkDocs says what is wrong with it
    return kept


def _prune_section(section: Mapping[Any, Any], gone: Container[str]) -> list[Any]:
    kept: list[Any] = []
    for title, value in section.items():
        if not isinstance(value, list):
            kept += [] if value in gone else [{title: value}]
            continue
        within = prune(value, gone)
        if len(within) == 1 and len(value) > 1:
            kept += within
        elif within:
            kept.append({title: within})
    return kept


def list_own(files: Mapping[str, str], wanted: Callable[[str], bool]) -> frozenset[str]:
    """Addresses of the maker's own pages that are ``wanted`` by their text (files: address to
    Markdown), and of the files that they name. A page is never taken along: each says for itself
    whom it is for."""
    kept = {address for address, text in files.items() if wanted(text)}
    named = {
        posixpath.normpath(posixpath.join(posixpath.dirname(address), unquote(link)))
        for address in kept
        for link in _LINK.findall(files[address])
    }
    return frozenset(kept | (named - files.keys()))


def is_for(text: str, audience: str, unless_said: bool = False) -> bool:
    """Whether a page of the maker's own says at its head that it is ``for`` an audience:
    ``for: clients``, ``for: [clients, students]`` or ``for: public``; ``unless_said`` where it does
    not say."""
    data = get_data(text)[1]
    if "for" not in data:
        return unless_said
    named = data["for"]
    several = [named] if isinstance(named, str) else named
    if not isinstance(several, (list, tuple)):
        return False
    names = {ALIASES.get(name, name) for name in (str(n).strip().casefold() for n in several)}
    return not names.isdisjoint((audience, PUBLIC))


def frame_page(html: str, invented: str, path: str = "", pages: Container[str] = ()) -> str:
    """A page's HTML with the notice of a made-up library above it, where there is one, and the way
    to those of its neighbours by the navigation that are among ``pages``; after it, where a picture
    opens for a closer look, the scripts for that."""
    notice = Markup('<p class="pat-invented"><b>Invented.</b> {}</p>\n').format(invented)
    scripts = [
        Markup('<script src="{}{}"></script>\n').format("../" * path.count("/"), script)
        for script in (CLOSER_LOOK if _OPENS_CLOSER in html else ())
    ]
    return "".join((notice if invented else "", _show_neighbours(path, pages), html, *scripts))


def _show_neighbours(path: str, pages: Container[str]) -> Markup:
    """Links to the pages under the same heading of the navigation, this one marked."""
    for heading, listed in _headings():
        shown = [(title, page) for title, page in listed if page in pages]
        if len(shown) > 1 and path in (page for _, page in shown):
            links = Markup("\n").join(
                Markup('<a href="{}"{}>{}</a>').format(
                    page.removesuffix(".md") + ".html",
                    Markup(' aria-current="page"') if page == path else "",
                    title,
                )
                for title, page in shown
            )
            return Markup(
                '<nav class="pat-siblings" aria-label="{}" data-search-exclude>\n{}\n</nav>\n'
            ).format(heading, links)
    return Markup("")


def _headings() -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Each heading of our navigation with its pages: (title, page)."""
    for item in NAVIGATION:
        for heading, below in item.items():
            if isinstance(below, str):
                yield heading, [(heading, below)]
            else:
                yield heading, [pair for one in below for pair in one.items()]
