"""Every key is told once: from one table follow bindings, foot, help and the list of commands."""

from __future__ import annotations

import ast
import inspect
from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from asfound.tui import screens
from asfound.tui.app import ArchiveApp
from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import load_entries
from asfound.tui.keys import Key, bindings_of
from asfound.tui.pinned_picture import PinnedPicture
from asfound.tui.widgets.key_line import KeyLine
from tests.tui.screens_of import running, settle

ENTRIES = load_entries()
TAKEN_BY_WIDGETS = frozenset({"enter", "tab", "right", "down,up", "up,down", "h,j,k,l", "plus,minus", "z", ""})
"""Keys that a list, a sheet, a form or a picture takes itself; the mouse and numbers have no name."""
WIDGETS = {"PinnedPicture": PinnedPicture}


def screen_of(name: str) -> type[ArchiveScreen]:
    factory = ENTRIES[name].factory
    assert isinstance(factory, type)
    assert issubclass(factory, ArchiveScreen)
    return factory


def test_one_row_gives_a_binding_for_each_key_and_reads_well() -> None:
    either = Key("x,r", "on('by hand')", "it is on, by hand", "on, by hand|on")
    both_ways = Key("comma,full_stop", "step({by})", "the picture before, after", "next picture")

    assert [(one.key, one.action) for one in bindings_of([either, both_ways])] == [
        ("x,r", "on('by hand')"),
        ("comma", "step(-1)"),
        ("full_stop", "step(1)"),
    ]
    assert (either.sign, both_ways.sign) == ("x or r", ", .")
    assert (either.hint().key, either.hint().shown, either.hint().in_short.words) == ("x", "x", "on")
    assert (both_ways.hint().key, both_ways.hint("pair 1 of 2|1/2").in_short.words) == ("full_stop", "1/2")
    assert bindings_of([Key("enter", "", "open it", "open")]) == []


@pytest.mark.parametrize("name", ENTRIES)
def test_every_key_of_a_screen_does_something_and_is_told_once(name: str) -> None:
    screen = screen_of(name)
    taken: set[str] = set()
    for key in screen.KEYS:
        if not key.action:
            assert key.keys in TAKEN_BY_WIDGETS, key
            continue
        action = key.action.partition("(")[0]
        owner = WIDGETS[key.of] if key.of else ArchiveApp if action.startswith("app.") else screen
        assert inspect.isroutine(getattr(owner, f"action_{action.removeprefix('app.')}", None)), key
        assert key.does or key.short, key
        assert not taken & set(key.keys.split(",")), f"{key} is told twice"
        taken |= set(key.keys.split(","))


def test_no_screen_keeps_a_second_table_of_its_keys() -> None:
    for path in Path(*screens.__path__).glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            names = [one.id for one in getattr(node, "targets", ()) if isinstance(one, ast.Name)]
            assert not {"BINDINGS", "KEY_WORDS"} & set(names), path.name


@pytest.mark.parametrize("name", [name for name, entry in ENTRIES.items() if entry.key or name == "start"])
async def test_the_foot_names_keys_of_the_table_alone(archive: Archive, name: str) -> None:
    async with running(archive) as (app, pilot):
        app.go(name)
        await settle(app, pilot)
        screen = app.here
        assert screen is not None
        told = {key.pressed for key in screen.KEYS} | {"escape", "question_mark"}
        assert {hint.key for hint in app.screen.query_one(KeyLine).hints} <= told
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert all(titles)
