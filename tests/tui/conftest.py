"""Screens under test wait for what is left to be done, and not for the clock."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from pathlib import Path
from time import monotonic

import pytest
import textual.app
import textual.pilot
from textual._context import active_app
from textual.app import App

from asfound.actions.archive import Archive
from asfound.tui.keys_in_turn import KeysInTurn
from tests.small_archive import empty_archive, many_pictures, small_archive


async def all_is_done(least_s: float = 0.0, most_s: float = 1.0) -> None:
    """Wait until no key, message, callback or repaint is left over.

    Stands in for the toolkit's wait, which after each key sleeps 20 ms and more until the processor is at rest: slow,
    and on a busy machine over too soon. Work in threads is not waited for.
    """
    loop, until = asyncio.get_running_loop(), monotonic() + most_s
    while monotonic() < until:
        await asyncio.sleep(0)
        if loop._ready:  # type: ignore[attr-defined]
            continue
        app = active_app.get()
        if not do_what_is_due(app):
            if not is_key_under_way(app):
                return
            await asyncio.sleep(0.005)


def is_key_under_way(app: App[object]) -> bool:
    """Whether a key went to a widget that is gone, which the app notices a moment later."""
    return isinstance(app, KeysInTurn) and app._screen_stack != [] and app._lost is not None


def do_what_is_due(app: App[object]) -> bool:
    """Do at once what would be done with the next frame, up to 17 ms later; False when there is nothing."""
    if app._resize_event is not None:
        app._check_resize()
        return True
    screen = app.screen if app._screen_stack else None
    is_due = screen is not None and bool(
        screen._layout_required
        or screen._scroll_required
        or screen._repaint_required
        or screen._recompose_required
        or screen._dirty_widgets
        or screen._callbacks
    )
    if screen is not None and is_due:
        screen._on_timer_update()
    return is_due


@pytest.fixture(autouse=True)
def no_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (textual.app, textual.pilot):
        monkeypatch.setattr(module, "wait_for_idle", all_is_done)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """Six pictures in two spots, with tags, pins, bags and snags; see `tests/small_archive.py`."""
    with small_archive(tmp_path / "archive") as opened:
        yield opened


@pytest.fixture
def many(tmp_path: Path) -> Iterator[Archive]:
    """Forty pictures in two spots."""
    with many_pictures(tmp_path / "archive") as opened:
        yield opened


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Archive]:
    """A job and nothing in it."""
    with empty_archive(tmp_path / "archive") as opened:
        yield opened
