"""What a page may load and run: its Content-Security-Policy, written into the page itself, since a
site opened from a folder has no server to send one.

Scripts are the site's own files and the theme's few inline ones, each by its digest; an inline
script in a page's own text is not among them. Nothing is asked of any other place. Styles may be
inline: figures' places and chips' colours are. Source: W3C, Content Security Policy Level 3.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable

#: The standard leaves open what ``'self'`` is for a page opened from disk. Chromium takes it for
#: any file; ``file:`` says the same to those that take it for none.
_OWN = "'self' file:"
_CHARSET = '<meta charset="utf-8">'
_SCRIPT = re.compile(r"<script\b([^>]*)>(.*?)</script\s*>", re.IGNORECASE | re.DOTALL)
_SRC = re.compile(r"\ssrc\s*=", re.IGNORECASE)
_DATA = re.compile(r"type\s*=\s*[\"']?application/", re.IGNORECASE)


def guard_page(html: str, text: str = "") -> str:
    """The page with its policy in its head; ``text``: the part of it that the maker wrote, whose
    own inline scripts are not let run."""
    if _CHARSET not in html:
        return html
    strange = set(_inline_scripts(text))
    own = (script for script in _inline_scripts(html) if script not in strange)
    policy = write_policy(own)
    meta = f'{_CHARSET}\n<meta http-equiv="Content-Security-Policy" content="{policy}">'
    return html.replace(_CHARSET, meta, 1)


def write_policy(scripts: Iterable[str] = ()) -> str:
    """The policy of a page with these inline ``scripts``."""
    digests = sorted({_digest(script) for script in scripts})
    rules = {
        "default-src": "'none'",
        "script-src": " ".join((_OWN, *digests)),
        "style-src": f"{_OWN} 'unsafe-inline'",
        "img-src": f"{_OWN} data: blob:",
        "font-src": f"{_OWN} data:",
        "media-src": _OWN,
        "connect-src": "'self'",
        "worker-src": "'self'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    return "; ".join(f"{name} {value}" for name, value in rules.items())


def _inline_scripts(html: str) -> list[str]:
    return [
        found[2].replace("\r\n", "\n").replace("\r", "\n")
        for found in _SCRIPT.finditer(html)
        if not _SRC.search(found[1]) and not _DATA.search(found[1])
    ]


def _digest(script: str) -> str:
    digest = hashlib.sha256(script.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"
