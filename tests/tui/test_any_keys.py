"""Keys pressed at random: nothing falls over, nothing entered is lost, and every step can be taken back."""

from __future__ import annotations

import random
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

STATE = ("all_spots", "accepted", "all_tags", "all_ends", "all_pins", "all_proposals", "states", "pair_answers")


def state_of(service: Any) -> dict[str, Any]:
    return {name: getattr(service, name).copy() for name in STATE}


@pytest.mark.parametrize(("seed", "size"), [(1, (80, 24)), (2, (120, 40)), (3, (60, 20))])
async def test_any_keys_in_any_order_lose_nothing(seed: int, size: tuple[int, int]) -> None:
    rng = random.Random(seed)
    service = _module.FakeService()
    at_first = state_of(service)
    app = ArchiveApp(service)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for _ in range(70):
            for key in rng.choices(KEYS, k=10):
                press(app, key)
            await pilot.pause()
            assert app._exception is None
        assert app.is_running
        kept = state_of(service)
        assert service.calls  # some keys did enter something
    assert state_of(service) == kept
    while service.history:
        service.undo()
    assert state_of(service) == at_first


def press(app: ArchiveApp, key: str) -> None:
    """As the terminal sends it; whatever is still at work goes on meanwhile."""
    character = key if len(key) == 1 else None
    with suppress(KeyError):
        character = character or unicodedata.lookup(_get_unicode_name_from_key(key))
    app.post_message(events.Key(key, character))
