"""What is done when: a saved sidecar is shown at once; the whole site follows when it has been
quiet for a moment, and gives way as soon as another is saved."""

from __future__ import annotations

import logging
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from itertools import count
from pathlib import PurePath
from threading import Event

from builder.previewing.watching import Lying, list_changed
from builder.read.sidecar import SIDECAR

PAUSE = 0.25  # s between two looks
SETTLE = 0.05  # s in which a file just changed must stay as it is: it may still be written
CALM = 4  # looks without a change before the whole site is made
_OFTEN = 8  # pages between two looks at the sidecars while the whole site is made


class GiveWay(BaseException):
    """A sidecar was saved while the whole site was being made, or the preview ends. No
    ``Exception``, as ``KeyboardInterrupt`` is none: MkDocs would report it as a failure."""


@dataclass
class Loop:
    """``look`` tells what lies in the ``places``, ``shown`` what lay there when last shown.
    ``redraw`` shows what some sidecars say now: whether the rest of the site may depend on it, None
    where that takes a full pass. ``rebuild`` makes the whole site, calling what it is given now and
    then, and tells whether anything that was looked at is another. ``reload`` has browsers show it.
    """

    look: Callable[[Iterable[str]], Lying]
    places: tuple[str, ...]
    shown: Lying
    redraw: Callable[[Collection[str]], bool | None]
    rebuild: Callable[[Callable[[], None]], bool]
    reload: Callable[[], None]
    ended: Event = field(default_factory=Event)
    owed: bool = False
    _seen: Lying = field(default_factory=dict)
    _calm: int = 0

    def run(self) -> None:
        """Go on until ``ended`` is set."""
        pause = 0.0
        while not self.ended.wait(pause):
            try:
                pause = self.step()
            except Exception:
                # What nobody foresaw is said in full, and the preview goes on.
                logging.getLogger(__name__).exception("The last change could not be shown")
                pause = PAUSE

    def step(self) -> float:
        """One look, and what it takes; how long, s, until the next."""
        now, last = self.look(self.places), self._seen
        self._seen = now
        changed = list_changed(self.shown, now)
        if changed and now != last:
            return SETTLE
        if changed:
            before, self.shown, self._calm = self.shown, now, 0
            self._follow(changed, before)
        elif self.owed:
            self._calm += 1
            if self._calm >= CALM:
                self._rebuild(whatever=False)
        return PAUSE

    def _follow(self, changed: Collection[str], before: Lying) -> None:
        saved = all(
            PurePath(path).name == SIDECAR and path in before and path in self.shown
            for path in changed
        )
        more = self.redraw(changed) if saved else None
        if more is None:
            self._rebuild(whatever=True)
        else:
            self.owed = self.owed or more
            self.reload()

    def _rebuild(self, whatever: bool) -> None:
        """``whatever``: browsers show it anew even where no page is another; a picture may be."""
        sidecars = {p: s for p, s in self.shown.items() if PurePath(p).name == SIDECAR}
        pages = count()

        def heed() -> None:
            if self.ended.is_set() or (
                next(pages) % _OFTEN == 0 and self.look(sidecars) != sidecars
            ):
                raise GiveWay

        self.owed = True
        try:
            differs = self.rebuild(heed)
        except GiveWay:
            return
        self.owed = False
        if differs or whatever:
            self.reload()
