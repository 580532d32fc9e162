"""Work behind the screens: sorting and bringing in, told, stopped and ended."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions import sort
from asfound.actions.archive import Archive
from asfound.actions.progress import Progress, quiet
from asfound.errors import Misused
from asfound.tui.background import WorkTold
from asfound.tui.screens.spots import SpotsScreen
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.small_changes import card_of
from tests.tui.screens_of import running, summary_of, until, words_in


class Slowly:
    """Sorting goes no further than it is let, and then does what it does."""

    def __init__(self) -> None:
        self.go_on = threading.Event()
        self.ended = threading.Event()
        self.fault: Exception | None = None
        self.was_stopped = False
        self._sort = sort.finish_pending

    def finish_pending(self, archive: Archive, progress: Progress = quiet) -> sort.SortReport:
        progress("finding features", 1, 2)
        assert self.go_on.wait(20)
        if self.fault:
            raise self.fault
        try:
            return self._sort(archive, progress)
        except Exception:
            self.was_stopped = True
            raise
        finally:
            self.ended.set()


@pytest.fixture
def slowly(monkeypatch: pytest.MonkeyPatch) -> Iterator[Slowly]:
    """Sorting that waits, and goes on at the latest when the test is over."""
    slow = Slowly()
    monkeypatch.setattr(sort, "finish_pending", slow.finish_pending)
    yield slow
    slow.go_on.set()


@pytest.fixture
def unsorted(archive: Archive) -> Archive:
    """The small archive, of which two pictures wait to be sorted."""
    with archive.store.transaction():
        archive.store.run("DELETE FROM examined WHERE picture_id > 4")
    return archive


async def test_what_was_added_for_later_is_sorted_behind_the_screens(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: "finding features 1 of 2" in words_in(app, "#top"))
        assert any("2 pictures not sorted yet" in row.cells[2] for row in app.screen.query_one(RowList).rows)
        await pilot.press("t")  # keys are answered meanwhile, on other screens too
        assert "finding features" in words_in(app, "#top")
        slowly.go_on.set()
        await until(pilot, lambda: "Sorted:" in words_in(app, "#said"))
        assert not app.background.goes_on
        assert summary_of(unsorted).unsorted == 0
        assert "number: find" in words_in(app, "#top")


async def test_sorting_is_stopped_with_a_key_and_not_begun_again_by_itself(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        await pilot.press("x")
        # Before the first picture is in hand it stops at once, and says only that it did.
        assert any(said in words_in(app, "#said") for said in ("Stopping", "Sorting was stopped."))
        slowly.go_on.set()
        await until(pilot, lambda: "Sorting was stopped." in words_in(app, "#said"))
        assert not app.background.goes_on
        await pilot.press("t", "escape")
        assert not app.background.goes_on


async def test_leaving_stops_the_work_at_the_picture_at_hand(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: "finding features" in words_in(app, "#top"))
        await pilot.press("q")
    slowly.go_on.set()
    assert slowly.ended.wait(20)
    assert slowly.was_stopped
    assert app.return_code == 0


@pytest.mark.parametrize(
    ("fault", "words"), [(Misused("The card is gone."), "The card is gone."), (KeyError("x"), "KeyError")]
)
async def test_a_fault_behind_the_screens_is_one_line(
    unsorted: Archive, slowly: Slowly, fault: Exception, words: str
) -> None:
    slowly.fault = fault
    slowly.go_on.set()
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: words in words_in(app, "#said"))
        assert app.is_running


async def test_a_second_folder_waits_until_the_work_is_done(unsorted: Archive, slowly: Slowly, tmp_path: Path) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        assert "still running" in app.background.bring_in(str(tmp_path))
        await pilot.pause()
        assert summary_of(unsorted).pictures == 6
        slowly.go_on.set()


async def test_no_folder_is_asked_for_while_work_goes_on(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        await pilot.press("a")
        await pilot.pause()
        assert "still running" in words_in(app, "#said")
        assert not app.screen.query_one(AskLine).is_open
        slowly.go_on.set()


async def test_what_was_added_is_told_before_it_is_sorted(empty: Archive, slowly: Slowly, tmp_path: Path) -> None:
    card = card_of(tmp_path / "card", 2)
    async with running(empty, waits=False) as (app, pilot):
        assert "no pictures yet" in words_in(app, "#said")
        app.background.bring_in(str(card))
        await until(pilot, lambda: "finding features" in words_in(app, "#top"))
        assert "Added 2" in words_in(app, "#said")
        assert "no pictures" not in " ".join(row.cells[2] for row in app.screen.query_one(RowList).rows)
        await pilot.press("t", "escape")
        assert "no pictures" not in words_in(app, "#said")
        slowly.go_on.set()


async def test_work_that_ends_while_another_screen_is_put_in_front_is_told_there_once_it_stands(
    archive: Archive,
) -> None:
    async with running(archive) as (app, pilot):
        app.push_screen(app.entries["spots"].factory())
        assert app.here is not None
        assert not app.here.is_mounted
        app.post_message(WorkTold("Printed."))
        screen = app.here
        await until(pilot, lambda: screen.is_mounted)
        await until(pilot, lambda: "Printed." in words_in(app, "#said"))
        assert isinstance(screen, SpotsScreen)
