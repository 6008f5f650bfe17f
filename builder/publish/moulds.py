"""What surrounds a page, taken once from the site generator and then used for every page that
stands in no navigation: nothing round those differs but the title and the page's own address.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from html import escape

from builder.digests import digest_bytes

#: Stands for a page's own part while the rest is made; a heading, since a page without one is given
#: one. And for its title. No text can hold either: neither is in use as a character.
PLACE = "<h1>\ufdd0</h1>"
TITLE = "\ufdd1"


@dataclass(frozen=True)
class Mould:
    """A page's HTML with PLACE and TITLE in it; ``address`` is the whole address it was made under,
    "" where the site has none."""

    html: str
    address: str

    @cached_property
    def digest(self) -> str:
        return digest_bytes(self.html.encode())

    def cast(self, title: str, part: str, address: str) -> str:
        """The page of a plain ``title`` whose own part is ``part``, under ``address``."""
        around = self.html.replace(TITLE, escape(title))
        if self.address:
            around = around.replace(f'"{escape(self.address)}"', f'"{escape(address)}"')
        return around.replace(PLACE, part)
