"""Pages rendered, as most tests of pages want them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.publish.pages import plan_pages
from builder.publish.pictures import Shown
from builder.publish.press import Press
from builder.publish.search import SearchEntry
from builder.relate.findings import Findings


@dataclass(frozen=True)
class RenderedPage:
    path: str
    title: str
    html: str
    search: SearchEntry
    in_nav: bool
    address: str


def render_pages(findings: Findings, maps: Mapping[str, Shown] | None = None) -> list[RenderedPage]:
    """Every page of a site, whole."""
    out = []
    for page in plan_pages(Press(findings, maps=maps or {})):
        made = page.render()
        whole = (page.path, page.title, made.html, made.search, page.in_nav, page.address)
        out.append(RenderedPage(*whole))
    return out
