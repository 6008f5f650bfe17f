"""What surrounds a page: the theme's settings, our styles and scripts, the navigation, the notice.

The only module that knows which theme carries the pages, with `scheme.css` beside the templates.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from markupsafe import Markup

FOLDER = "patinarium"
SHIM = f"{FOLDER}/worker.js"
MARK = f"{FOLDER}/mark.svg"
_THEMES_OWN_MARK = "assets/images/favicon.png"
_FOOT = "Made by Patinarium from the maker’s own notes and photographs."
STYLES = (
    f"{FOLDER}/vendor/photoswipe/photoswipe.css",
    f"{FOLDER}/scheme.css",
    f"{FOLDER}/pages.css",
)
SCRIPTS = (
    f"{FOLDER}/vendor/photoswipe/photoswipe.umd.min.js",
    f"{FOLDER}/vendor/photoswipe/photoswipe-lightbox.umd.min.js",
    f"{FOLDER}/pages.js",
)
NAVIGATION: tuple[Any, ...] = (
    {"Home": "index.md"},
    {"The wall": "wall.md"},
    {"Find a colour": "find-a-colour.md"},
    {"Sealed against bare": "sealed-against-bare.md"},
    {"Ageing": "ageing.md"},
    {"What one change does": "what-one-change-does.md"},
    {"Repeats": "repeats.md"},
    {"Due": "due.md"},
    {"Did not work": "did-not-work.md"},
    {"Next tests": "next-tests.md"},
    {
        "Method": [
            {"How we photograph and measure": "how-we-measure.md"},
            {"Safety": "safety.md"},
            {"Glossary": "glossary.md"},
            {"Data": "data.md"},
        ]
    },
)
_OURS = ("pieces/", "sisters/")


def set_up_theme(config: Any) -> None:
    """Make an MkDocs configuration carry pages that are opened from a folder, with no network:
    plain file addresses, no fonts from elsewhere, the search's worker from this site itself."""
    config.use_directory_urls = False
    config.theme["font"] = False
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
    """The navigation of a library that names none: ours, then the maker's own pages."""
    known = {"index.md"} | {
        page
        for item in NAVIGATION
        for value in item.values()
        for page in ([value] if isinstance(value, str) else [v for d in value for v in d.values()])
    }
    others = [page for page in pages if page not in known and not page.startswith(_OURS)]
    return [*NAVIGATION, *([{"Notes": others}] if others else [])]


def frame_page(html: str, invented: str) -> str:
    """A page's HTML with the notice of a made-up library above it, where there is one."""
    if not invented:
        return html
    notice = Markup('<p class="pat-invented"><b>Invented.</b> {}</p>\n').format(invented)
    return f"{notice}{html}"
