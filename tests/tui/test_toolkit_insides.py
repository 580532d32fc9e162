"""What is used of Textual's inside still does what it is used for. A new Textual that changes it fails here first."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
import textual
from rich.console import Console
from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.drivers.headless_driver import HeadlessDriver
from textual.screen import Screen
from textual.widgets import Static

import asfound.tui
from asfound.tui.toolkit_insides import LateStrip, bind_keys, bound_keys, every_screen, has_left, write_to_terminal

INSIDES = "toolkit_insides.py"


class SecondScreen(Screen[None]):
    BINDINGS = [Binding("j,down", "further", "further", show=False)]


class TwoModes(App[None]):
    MODES = {"first": Screen, "second": SecondScreen}
    DEFAULT_MODE = "first"

    def __init__(self) -> None:
        super().__init__()
        self.pressed: list[str] = []
        bind_keys(self, ("x", "f3"), "note('x')", "note it")

    def compose(self) -> ComposeResult:
        yield Static("words")

    def action_note(self, words: str) -> None:
        self.pressed.append(words)


class TextStrip(LateStrip):
    """A strip of one text, which counts how often it is asked."""

    __slots__ = ["asked", "words"]

    def __init__(self, words: str) -> None:
        super().__init__(len(words))
        self.words = words
        self.asked: list[str] = []

    def build_segments(self) -> list[Segment]:
        self.asked.append("segments")
        return [Segment(self.words)]

    def encode(self) -> str:
        self.asked.append("encode")
        return self.words.upper()

    def render(self, console: Console) -> str:
        return self.encoded_once()


async def test_text_goes_past_the_compositor_to_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    written: list[str] = []
    monkeypatch.setattr(HeadlessDriver, "write", lambda self, text: written.append(text))
    app = TwoModes()
    async with app.run_test() as pilot:
        await pilot.pause()
        assert write_to_terminal(app, "\x1b[6n")
        assert written[-1] == "\x1b[6n"


def test_there_is_no_terminal_before_the_app_runs() -> None:
    assert not write_to_terminal(TwoModes(), "\x1b[6n")


async def test_every_screen_of_every_mode_is_named_and_none_after_leaving() -> None:
    app = TwoModes()
    async with app.run_test() as pilot:
        await app.switch_mode("second")
        await app.push_screen(SecondScreen())
        await pilot.pause()
        assert [type(one) for one in every_screen(app)] == [Screen, SecondScreen, SecondScreen]
        assert not has_left(app)
    assert has_left(app)


async def test_keys_bound_at_the_start_reach_the_app() -> None:
    app = TwoModes()
    async with app.run_test() as pilot:
        await pilot.press("x", "f3", "y")
    assert app.pressed == ["x", "x"]


async def test_the_keys_of_a_screen_that_is_not_in_front_are_known() -> None:
    app = TwoModes()
    async with app.run_test() as pilot:
        below = SecondScreen()
        await app.push_screen(below)
        await app.push_screen(Screen())
        await pilot.pause()
        assert {"j", "down"} <= set(bound_keys(below))


def test_a_late_strip_builds_nothing_until_it_is_asked_and_then_once() -> None:
    strip, console = TextStrip("hose"), Console()
    assert strip.cell_length == 4
    assert strip.asked == []

    assert strip.render(console) == strip.render(console) == "HOSE"
    assert strip.asked == ["encode"]

    assert list(strip) == list(strip) == [Segment("hose")]
    assert strip.text == "hose"
    assert strip.asked == ["encode", "segments"]


def test_a_late_strip_is_cut_and_widened_as_any_other() -> None:
    strip = TextStrip("radiator hose")
    assert strip.crop(9, 13).text == "hose"
    assert strip.adjust_cell_length(15).text == "radiator hose  "
    assert [part.text for part in strip.divide([8, 13])] == ["radiator", " hose"]


def test_no_other_module_touches_a_private_name_of_the_toolkit() -> None:
    """Private names of Textual are gathered from its source; ours that happen to be the same are on our own objects."""
    private = names_private_to_textual()
    ours = {path: path.read_text() for path in Path(asfound.tui.__file__).parent.rglob("*.py") if path.name != INSIDES}
    found = [
        f"{path.name}:{node.lineno} {node.attr}"
        for path, text in ours.items()
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Attribute) and node.attr in private and not is_defined_in(text, node.attr)
    ]
    assert found == []


def names_private_to_textual() -> set[str]:
    source = "\n".join(path.read_text() for path in Path(textual.__file__).parent.rglob("*.py"))
    names = set(re.findall(r"self\.(_[a-z]\w+)\s*(?::[^=\n]+)?=", source))
    return names | set(re.findall(r"^ +(?:async )?def (_[a-z]\w+)\(", source, re.MULTILINE))


def is_defined_in(text: str, name: str) -> bool:
    """Whether a module gives the name a meaning of its own."""
    return (
        re.search(rf"def {name}\(|self\.{name}(: [^=\n]+)? = |^ +{name}(: [^=\n]+)? = ", text, re.MULTILINE) is not None
    )
