"""The loop, step by step, with a library, a server and a site that are only told of."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

import pytest

from builder.kept import Stamp
from builder.previewing.looping import CALM, PAUSE, SETTLE, Loop
from builder.previewing.watching import Lying

ONE, TWO, PICTURE = "/l/A-1/sample.yaml", "/l/A-2/sample.yaml", "/l/A-1/dry.jpg"


class Told:
    """A library of two sidecars, and what the loop had done: ``done``, in order."""

    def __init__(self) -> None:
        self.lying = {ONE: Stamp(1, 1), TWO: Stamp(1, 1)}
        self.done: list[str] = []
        self.more: bool | None = True  # what a quick pass says
        self.differs = True  # what a full pass says
        self.while_building: Callable[[], None] = lambda: None
        self.loop = Loop(
            self.look, ("/l",), dict(self.lying), self.redraw, self.rebuild, self.reload
        )

    def look(self, places: Iterable[str]) -> Lying:
        places = tuple(places)
        if places == ("/l",):
            return dict(self.lying)
        return {path: self.lying[path] for path in places if path in self.lying}

    def redraw(self, paths: Collection[str]) -> bool | None:
        self.done.append("quick " + " ".join(sorted(paths)))
        return self.more

    def rebuild(self, heed: Callable[[], None]) -> bool:
        self.done.append("full")
        for page in range(100):
            if page == 50:
                self.while_building()
            heed()
        self.done.append("whole")
        return self.differs

    def reload(self) -> None:
        self.done.append("reload")

    def save(self, *paths: str) -> None:
        for path in paths:
            last = self.lying.get(path, Stamp(0, 0))
            self.lying[path] = Stamp(last.size, last.time_ns + 1)

    def steps(self, number: int) -> list[str]:
        self.done.clear()
        for _ in range(number):
            self.loop.step()
        return list(self.done)


@pytest.fixture
def told() -> Told:
    return Told()


def test_nothing_is_done_where_nothing_is_saved(told: Told) -> None:
    assert told.steps(3 * CALM) == []


def test_a_saved_sidecar_is_shown_first_and_the_whole_site_follows_when_it_is_quiet(
    told: Told,
) -> None:
    told.save(ONE)
    assert told.steps(2) == [f"quick {ONE}", "reload"]
    assert told.steps(CALM - 1) == []
    assert told.steps(1) == ["full", "whole", "reload"]
    assert told.steps(3 * CALM) == []


def test_a_file_still_being_written_is_waited_for(told: Told) -> None:
    for _ in range(3):
        told.save(ONE)
        assert told.loop.step() == SETTLE
    assert told.done == []
    assert told.loop.step() == PAUSE
    assert told.done == [f"quick {ONE}", "reload"]


def test_another_saved_puts_the_whole_site_off(told: Told) -> None:
    told.save(ONE)
    told.steps(2 + CALM - 1)
    told.save(TWO)
    assert told.steps(2) == [f"quick {TWO}", "reload"]
    assert told.steps(CALM - 1) == []


def test_one_saved_while_the_whole_site_is_made_is_shown_before_it(told: Told) -> None:
    told.save(ONE)
    told.steps(2)
    told.while_building = lambda: told.save(TWO)
    assert told.steps(CALM) == ["full"]
    told.while_building = lambda: None
    assert told.steps(2) == [f"quick {TWO}", "reload"]
    assert told.steps(CALM) == ["full", "whole", "reload"]


def test_browsers_are_left_in_peace_where_no_page_is_another(told: Told) -> None:
    told.differs = False
    told.save(ONE)
    told.steps(2)
    assert told.steps(CALM) == ["full", "whole"]


def test_where_nothing_else_depends_on_it_no_whole_site_is_made(told: Told) -> None:
    told.more = False
    told.save(ONE)
    assert told.steps(2 + 3 * CALM) == [f"quick {ONE}", "reload"]


@pytest.mark.parametrize("paths", [(PICTURE,), (ONE, PICTURE), ("/l/A-3/sample.yaml",)])
def test_where_more_than_sidecars_changed_the_full_pass_runs_alone(
    told: Told, paths: tuple[str, ...]
) -> None:
    told.differs = False
    told.save(*paths)
    assert told.steps(2) == ["full", "whole", "reload"]
    assert told.steps(3 * CALM) == []


def test_a_sidecar_that_went_takes_a_full_pass(told: Told) -> None:
    del told.lying[TWO]
    assert told.steps(2) == ["full", "whole", "reload"]


def test_what_a_quick_pass_cannot_show_the_full_one_does(told: Told) -> None:
    told.more = None
    told.save(ONE)
    assert told.steps(2) == [f"quick {ONE}", "full", "whole", "reload"]


def test_an_end_is_not_kept_waiting_for_the_whole_site(told: Told) -> None:
    told.while_building = told.loop.ended.set
    told.save(PICTURE)
    assert told.steps(2) == ["full"]
    told.loop.run()  # comes back


def test_what_nobody_foresaw_does_not_end_the_preview(
    told: Told, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(_: Collection[str]) -> bool:
        told.loop.ended.set()
        raise ValueError("unforeseen")

    told.loop.redraw = fail
    told.save(ONE)
    told.loop.step()
    told.loop.run()
    assert "unforeseen" in caplog.text
