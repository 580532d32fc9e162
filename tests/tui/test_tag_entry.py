"""Tags written down on one screen, over a real archive."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.resolve import find_only_tag
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.tag_form import read_form, save_form
from asfound.actions.tag_list import list_tags_by_number
from asfound.actions.undo import undo
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.tag_entry import TagEntryScreen
from asfound.tui.screens.tags import TagsScreen
from tests.tui.screens_of import Running, press, running, said

NOON = datetime(2025, 10, 18, 12, 0, tzinfo=UTC)
SCRIPT = Path(__file__).with_name("tag_script.txt")
BAR = 120
"""Keys for ten tags beside the words themselves; the project's own bar."""


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """A job without a picture or a tag."""
    with open_archive(tmp_path / "archive", create=True, now=lambda: NOON) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def entry(app: ArchiveApp) -> TagEntryScreen:
    assert isinstance(app.screen, TagEntryScreen)
    return app.screen


async def type_in(run: Running, words: str) -> None:
    await press(run, *("space" if letter == " " else letter for letter in words))


def places(archive: Archive) -> dict[str, tuple[str, ...]]:
    return {one.tag.number: tuple(end.place for end in one.ends) for one in list_tags_by_number(archive)}


async def test_ten_tags_with_both_ends_take_few_keys_beside_their_words(archive: Archive) -> None:
    steps = [step for line in SCRIPT.read_text().splitlines() for step in shlex.split(line, posix=False)]
    keys = [step for step in steps if not step.startswith('"')]
    async with running(archive) as run:
        for step in steps:
            if step.startswith('"'):
                await type_in(run, step.strip('"'))
            else:
                await press(run, step)
    assert len(keys) <= BAR
    assert places(archive) == {
        "1": ("battery negative", "block, port side"),
        "2": ("alternator B+", "starter stud"),
        "3": ("alternator D+", "loom branch 2"),
        "4": ("oil alarm switch", "loom branch 2"),
        "5": ("header tank", "thermostat housing"),
        "6": ("heat exchanger", "thermostat housing"),
        "7": ("water trap", "lift pump"),
        "8": ("injector 4", "tank return"),
        "9": ("pump lever", "bracket, port side"),
        "10": ("rocker cover", "air filter"),
    }
    kinds = {one.tag.number: one.tag.kind for one in list_tags_by_number(archive)}
    assert kinds["6"] == "coolant hose"
    assert kinds["8"] == "fuel line"
    assert undo(archive)[0] == "tag 10 written down"
    assert list(places(archive)) == ["1", "2", "3", "4", "5", "6", "7", "8", "9"]


async def test_every_field_is_kept_and_stands_there_again(archive: Archive) -> None:
    wanted = {
        "number": "17",
        "kind": "coolant hose",
        "name": "upper radiator",
        "place A": "thermostat housing",
        "place B": "radiator top",
        "colour A": "RD/BK",
        "colour B": "BK?",
        "how_it_sat A": "clamp screw up",
        "how_it_sat B": "arrow to bow",
        "clock A": "2 o'clock",
        "clock B": "7:30 o'clock",
        "terminal A": "30",
        "terminal B": "B+",
        "capped A": "blue cap",
        "capped B": "no",
        "side A": "engine side",
        "side B": "stays behind",
        "tape_lost A": "",
        "tape_lost B": "lost",
        "note A": "scratched",
        "note B": "",
        "size": "32 mm",
        "flow": "A to B",
        "route": "over 18",
        "bag": "B4, B5",
        "hazard": "hot",
        "condition": "replace",
        "goes_with": "engine",
        "look_alike": "radiator hoses",
        "ends": "2",
        "fit_after": "16",
        "fit_before": "18",
        "how_it_sat": "loose",
        "note": "soft near the clamp",
    }
    for number in ("16", "18"):
        add_tag(archive, number, TagWords())
    typed = {**wanted, "clock A": "2", "clock B": "7:30"}
    async with running(archive, size=(120, 40)) as run:
        await press(run, "w")
        for place, field in enumerate(entry(run[0]).sheet.fields):
            if place:
                await press(run, "tab")
            await type_in(run, typed[field.key])
        await press(run, "enter")
        mine = find_only_tag(archive, "17")
        assert mine is not None
        assert read_form(archive, mine) == wanted
        assert "Kept" in said(run[0]) or "New" in said(run[0])


async def test_a_line_is_spread_over_the_fields_and_can_be_put_right_before_it_is_kept(
    archive: Archive,
) -> None:
    async with running(archive) as run:
        await press(run, "w")
        await type_in(run, "17 hose upper radiator A thermostat housing B radiator top clamp 2 oclock RD/BK")
        await press(run, "tab")
        texts = entry(run[0]).sheet.texts
        assert (texts["kind"], texts["place A"], texts["colour B"]) == ("hose", "thermostat housing", "RD/BK")
        await press(run, "end")
        await type_in(run, "x")
        for _ in range("kind name".count(" ") + 1):
            await press(run, "tab")
        await press(run, "end")
        await type_in(run, ", port side")
        await press(run, "enter")
    assert places(archive)["17"][0] == "thermostat housing, port side"
    # A kind that is none is kept as the note, never refused.
    assert [(one.tag.kind, one.tag.note) for one in list_tags_by_number(archive)] == [("other", "kind: hosex")]


async def test_a_number_in_use_shows_what_is_known_and_only_changes_what_was_changed(archive: Archive) -> None:
    add_tag(archive, "17", TagWords(kind="hose", name="raw water hose", route="over 18"))
    async with running(archive) as run:
        await press(run, "w", "1", "7", "tab")
        assert entry(run[0]).sheet.texts["name"] == "raw water hose"
        assert "17 is known" in said(run[0])
        await press(run, "tab", "tab")
        await type_in(run, "sea cock")
        await press(run, "enter")
    (only,) = list_tags_by_number(archive)
    assert (only.tag.route, only.tag.kind, only.ends[0].place) == ("over 18", "hose", "sea cock")


async def test_another_thing_with_a_number_in_use_is_a_thing_of_its_own(archive: Archive) -> None:
    add_tag(archive, "12", TagWords(kind="hose", name="gear oil"))
    async with running(archive) as run:
        await press(run, "w", "1", "2", "tab", "ctrl+n", "tab")
        await type_in(run, "oil alarm")
        await press(run, "enter")
    assert [(one.tag.number, one.tag.name) for one in list_tags_by_number(archive)] == [
        ("12", "gear oil"),
        ("12", "oil alarm"),
    ]


async def test_what_is_unfinished_stands_there_again(archive: Archive) -> None:
    async with running(archive) as run:
        await press(run, "t", "a", "5", "tab")
        await type_in(run, "wire")
        await press(run, "escape")
        assert isinstance(run[0].screen, TagsScreen)
        assert "unfinished" in said(run[0])
    async with running(archive) as run:
        await press(run, "w")
        assert entry(run[0]).changed_texts == {"kind": "wire"}
        await press(run, "enter", "escape", "w")
        assert entry(run[0]).changed_texts == {}
        assert entry(run[0]).sheet.texts == {"number": "6"}
    assert [(one.tag.number, one.tag.kind) for one in list_tags_by_number(archive)] == [("5", "wire")]


async def test_a_tag_is_put_right_from_the_list_and_leaving_twice_keeps_nothing(archive: Archive) -> None:
    add_tag(archive, "17", TagWords(kind="hose", name="raw water"))
    async with running(archive) as run:
        await press(run, "t", "e", "tab", "end")
        await type_in(run, " hose")
        await press(run, "escape")
        assert "Not kept yet: 1 field" in said(run[0])
        await press(run, "escape")
        assert list_tags_by_number(archive)[0].tag.name == "raw water"
        await press(run, "e", "tab", "end")
        await type_in(run, " hose")
        await press(run, "enter")
        assert isinstance(run[0].screen, TagsScreen)
        assert "raw water hose" in said(run[0])
        assert list_tags_by_number(archive)[0].tag.name == "raw water hose"
        await press(run, "u")
        assert list_tags_by_number(archive)[0].tag.name == "raw water"


async def test_words_in_use_are_offered_and_the_arrows_choose(archive: Archive) -> None:
    save_form(archive, {"number": "1", "place A": "pump inlet", "place B": "pump outlet"})
    async with running(archive, size=(60, 20)) as run:
        await press(run, "w", "tab", "tab", "tab")
        await type_in(run, "pu")
        assert entry(run[0]).sheet.offered == ("pump inlet", "pump outlet")
        await press(run, "down", "down", "tab")
        await type_in(run, "inl")
        await press(run, "right", "enter")
    assert places(archive)["2"] == ("pump outlet", "pump inlet")


async def test_letters_and_digits_are_typed_and_open_nothing_else(archive: Archive) -> None:
    async with running(archive) as run:
        await press(run, "w", "tab", "tab")
        await type_in(run, "u q 12 ? / g")
        assert entry(run[0]).sheet.text == "u q 12 ? / g"
        await press(run, "left", "backspace", "home", "delete")
        assert entry(run[0]).sheet.text == " q 12 ? /g"


async def test_the_key_that_is_said_to_take_back_does_so_where_it_is_said(archive: Archive) -> None:
    async with running(archive) as run:
        app, _ = run
        await press(run, "w")
        await type_in(run, "17 hose bypass A pump B tank")
        await press(run, "enter")
        assert "ctrl+z takes it back" in said(app)  # a letter would be typed into the field
        await press(run, "escape", "t", "semicolon")
        await type_in(run, "coolant hose")
        await press(run, "enter")
        assert isinstance(app.screen, TagsScreen)
        assert said(app).endswith(". u takes it back.")
        assert "ctrl+z" not in said(app)
        await press(run, "u")
        assert "Taken back: " in said(app)
