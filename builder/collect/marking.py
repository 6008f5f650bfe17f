"""Marking where piece and card lie in a picture: a page on this machine, and what it sends."""

from __future__ import annotations

import json
import threading
import webbrowser
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from builder.collect.mark_messages import Picture, describe_setup, read_corners, refuse
from builder.collect.mark_server import Answer, Exchange, PageServer
from builder.collect.settings_file import digest_settings, store_corners
from builder.errors import Problem, SiteError, Weight
from builder.look.opening import open_original
from builder.look.web import write_web_sizes
from builder.read.corner_edits import CORNER_KEYS
from builder.read.option_values import SETTINGS_FILE
from builder.read.settings import read_settings_file
from builder.read.wording import quote, suggest
from builder.records.settings import Limits, Settings, SetUp
from builder.shipped import shipped_folder

_USUAL_NAME = "bench"
_WIDTH = 2400  # pixels of the shown picture: a tenth of a millimetre on most benches
#: What the page asks for beside the picture: (file among the templates, media type).
_ASSETS = {
    "mark.css": ("mark/mark.css", "text/css"),
    "mark.js": ("mark/mark.js", "text/javascript"),
    "mark.svg": ("assets/mark.svg", "image/svg+xml"),
}


def mark_photo(
    library: Path,
    photo: Path,
    setup: str,
    port: int,
    open_browser: bool,
    say: Callable[[str], None],
    new: bool = False,
) -> None:
    """Show ``photo`` on a page of this machine until its reader is done, and write the corners
    saved there into the settings of ``library``.

    ``setup`` "" is the library's usual one; ``new`` allows a name that is not yet in the settings.
    ``port`` 0 is any that is free. ``say`` is told the address and what was written. Raises
    ``LibraryError`` and ``PictureError``.
    """
    settings = read_settings_file(library)
    name = choose_setup(settings, setup, new)
    marking = Marking(library, name, show_picture(library, photo, settings.limits))
    with PageServer(marking.exchange(say), port) as server:
        say(f"Marking the set-up {quote(name)} in {photo.name}: {server.address}")
        say("Press Done on the page, or Ctrl-C here, when the corners are right.")
        if open_browser:
            # A browser of the terminal's own would keep this thread.
            threading.Thread(target=partial(webbrowser.open, server.address), daemon=True).start()
        try:
            server.serve_forever(poll_interval=0.1)
        except KeyboardInterrupt:
            say("")
    say(marking.sum_up())


def choose_setup(settings: Settings, wanted: str, new: bool = False) -> str:
    """The set-up to mark: the one named, else the usual or the only one, else a first one.

    Raises ``LibraryError`` for a name that is not in the settings, unless it is to be ``new`` or
    there are none at all.
    """
    names = [setup.name for setup in settings.setups]
    wanted = wanted if wanted in names else " ".join(wanted.split())
    if wanted.casefold() == "none":
        raise refuse(
            "a set-up cannot be named “none”", "another name",
            "choose another: “none” is how a piece says that it has no set-up",
        )  # fmt: skip
    if wanted in names and new:
        raise refuse(
            f"there is a set-up {quote(wanted)} already",
            "a name that is not yet under setups",
            "choose another, or leave --new out to mark that one anew",
        )
    if wanted in names or (wanted and (new or not names)):
        return _refuse_sheet(settings, wanted)
    if wanted:
        otherwise = f"one of: {', '.join(quote(name) for name in names)}"
        raise refuse(
            f"there is no set-up {quote(wanted)}",
            "the name of one under setups",
            f"{suggest(wanted, names, otherwise)} To begin one of this name, add --new",
        )
    usual = settings.default_setup if settings.default_setup in names else ""
    if usual or len(names) < 2:
        return _refuse_sheet(settings, usual or next(iter(names), _USUAL_NAME))
    raise refuse(
        f"there are {len(names)} set-ups, and none is the usual one",
        "the name of the one to mark",
        f"name it with --setup, one of: {', '.join(quote(name) for name in names)}",
    )


def _refuse_sheet(settings: Settings, name: str) -> str:
    """The name, unless its set-up has a jig sheet: corners by hand would go before the sheet's."""
    setup = settings.setup_named(name)
    if setup and setup.sheet:
        raise refuse(
            f"the set-up {quote(name)} has a jig sheet, by which piece and card are found",
            "a set-up without one, for photographs on a stand",
            "begin one of its own: --setup NAME --new, and name it at those photographs; marks on "
            "this one would switch its sheet off",
        )
    return name


def show_picture(library: Path, photo: Path, limits: Limits) -> Picture:
    """A photograph, of the library or not, as the page shows it; a name that is not found here is
    looked for in the library's folder. Raises ``PictureError``."""
    inside = library / photo
    path = inside if inside.is_file() and not photo.is_file() else photo
    opened = open_original(path.parent, path.name, limits)
    with TemporaryDirectory() as folder:
        (image,) = write_web_sizes(opened, (_WIDTH,), Path(folder))
        data = (Path(folder) / image.name).read_bytes()
    return Picture(path.name, image.width, image.height, data)


@dataclass
class Marking:
    """One marking of a set-up; remembers what was last written."""

    root: Path
    setup: str
    picture: Picture
    written: str = ""

    def exchange(self, say: Callable[[str], None]) -> Exchange:
        """What the page may ask for, and what is done with what it sends."""
        page = _read_asset("mark/mark.html").decode()
        pages: dict[str, Callable[[], Answer]] = {
            name: partial(Answer, kind, _read_asset(file)) for name, (file, kind) in _ASSETS.items()
        }
        pages[""] = lambda: Answer("text/html", self.fill_page(page).encode())
        pages["picture.jpg"] = lambda: Answer("image/jpeg", self.picture.data)
        return Exchange(pages, partial(self.take, say=say), lambda message: "done" in message)

    def fill_page(self, page: str) -> str:
        """The page with the corners as the settings give them now."""
        digest = digest_settings(self.root)
        settings = read_settings_file(self.root)
        setup = settings.setup_named(self.setup) or SetUp(self.setup)
        told = describe_setup(setup, self.picture, digest)
        # Inside a script element only “<” could end it.
        words = json.dumps(told, ensure_ascii=False, sort_keys=True).replace("<", "\\u003c")
        return page.replace("%(told)s", words)

    def take(self, message: Mapping[str, Any], say: Callable[[str], None]) -> Mapping[str, Any]:
        """Write the corners a message brings. Raises ``LibraryError``."""
        if "done" in message:
            return {"said": "Done."}
        corners = {
            key: read_corners(message[key], key, self.picture)
            for key in CORNER_KEYS
            if message.get(key) is not None
        }
        if not corners:
            raise refuse("no corners were sent", "those of piece or card", "load the page again")
        written = store_corners(self.root, str(message.get("seen")), self.setup, corners)
        places = [f"{key} to {SETTINGS_FILE}:{line}" for key, line in written.lines.items()]
        self.written = f"Wrote {' and '.join(places)}, set-up {quote(self.setup)}."
        say(self.written)
        return {"said": self.written, "seen": written.digest}

    def sum_up(self) -> str:
        """The last word on the terminal."""
        if not self.written:
            return "Stopped. Nothing was written."
        return "Done. Photographs of this set-up are read anew at the next build."


def _read_asset(name: str) -> bytes:
    try:
        return (shipped_folder("site_templates") / name).read_bytes()
    except OSError:
        raise SiteError(
            Problem(
                f"site_templates/{name}", 0, "the marking page is missing",
                "what comes with the program", "install patinarium again", Weight.STOPS,
            )
        ) from None  # fmt: skip
