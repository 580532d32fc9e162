"""The app over an archive, driven by keys: made in one place, and waited for."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from typing import Any

from textual.pilot import Pilot

from asfound.actions.archive import Archive
from asfound.actions.summary import JobSummary, summarize
from asfound.actions.to_sort import SortItem, list_to_sort
from asfound.tui.app import ArchiveApp

Running = tuple[ArchiveApp, Pilot[None]]


def app_over(archive: Archive, **options: Any) -> ArchiveApp:
    """The screens of an archive."""
    return ArchiveApp(archive, **options)


def summary_of(archive: Archive) -> JobSummary:
    """What the first screen tells of an archive."""
    return summarize(archive)


def queue_of(archive: Archive) -> Sequence[SortItem]:
    """What waits in an archive for a person's word."""
    return list_to_sort(archive)


@asynccontextmanager
async def running(
    archive: Archive, size: tuple[int, int] = (80, 24), *, waits: bool = True, **options: Any
) -> AsyncIterator[Running]:
    """The app at work on a terminal of so many columns and rows, and the one who presses its keys.

    Work that begins with it is waited for, unless `waits` is false.
    """
    app = app_over(archive, **options)
    async with app.run_test(size=size) as pilot:
        await (settle(app, pilot) if waits else pilot.pause())
        yield app, pilot


async def settle(app: ArchiveApp, pilot: Pilot[None]) -> None:
    """Wait until every key is dealt with, and for work in threads too."""
    await pilot.pause()
    while app.waits_for_keys:
        await pilot.pause()  # on a busy machine keys still wait for one another
    if any(not worker.is_finished for worker in app.workers):
        await app.workers.wait_for_complete()
        await pilot.pause()


async def press(running: Running, *keys: str) -> None:
    """Press keys, and wait for what they set going."""
    app, pilot = running
    await pilot.press(*keys)
    await settle(app, pilot)


def said(app: ArchiveApp) -> str:
    """The line in which the screen in front says what was done."""
    return str(app.screen.query_one("#said").render())


def words_in(app: ArchiveApp, name: str) -> str:
    """The words of one part of the screen in front."""
    return str(app.screen.query_one(name).render())


async def until(pilot: Pilot[None], true: Callable[[], bool]) -> None:
    """Wait for work in a thread, which tells the screens in its own time."""
    for _ in range(200):
        if true():
            return
        await pilot.pause(0.01)
    raise AssertionError("it never came")
