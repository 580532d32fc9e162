"""Keys one after the other: the next is looked at when all that the one before does is done.

The toolkit passes keys on to the widgets before what they are bound to is done. Keys that come in one burst, as over a
slow line, would then meet the screen as it was before the first of them: of `/pump` the `u` would take a step back.
Text that is pasted waits its turn as a key does.
"""

from __future__ import annotations

from collections import deque
from functools import partial

from textual import events
from textual.app import App
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from asfound.tui.toolkit_insides import has_left

LOST_S = 0.5
"""After so long a key counts as done if the widget it went to is gone."""
LOOKS = 6
"""So often that is looked at; then a key counts as done even if its widget is there. A busy machine takes its time."""


class KeysInTurn(App[None]):
    """An app whose keys wait for one another."""

    class Passed(Message):
        """Follows a key through the same widgets up to the app, so that it arrives when the key has been dealt with."""

        def __init__(self, number: int) -> None:
            self.number = number
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self._keys: deque[events.Key | events.Paste] = deque()
        self._number = 0
        self._lost: Timer | None = None

    @property
    def waits_for_keys(self) -> bool:
        """Whether a key is still being dealt with, or waits for its turn."""
        return self._lost is not None or bool(self._keys)

    async def on_event(self, event: events.Event) -> None:
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
        elif self._lost is not None:
            self._keys.append(event)
        else:
            await self._pass_on(event)

    async def _pass_on(self, event: events.Key | events.Paste) -> None:
        if has_left(self):  # the person has left; what was typed after that goes nowhere
            self._keys.clear()
            return
        self._number += 1
        number = self._number
        target = self.focused or self.screen
        self._lost = self.set_timer(LOST_S, partial(self._look_for, number, target, LOOKS))
        await super().on_event(event)
        if not target.post_message(self.Passed(number)):
            await self._key_is_done(number)

    async def _look_for(self, number: int, target: Widget, looks: int) -> None:
        """Go on without a key whose widget is gone; one that is only slow is waited for."""
        if number != self._number or self._lost is None:
            return
        if target.is_attached and looks > 1:
            self._lost = self.set_timer(LOST_S, partial(self._look_for, number, target, looks - 1))
        else:
            await self._key_is_done(number)

    async def on_keys_in_turn_passed(self, message: Passed) -> None:
        message.stop()
        await self._key_is_done(message.number)

    async def _key_is_done(self, number: int) -> None:
        if number != self._number or self._lost is None:
            return
        self._lost.stop()
        self._lost = None
        if self._keys:
            await self._pass_on(self._keys.popleft())
