"""The screens driven by keys, over a small archive."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from textual import events

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.questions import TimesQuestion
from asfound.actions.spots import get_spot
from asfound.actions.to_sort import SpotProposal
from asfound.errors import Misused
from asfound.store.pictures import list_pictures
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import load_entries
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.sort import SortScreen
from asfound.tui.screens.start import next_place
from asfound.tui.terminal import colour_system
from asfound.tui.viewer import viewer_command
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import KeyLine
from asfound.tui.widgets.rows import RowList
from asfound.tui.words import count, split_number
from tests.small_archive import card_of, come_off, go_back_on, lose_original, tag_of
from tests.tui.read_back import boxes, labels, logged, pair_words, pinned, proposed, refused
from tests.tui.screens_of import press, running, said, settle, summary_of

SIZES = [(80, 24), (120, 40), (60, 20)]


def picture_screen(app: ArchiveApp) -> PictureScreen:
    assert isinstance(app.screen, PictureScreen)
    return app.screen


KEYS = [(name, entry.key) for name, entry in load_entries().items() if entry.key and not entry.is_over]


@pytest.mark.parametrize("size", SIZES)
async def test_every_place_opens_names_its_keys_and_closes(archive: Archive, size: tuple[int, int]) -> None:
    async with running(archive, size=size) as (app, pilot):
        for name, key in KEYS:
            await press((app, pilot), key)
            assert app.current_mode == name
            hints = app.screen.query_one(KeyLine).fitting(size[0])
            assert 2 <= len(hints) <= (6 if size[0] < 100 else 10)
            assert hints[-1].words == "help"

            if size != (80, 24):
                continue
            await press((app, pilot), "question_mark")
            text = " ".join(app.screen.text().split())  # type: ignore[attr-defined]
            assert "Everywhere" in text
            for words in load_entries()[name].factory.KEY_WORDS.values():  # type: ignore[attr-defined]
                assert words in text

            await press((app, pilot), "escape", "escape")
            assert app.current_mode == "start"


def test_keys_of_places_differ() -> None:
    keys = [key for _, key in KEYS]
    assert len(keys) == len(set(keys))
    assert all(len(key) == 1 and key.isalpha() for key in keys)


async def test_an_empty_archive_says_what_to_do(empty: Archive) -> None:
    async with running(empty) as (app, pilot):
        assert "Press a" in said(app)
        assert next_place(summary_of(empty)) == "add"
        await press((app, pilot), "d")
        assert "press" in app.screen.query_one(RowList).empty_words.lower()
        await press((app, pilot), "i")
        question = str(app.screen.query_one("#question").render())
        assert "Nothing waits" in question
        assert "s goes to the spots" in question  # the way on, not only that this one has ended


async def test_a_number_typed_anywhere_shows_the_pin_close(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        for _, key in KEYS:
            if key == "i":
                continue
            await press((app, pilot), key, "1", "1", "2", "enter")
            screen = picture_screen(app)
            assert screen.picture_id == 1
            view = screen.canvas.view
            assert view is not None
            assert (view.centre_x, view.centre_y) == pytest.approx((0.30 * 400, 0.40 * 300))
            assert view.magnification > 2
            assert "as found" in said(app)
            await press((app, pilot), "escape")


async def test_brackets_step_through_pictures_of_the_end_and_e_flips_ends(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        await press((app, pilot), "right_square_bracket")
        assert picture_screen(app).picture_id == 2
        await press((app, pilot), "right_square_bracket")
        assert "newest" in said(app)
        await press((app, pilot), "left_square_bracket")
        assert picture_screen(app).picture_id == 1
        await press((app, pilot), "e")
        assert picture_screen(app).picture_id == 2
        assert picture_screen(app).canvas.crosshair == pytest.approx((0.70 * 400, 0.55 * 300))


async def test_an_unknown_number_changes_nothing(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "9", "9", "enter")
        assert app.current_mode == "tags"
        assert "No tag begins with 99" in said(app)


async def test_a_number_without_picture_leads_to_its_other_end_where_that_has_one(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "3", "1", "b", "enter")
        assert "31 B injector plug, cylinder 1 has no picture; this is its end A" in said(app)
        assert "photograph it now" in said(app)
        assert picture_screen(app).picture_id == 1
        await press((app, pilot), "escape", "1", "1", "0", "enter")
        assert "110 A glow plug wire has no picture. Its place: glow plug 3." in said(app)
        assert app.current_mode == "start"


@pytest.mark.parametrize(
    ("state", "words"), [("", "Still in place"), ("off", "It is off"), ("refitted", "only how it was refitted")]
)
async def test_what_a_picture_of_today_can_still_show_depends_on_the_log(
    archive: Archive, state: str, words: str
) -> None:
    {"": lambda *_: None, "off": come_off, "refitted": go_back_on}[state](archive, "110")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "0", "enter")
        assert words in said(app)


async def test_a_number_and_space_pins_at_the_crosshair_and_u_takes_it_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "l", "l", "j")
        x, y = picture_screen(app).canvas.crosshair

        await press((app, pilot), "5", "5", "b", "space")

        assert pinned(archive, 4) == {"55B": pytest.approx((x / 400, y / 300))}
        assert {"55B on 5", "55B on 6"} <= set(labels(archive, proposed(archive)))
        assert "2 other pictures" in said(app)
        assert [mark.words for mark in picture_screen(app).canvas.marks] == ["[55B]"]

        await press((app, pilot), "u")
        assert picture_screen(app).canvas.marks == ()
        assert pinned(archive, 4) == {}


async def test_p_asks_for_the_number_and_a_box_goes_with_it(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "b", "L", "J", "b", "p", "7", "enter")
        ((width, height),) = boxes(archive, 4).values()
        assert list(boxes(archive, 4)) == ["7A"]
        assert width is not None
        assert height is not None
        assert min(width, height) > 0.1


async def test_the_end_that_was_chosen_in_the_box_is_the_one_pinned(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "p", "1", "1", "2", "down", "enter")
        assert list(pinned(archive, 4)) == ["112B"]


async def test_space_ends_the_number_in_the_pin_box_too(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "p", "7", "space")
        assert list(pinned(archive, 4)) == ["7A"]


async def test_a_proposal_is_answered_with_one_key(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(2))
        await settle(app, pilot)
        await press((app, pilot), "tab", "tab", "tab")
        assert picture_screen(app).canvas.marks[2].words == "[31A?]"
        await press((app, pilot), "y")
        assert pinned(archive, 2)["31A"] == pytest.approx((0.62, 0.33))
        assert not any(mark.proposed for mark in picture_screen(app).canvas.marks)


async def test_pins_are_moved_and_taken_away(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "m")
        assert "Choose a pin" in said(app)
        await press((app, pilot), "tab", "l", "m")
        assert pinned(archive, 1)["31A"][0] > 0.60
        assert pinned(archive, 1)["112A"] == (0.30, 0.40)
        await press((app, pilot), "x")
        assert list(pinned(archive, 1)) == ["112A"]


async def test_next_picture_keeps_the_part_looked_at(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "plus", "plus", "plus")
        before = picture_screen(app).canvas.view
        await press((app, pilot), "full_stop")
        assert picture_screen(app).picture_id == 2
        after = picture_screen(app).canvas.view
        assert before is not None
        assert after is not None
        assert (after.centre_x, after.px_per_column) == (before.centre_x, before.px_per_column)


async def test_sorting_takes_one_key_for_each_proposal(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "enter")
        assert isinstance(app.screen, SortScreen)
        questions = summary_of(archive).to_sort
        await press((app, pilot), *["enter"] * questions)
        assert summary_of(archive).to_sort == 0
        assert archive.store.steps(9)[::-1] == [
            "spot 2 accepted",
            "P0001.jpg and P0003.jpg are a pair",
            "31 A confirmed",
            "1 time accepted",
        ]
        assert "Nothing waits" in str(app.screen.query_one("#question").render())

        await press((app, pilot), "u")
        assert archive.store.steps(1) == ["31 A confirmed"]
        assert isinstance(app.screen.question, TimesQuestion)


async def test_digits_tag_the_chosen_picture_while_sorting(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "6", "1", "enter", "6", "2", "b", "enter")
        assert (list(pinned(archive, 4)), list(pinned(archive, 5))) == (["61A"], ["62B"])
        assert boxes(archive, 4)["61A"] == (1, 1)  # somewhere in the picture
        assert isinstance(app.screen, SortScreen)
        assert isinstance(app.screen.question, SpotProposal)  # it is asked still


async def test_later_leaves_a_question_and_comes_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "space", "n", "n", "space")
        assert pair_words(archive) == {(1, 3): "not a pair"}
        assert refused(archive) == ["31A on 2"]
        assert "left for later" in str(app.screen.query_one("#question").render())
        await press((app, pilot), "space")
        assert "3 new pictures: one place" in str(app.screen.query_one("#question").render())


@pytest.mark.parametrize(("size", "shown"), [((80, 24), 1), ((120, 40), 2)])
async def test_before_and_after_share_one_window(many: Archive, size: tuple[int, int], shown: int) -> None:
    async with running(many, size=size) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        canvases = [canvas for canvas in app.screen.query(Canvas) if canvas.display]
        assert len(canvases) == shown
        await press((app, pilot), "plus", "plus", "plus", "l")
        (front,) = [canvas for canvas in canvases if canvas.id == "before"]
        view, crosshair = front.view, front.crosshair
        await press((app, pilot), "x")
        after = app.screen.query_one("#after", Canvas)
        # Side by side a column lies between the two, so that one may be a column narrower.
        assert abs(after.view.columns - view.columns) <= shown - 1
        assert replace(after.view, columns=view.columns) == view
        assert after.crosshair == pytest.approx(crosshair)


async def test_tags_are_filtered_and_marked(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t")
        assert [row.cells[0] for row in app.screen.query_one(RowList).rows] == ["31", "110", "112"]
        await press((app, pilot), "f")
        assert [row.cells[0] for row in app.screen.query_one(RowList).rows] == ["110"]
        await press((app, pilot), "o", "r")
        assert logged(archive) == ["110 off", "110 refitted"]
        await press((app, pilot), "a", *"77", "enter")
        assert tag_of(archive, "77").name == ""


async def test_a_spot_is_named(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "s", "j", "c", *"oilcooler", "enter")
        assert get_spot(archive, "oilcooler").picture_ids == (4, 5, 6)
        assert "u takes it back" in said(app)


async def test_files_are_added_while_the_screens_go_on(archive: Archive, tmp_path: Path) -> None:
    card = card_of(tmp_path / "card", 2)
    async with running(archive) as (app, pilot):
        app.background.bring_in(str(card))
        await settle(app, pilot)
        assert len(list_pictures(archive.store, archive.job.job_id)) == 8
        assert "Added 2" in said(app)
        assert "Nothing was added" in app.background.bring_in(str(tmp_path / "nothing"))


async def test_undo_with_nothing_to_take_back_says_so(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "u")
        assert said(app) == "There is nothing left to undo."


def test_screens_load_without_the_drawing_libraries() -> None:
    code = (
        "import asfound.tui.app, sys;"
        "from asfound.tui.entry import load_entries; load_entries();"
        "print([name for name in ('cv2', 'numpy', 'av', 'PIL') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ})
    assert done.stdout.strip() == "[]"


def test_a_number_is_taken_apart() -> None:
    assert split_number("112") == ("112", None)
    assert split_number("112b") == ("112", "B")
    assert split_number("A7") == ("A7", None)


def test_counts_read_well() -> None:
    assert count(0, "gap") == "no gaps"
    assert count(1, "gap") == "1 gap"
    assert count(2, "gap") == "2 gaps"


def test_terminals_are_taken_for_true_colour_unless_known_not_to_be() -> None:
    assert colour_system({"TERM": "xterm"}) == "truecolor"
    assert colour_system({"TERM": "screen-256color", "SSH_CONNECTION": "x"}) == "truecolor"
    assert colour_system({"TERM": "linux"}) == "standard"
    assert colour_system({"TERM": "xterm-256color", "TERM_PROGRAM": "Apple_Terminal"}) == "256"


def test_no_viewer_is_started_where_nobody_would_see_it() -> None:
    assert viewer_command(Path("a.jpg"), {"SSH_CONNECTION": "x"}, "linux") is None
    assert viewer_command(Path("a.jpg"), {}, "darwin") == ["open", "a.jpg"]


async def test_the_number_box_keeps_its_keys_to_itself(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "q", "backspace", "1")
        box = app.screen.number_box  # type: ignore[attr-defined]
        assert box.words == "11"
        assert [choice.words for choice in box.choices] == ["112a", "112b", "110a", "110b"]
        await press((app, pilot), "down", "down", "escape")
        assert not box.is_open
        assert app.current_mode == "start"
        await press((app, pilot), "slash", *"fuel", "enter")
        assert picture_screen(app).picture_id == 1


async def test_a_refusal_is_said_and_changes_nothing(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **_words: object) -> None:
        raise Misused("The archive is read only: nothing was written.")

    monkeypatch.setattr(log, "mark_off", refuse)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "o")
        assert said(app) == "The archive is read only: nothing was written."
        assert logged(archive) == []


async def test_a_picture_that_cannot_be_opened_stops_nothing(archive: Archive) -> None:
    lose_original(archive, 1)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        assert "restore it" in said(app)
        await press((app, pilot), "a")
        assert app.screen.query(ContactSheet)


@pytest.mark.parametrize(("size", "count", "across"), [((80, 24), 6, 3), ((120, 40), 6, 3), ((80, 24), 30, 3)])
async def test_sheet_pictures_are_as_large_as_fits(
    many: Archive, size: tuple[int, int], count: int, across: int
) -> None:
    async with running(many, size=size) as (app, pilot):
        app.post_message(going.ShowPictures("all", range(1, count + 1)))
        await settle(app, pilot)
        sheet = app.screen.query_one(ContactSheet)
        assert sheet.grid.across == across
        await press((app, pilot), "end")
        assert sheet.chosen is not None
        assert sheet.chosen.picture_id == count
        bottom = "".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "▸" in bottom


async def test_a_carried_pin_can_be_held_against_the_as_found_picture(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "space", "space")
        screen = app.screen
        assert isinstance(screen, SortScreen)
        assert screen.view.looked_at == 2
        assert screen.query_one(Canvas).marks[0].words == "[31A?]"
        await press((app, pilot), "x")
        assert screen.view.looked_at == 1
        assert screen.query_one(Canvas).marks[0].words == "[31A]"
        await press((app, pilot), "x")
        assert screen.view.looked_at == 2


async def test_a_new_number_is_called_new_where_it_would_be_made(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "7", "7")
        box = app.screen.number_box  # type: ignore[attr-defined]
        assert "a new number, end A" in box.rows.render_line(0).text
        await press((app, pilot), "escape", "t", "7", "7")
        assert "No tag begins with 77" in app.screen.number_box.rows.render_line(0).text  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("place", "typed", "narrowed"), [("t", "/pump", "pump"), ("s", "/fuel", "fuel"), ("t", "/uuxx", "uuxx")]
)
async def test_keys_that_come_in_one_burst_are_taken_in_turn(
    archive: Archive, place: str, typed: str, narrowed: str
) -> None:
    """Over a slow line keys come together; those after the one that opens a line are words, not commands."""
    async with running(archive) as (app, pilot):
        await press((app, pilot), place)
        before = archive.store.count_steps()
        for character in typed:
            app.post_message(events.Key("slash" if character == "/" else character, character))
        await settle(app, pilot)
        assert app.screen.query_one(RowList).narrowed_to == narrowed
        assert archive.store.count_steps() == before


async def test_a_burst_that_opens_a_screen_goes_on_there(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        for key in ("t", "slash", "p"):
            app.post_message(events.Key(key, "/" if key == "slash" else key))
        await settle(app, pilot)
        assert app.current_mode == "tags"
        assert app.screen.query_one(RowList).narrowed_to == "p"
