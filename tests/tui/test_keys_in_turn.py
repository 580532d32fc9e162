"""Keys wait for one another: the next one meets the screen as the one before left it."""

from __future__ import annotations

import asyncio

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from asfound.tui import keys_in_turn
from asfound.tui.keys_in_turn import KeysInTurn


class SlowApp(KeysInTurn):
    """`o` opens a field only after a while, `x` takes its field away, `q` leaves."""

    BINDINGS = [Binding("o", "open"), Binding("x", "take_away"), Binding("n", "note"), Binding("q", "quit")]

    def __init__(self) -> None:
        super().__init__()
        self.noted = 0

    async def action_open(self) -> None:
        await asyncio.sleep(0.05)
        field = Input()
        await self.screen.mount(field)
        self.screen.set_focus(field)

    async def action_take_away(self) -> None:
        await self.query(Input).remove()

    def action_note(self) -> None:
        self.noted += 1

    @property
    def typed(self) -> str:
        return self.query_one(Input).value


async def settle(app: KeysInTurn, pilot: Pilot[None]) -> None:
    await pilot.pause()
    while app.waits_for_keys:
        await pilot.pause()


def send(app: KeysInTurn, *keys: str) -> None:
    """Send keys all at once, as a slow line does."""
    for key in keys:
        app.post_message(events.Key(key, key if len(key) == 1 else None))


async def test_keys_typed_while_a_field_opens_are_typed_into_it() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, *"noon")
        await settle(app, pilot)
        assert app.noted == 1
        assert app.typed == "on"  # the second letter opened the field, and the n behind it is no key any more


async def test_a_thousand_keys_at_once_all_arrive_in_order() -> None:
    app = SlowApp()
    keys = [f"{number % 10}" for number in range(1000)]
    async with app.run_test() as pilot:
        send(app, "o", *keys)
        await settle(app, pilot)
        assert app.typed == "".join(keys)


async def test_what_is_pasted_between_keys_stands_between_them() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "o", "a")
        app.post_message(events.Paste("bcd"))
        send(app, "e")
        await settle(app, pilot)
        assert app.typed == "abcde"


async def test_a_paste_that_nothing_takes_holds_nobody_up() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        app.post_message(events.Paste("abc"))
        send(app, "n")
        await settle(app, pilot)
        assert app.noted == 1


async def test_a_key_whose_widget_is_gone_does_not_stop_those_behind_it() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "o")
        await settle(app, pilot)
        app.query_one(Input).post_message(events.Key("a", "a"))
        await app.query(Input).remove()
        send(app, "n", "n")
        await settle(app, pilot)
        assert app.noted == 2


async def test_a_key_that_never_comes_back_is_given_up_after_a_while(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    """The widget it went to may be gone before it looks at the key."""
    monkeypatch.setattr(keys_in_turn, "LOST_S", 0.05)
    monkeypatch.setattr(SlowApp, "on_keys_in_turn_passed", lambda self, message: message.stop())
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "n", "n", "n")
        await settle(app, pilot)
        assert app.noted == 3


async def test_a_key_that_only_takes_long_is_waited_for(monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(keys_in_turn, "LOST_S", 0.02)
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "o", "a", "b")  # the field opens after two and a half of these
        await settle(app, pilot)
        assert app.typed == "ab"


async def test_an_answer_to_a_key_given_up_before_does_not_count_for_the_next() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "n")
        await settle(app, pilot)
        await app.on_keys_in_turn_passed(KeysInTurn.Passed(0))
        assert not app.waits_for_keys
        send(app, "n")
        await settle(app, pilot)
        assert app.noted == 2


async def test_keys_behind_the_one_that_leaves_go_nowhere() -> None:
    app = SlowApp()
    async with app.run_test() as pilot:
        send(app, "n", "q", "n", "n")
        await pilot.pause()
    assert app.noted == 1
    assert app._exception is None


async def test_keys_go_to_the_screen_that_the_key_before_has_opened() -> None:
    class Upper(Screen[None]):
        BINDINGS = [Binding("n", "mine")]
        mine = 0

        def action_mine(self) -> None:
            self.mine += 1

    class Stacked(SlowApp):
        BINDINGS = [Binding("s", "stack")]

        async def action_stack(self) -> None:
            await asyncio.sleep(0.02)
            await self.push_screen(Upper())

        def compose(self) -> ComposeResult:
            yield from ()

    app = Stacked()
    async with app.run_test() as pilot:
        send(app, "n", "s", "n", "n")
        await settle(app, pilot)
        assert isinstance(app.screen, Upper)
        assert (app.noted, app.screen.mine) == (1, 2)
