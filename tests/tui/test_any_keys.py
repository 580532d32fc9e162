"""Keys pressed at random: nothing falls over, nothing entered is lost, and every step can be taken back.

For half an hour of it, each round with other keys: ASFOUND_ANY_KEYS_MINUTES=30 pytest tests/tui/test_any_keys.py
"""

from __future__ import annotations

import os
import random
import time
import unicodedata
from contextlib import suppress
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.keys import _get_unicode_name_from_key

from asfound.tui.app import ArchiveApp

_spec = spec_from_file_location("fake_service", Path(__file__).with_name("fake_service.py"))
assert _spec is not None
assert _spec.loader is not None
_module = module_from_spec(_spec)
_spec.loader.exec_module(_module)

LETTERS = [*"abcdefghijklmnoprstuvwxyz", *"HJKLMORSVX", *"0123456789"]
NAMED = ["enter", "escape", "space", "tab", "shift+tab", "backspace", "up", "down", "left", "right", "pagedown", "home"]
SIGNS = ["slash", "question_mark", "comma", "full_stop", "left_square_bracket", "right_square_bracket", "percent_sign"]
KEYS = [*LETTERS, *NAMED, *NAMED, *SIGNS, "plus", "minus", "ctrl+t"]
"""All but the ones that leave: q and ctrl+q."""

SIZES = [(80, 24), (120, 40), (60, 20), (200, 60), (40, 12)]
MINUTES = float(os.environ.get("ASFOUND_ANY_KEYS_MINUTES", "0"))

STATE = (
    "folded",
    "all_spots",
    "accepted",
    "all_tags",
    "all_ends",
    "all_pins",
    "all_proposals",
    "states",
    "pair_answers",
)


def state_of(service: Any) -> dict[str, Any]:
    return {name: getattr(service, name).copy() for name in STATE}


@pytest.mark.parametrize(("seed", "size"), [(1, (80, 24)), (2, (120, 40)), (3, (60, 20))])
async def test_any_keys_in_any_order_lose_nothing(seed: int, size: tuple[int, int]) -> None:
    assert await press_any_keys(seed, size, rounds=70)


@pytest.mark.skipif(not MINUTES, reason="only when ASFOUND_ANY_KEYS_MINUTES says for how long")
async def test_any_keys_for_a_long_time() -> None:
    until = time.monotonic() + 60 * MINUTES
    seed, entered = 1000 + time.time_ns() % 1_000_000, 0
    while time.monotonic() < until:
        seed += 1
        print(f"seed {seed}", flush=True)  # shown when it fails, to press the same keys again
        entered += await press_any_keys(seed, SIZES[seed % len(SIZES)], rounds=70)
    assert entered


async def press_any_keys(seed: int, size: tuple[int, int], *, rounds: int) -> int:
    """Ten keys a round, and another size of the terminal now and then; how often something was entered."""
    rng = random.Random(seed)
    service = _module.FakeService()
    service.bursts = [(1, 2)]
    at_first = state_of(service)
    app = ArchiveApp(service)
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
        kept = state_of(service)
    assert state_of(service) == kept
    while service.history:
        service.undo()
    assert state_of(service) == at_first
    return len(service.calls)


def press(app: ArchiveApp, key: str) -> None:
    """As the terminal sends it; whatever is still at work goes on meanwhile."""
    character = key if len(key) == 1 else None
    with suppress(KeyError):
        character = character or unicodedata.lookup(_get_unicode_name_from_key(key))
    app.post_message(events.Key(key, character))


async def test_keys_that_are_looked_at_after_leaving_go_nowhere() -> None:
    app = ArchiveApp(_module.FakeService())
    async with app.run_test() as pilot:
        await pilot.pause()
    await app._pass_on(events.Key("j", "j"))
    assert app._exception is None
