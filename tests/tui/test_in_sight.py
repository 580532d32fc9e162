"""What matters is in sight at every size: keys in the foot, questions with room for an answer, words that stay."""

from __future__ import annotations

import pytest
from textual.command import CommandInput, SearchIcon
from textual.widgets import Label

from asfound.actions.archive import Archive
from asfound.actions.pin import Box, pin_tag
from asfound.actions.tag import TagWords, add_tag
from asfound.core.refit.hold_points import HoldLine
from asfound.store.pictures import get_picture
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.gaps import GapsScreen
from asfound.tui.screens.hold import HoldScreen
from asfound.tui.widgets.ask_line import ANSWER_COLUMNS, AskLine
from asfound.tui.widgets.key_line import Hint, KeyLine
from asfound.tui.widgets.rows import RowList
from asfound.tui.words import width_of
from tests.small_changes import come_off, tag_of
from tests.tui.screens_of import press, running, said
from tests.tui.test_snapshots import text_of

SMALL = (60, 20)


def foot(app: ArchiveApp) -> str:
    return str(app.screen.query_one(KeyLine).render_line(0).text)


def top(app: ArchiveApp) -> str:
    return text_of(app).split("\n")[0]


@pytest.mark.parametrize(
    ("keys", "said_there"),
    [
        ("b", ("enter look", "c count", "e for", "f open")),
        ("l", ("enter look", "a write", "x strike")),
        ("p", ("enter go", "a new", "x close", "c buy")),
        ("n", ("enter look", "x on", "c tight", "f free")),
        ("h", ("[ ] 1/3", "enter fix", "o off")),
        ("s", ("x compare", "r name")),
        ("g", ("enter fix", "a answer", "f closable")),
    ],
)
async def test_each_key_is_told_in_one_word_that_says_it_where_room_is_short(
    archive: Archive, keys: str, said_there: tuple[str, ...]
) -> None:
    async with running(archive, size=SMALL) as (app, pilot):
        await press((app, pilot), *keys)
        assert [words for words in said_there if words not in foot(app)] == []
        assert foot(app).rstrip().endswith("? help")


async def test_a_click_on_one_of_two_keys_presses_that_one(archive: Archive) -> None:
    async with running(archive) as (app, _pilot):
        line = app.screen.query_one(KeyLine)
        line.set_hints([Hint("y", "y n", "pair, or not"), Hint("full_stop", ", .", "other"), Hint("u", "u", "undo")])
        text = line.render_line(0).text
        where = {"y": ("y n", 0), "n": ("y n", 2), "words": ("pair,", 0)}
        where |= {",": (", .", 0), ".": (", .", 2), "u": ("u undo", 3)}
        keys = {sign: line.key_at(text.index(at) + more) for sign, (at, more) in where.items()}
        assert keys == {"y": "y", "n": "n", "words": "y", ",": "comma", ".": "full_stop", "u": "u"}
        assert line.key_at(0) is None


async def test_the_keys_of_a_tag_that_come_next_for_it_are_in_the_foot(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t")
        assert "o off now" in foot(app)
        await press((app, pilot), "o")
        assert "r back on   c tight" in foot(app)
        await press((app, pilot), "r")
        assert "c tight" in foot(app)
        assert "f no picture" in foot(app)


@pytest.mark.parametrize("size", [SMALL, (80, 24), (200, 60)])
async def test_a_long_question_leaves_room_for_its_answer(archive: Archive, size: tuple[int, int]) -> None:
    async with running(archive, size=size) as (app, pilot):
        await press((app, pilot), "t")
        question = "31 A injector plug, cylinder 1: r right, w wrong, c can't tell, then why"
        app.screen.ask(question, lambda words: None)  # type: ignore[attr-defined]
        await pilot.pause()
        field, label = app.screen.query_one(AskLine).field, app.screen.query_one(AskLine).query_one(Label)
        assert field.size.width >= ANSWER_COLUMNS
        assert label.size.width * label.size.height >= width_of(question)
        assert "esc leaves it" in text_of(app)


async def test_what_was_kept_in_mending_a_gap_is_still_said_on_the_list(archive: Archive) -> None:
    come_off(archive, "110")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "g")
        assert "● 6 can still be closed, ○ 1 too late" in top(app)
        app.post_message(going.WriteTag(tag_of(archive, "110").tag_id, at="note"))
        await pilot.pause()
        await press((app, pilot), *"hose", "enter")
        assert isinstance(app.screen, GapsScreen)
        assert said(app).startswith("Kept: 110")


@pytest.mark.parametrize("size", [SMALL, (80, 24)])
async def test_no_caution_is_cut(archive: Archive, size: tuple[int, int]) -> None:
    async with running(archive, size) as (app, pilot):
        await press((app, pilot), "h")
        assert isinstance(app.screen, HoldScreen)
        rows = app.screen.query_one(RowList)
        cautions = [row.cells for row in rows.rows if not isinstance(row.key, HoldLine)]
        hold = app.screen.hold
        assert " ".join(cells[1] for cells in cautions) == " ".join((*hold.cautions, hold.words))
        assert all("…" not in rows.line(cells, size[0] - 1) for cells in cautions)


async def test_the_list_of_all_that_can_be_done_speaks_our_words_and_shows_keys_as_written(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "ctrl+p")
        assert "What do you want to do" in app.screen.query_one(CommandInput).placeholder
        assert width_of(str(app.screen.query_one(SearchIcon).icon)) == 1
        titles = {one.title: one.help for one in app.get_system_commands(app.screen)}
        assert titles["Narrow"] == "Here: key /"


async def test_help_lists_the_keys_of_a_picture_only_where_they_work(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "s", "question_mark")
        assert "characters: choose" not in app.screen.text()  # type: ignore[attr-defined]
        await press((app, pilot), "escape", "enter", "enter", "question_mark")
        assert "characters: choose" in app.screen.text()  # type: ignore[attr-defined]


async def test_where_one_is_goes_before_the_hint_how_to_find(archive: Archive) -> None:
    async with running(archive, size=SMALL) as (app, pilot):
        await press((app, pilot), "t")
        assert top(app).endswith("number: find")
        app.screen.name_of_list = lambda: "Tags with a picture of one end only and no more"  # type: ignore[attr-defined]
        app.screen.refresh_lines()  # type: ignore[attr-defined]
        await pilot.pause()
        assert top(app).endswith("one end only and no more")


async def test_words_of_a_picture_end_in_a_sign_where_the_count_of_the_others_covers_them(many: Archive) -> None:
    for number in ("112", "113", "114"):
        tag = add_tag(many, number, TagWords())
        for picture_id in range(1, 21):
            pin_tag(many, tag, "A", get_picture(many.store, picture_id), Box(0.5, 0.5))
    async with running(many, SMALL) as (app, pilot):
        await press((app, pilot), "s", "enter")
        rows = [strip.text.rstrip() for strip in app.screen._compositor.render_strips()]
        (last,) = [row for row in rows if row.endswith("below")]
        assert last.partition("▼")[0].rstrip().endswith("…")
