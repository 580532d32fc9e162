"""Keys pressed at random: nothing falls over, nothing entered is lost, and every step can be taken back.

For half an hour of it, each round with other keys: ASFOUND_ANY_KEYS_MINUTES=30 pytest tests/tui/test_any_keys.py
"""

from __future__ import annotations

import os
import random
import time
import unicodedata
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.keys import _get_unicode_name_from_key

from asfound.actions.archive import Archive
from asfound.actions.undo import undo
from asfound.store.migrations import PERSON_TABLES
from asfound.tui.app import ArchiveApp
from asfound.tui.background import BackgroundWork
from tests.small_archive import small_archive
from tests.small_changes import make_burst
from tests.tui.screens_of import app_over

LETTERS = [*"abcdefghijklmnoprstuvwxyz", *"HJKLMORSVX", *"0123456789"]
NAMED = ["enter", "escape", "space", "tab", "shift+tab", "backspace", "up", "down", "left", "right", "pagedown", "home"]
SIGNS = ["slash", "question_mark", "comma", "full_stop", "left_square_bracket", "right_square_bracket", "percent_sign"]
KEYS = [*LETTERS, *NAMED, *NAMED, *SIGNS, "plus", "minus", "ctrl+t"]
"""All but the ones that leave: q and ctrl+q."""

SIZES = [(80, 24), (120, 40), (60, 20), (200, 60), (40, 12)]
ROUNDS = 25
MINUTES = float(os.environ.get("ASFOUND_ANY_KEYS_MINUTES", "0"))


def state_of(archive: Archive) -> dict[str, list[tuple[Any, ...]]]:
    """Every row that holds a person's word."""
    return {name: sorted(map(tuple, archive.store.rows(f"SELECT * FROM {name}")), key=repr) for name in PERSON_TABLES}


@pytest.fixture(autouse=True)
def nothing_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys at random may spell the name of any folder; none is brought in, no book is printed and no viewer opened."""
    monkeypatch.setattr("asfound.tui.background.typed_paths", lambda words: [Path("/nowhere at all")])
    monkeypatch.setattr(BackgroundWork, "print_book", lambda *_, **__: None)
    for place in ("screens.picture", "book"):
        monkeypatch.setattr(f"asfound.tui.{place}.open_in_viewer", lambda path, environ: False)


@pytest.mark.parametrize(("seed", "size"), [(6, (80, 24)), (1, (120, 40)), (5, (60, 20))])
async def test_any_keys_in_any_order_lose_nothing(archive: Archive, seed: int, size: tuple[int, int]) -> None:
    assert await press_any_keys(archive, seed, size, rounds=ROUNDS)


@pytest.mark.skipif(not MINUTES, reason="only when ASFOUND_ANY_KEYS_MINUTES says for how long")
async def test_any_keys_for_a_long_time(tmp_path: Path) -> None:
    until = time.monotonic() + 60 * MINUTES
    seed, entered = 1000 + time.time_ns() % 1_000_000, 0
    while time.monotonic() < until:
        seed += 1
        print(f"seed {seed}", flush=True)  # shown when it fails, to press the same keys again
        with small_archive(tmp_path / str(seed)) as archive:
            entered += await press_any_keys(archive, seed, SIZES[seed % len(SIZES)], rounds=70)
    assert entered


async def press_any_keys(archive: Archive, seed: int, size: tuple[int, int], *, rounds: int) -> int:
    """Ten keys a round, and another size of the terminal now and then; how often something was entered."""
    rng = random.Random(seed)
    make_burst(archive, 1, 2)
    at_first = state_of(archive)
    app = app_over(archive)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for _ in range(rounds):
            for key in rng.choices(KEYS, k=10):
                press(app, key)
            if rng.random() < 0.1:
                await pilot.resize_terminal(*rng.choice(SIZES))
            await pilot.pause()
            while (app._keys or app._lost is not None) and app._exception is None:
                await pilot.pause()  # on a busy machine keys still wait for one another
            assert app._exception is None
        assert app.is_running
        kept = state_of(archive)
    assert state_of(archive) == kept
    while archive.store.count_steps():
        undo(archive, is_sure=True)
    assert state_of(archive) == at_first
    return int(archive.store.value("SELECT COUNT(*) FROM step"))


def press(app: ArchiveApp, key: str) -> None:
    """As the terminal sends it; whatever is still at work goes on meanwhile."""
    character = key if len(key) == 1 else None
    with suppress(KeyError):
        character = character or unicodedata.lookup(_get_unicode_name_from_key(key))
    app.post_message(events.Key(key, character))


async def test_keys_that_are_looked_at_after_leaving_go_nowhere(archive: Archive) -> None:
    app = app_over(archive)
    async with app.run_test() as pilot:
        await pilot.pause()
    await app._pass_on(events.Key("j", "j"))
    assert app._exception is None
