"""The sort queue's questions, and what the number box says it will pin."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from asfound.actions.archive import Archive
from asfound.actions.bursts import behind
from asfound.actions.known import known_pictures, known_spots
from asfound.actions.pin import Box, pin_tag, remove_pin
from asfound.actions.pinned import accept_many, pin_number, reject_many
from asfound.actions.questions import NumberQuestion, PinsQuestion, ask, is_doubtful, key_of, sure_ones
from asfound.actions.spots import accept_spot, confirm_pair, get_spot
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.to_sort import BurstProposal, PinQuestion, SpotProposal, list_to_sort
from asfound.actions.undo import undo
from asfound.model.tags import EndLetter, PinProposal
from asfound.store import pins
from asfound.store.pictures import get_picture
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.screens.choose_spot import ChooseSpotScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.sort import SortScreen
from asfound.tui.sort_words import left_words
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import KeyLine
from tests.small_archive import (
    forget_proposals,
    forget_steps,
    let_read,
    make_burst,
    propose_pin,
    settle_sorting,
    tag_of,
)
from tests.tui.dump_archive import carry_by_truth, load_images, make_archive
from tests.tui.read_back import last_step, members, pinned, proposed, refused
from tests.tui.screens_of import press, queue_of, running, said, settle


def asked(app: Any) -> str:
    return str(app.screen.query_one("#question").render())


def sort_screen(app: Any) -> SortScreen:
    assert isinstance(app.screen, SortScreen)
    return app.screen


def propose_some(archive: Archive) -> None:
    """Three pins proposed on picture 2 and one on picture 3, one of them unsure; nothing else is asked but a time.

    The machine would carry them there by itself, only surer: what it would carry elsewhere is refused already.
    """
    for end, x, y in (("A", 0.45, 0.45), ("B", 0.55, 0.62)):
        letter: EndLetter = "A" if end == "A" else "B"
        pin_tag(archive, tag_of(archive, "110"), letter, get_picture(archive.store, 1), Box(x, y))
    with archive.store.transaction():
        for number, letter, picture_id in (
            ("31", "A", 3),
            ("110", "B", 3),
            ("112", "A", 3),
            ("112", "B", 1),
            ("112", "B", 3),
        ):
            pins.reject(archive.store, tag_of(archive, number).tag_id, "A" if letter == "A" else "B", picture_id)
    propose_pin(archive, "110", "A", 2, confidence=0.9)
    propose_pin(archive, "110", "B", 2, confidence=0.5)
    propose_pin(archive, "110", "A", 3, confidence=0.95)
    sort_the_rest(archive)


def sort_the_rest(archive: Archive) -> None:
    """The spots and the pair are answered, and it was long ago."""
    accept_spot(archive, get_spot(archive, "2"))
    confirm_pair(archive, 1, 3)
    settle_sorting(archive)
    forget_steps(archive)


async def test_pins_of_one_picture_are_one_question_and_enter_takes_them_all_in_one_step(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert [type(one) for one in sort_screen(app).queue.questions][:2] == [PinsQuestion, PinsQuestion]
        assert "3 pins: all right?" in asked(app)
        assert {mark.text for mark in app.screen.query_one(Canvas).marks} == {"31A", "110A", "110B"}
        await press((app, pilot), "enter")
        assert [one.picture_id for one in proposed(archive)] == [3]
        await press((app, pilot), "u")
        assert len(proposed(archive)) == 4
        assert "3 pins: all right?" in asked(app)


async def test_the_marked_pin_alone_is_refused_or_accepted(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "tab", "n")
        assert archive.store.steps(1) == ["31 A rejected on P0002.jpg"]  # the least sure was marked first, then this
        await press((app, pilot), "tab", "y")
        assert archive.store.steps(1) == ["110 B confirmed"]
        assert "Is this" in asked(app)


async def test_all_sure_ones_go_with_one_key_over_a_confidence_that_is_kept(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "a: all 3 of 80% or more" in asked(app)
        await press((app, pilot), "percent_sign", "backspace", "backspace", *"90", "enter")
        assert "a: all 2 of 90% or more" in asked(app)
        await press((app, pilot), "a")
        assert "2 pins accepted, 90% sure or more" in said(app)
        assert sorted(one.confidence for one in proposed(archive)) == [0.5, 0.82]
        await press((app, pilot), "u")
        assert len(proposed(archive)) == 4
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "90%" in asked(app)


async def test_what_is_left_is_told_and_is_right_after_every_answer_and_undo(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        for key in ("enter", "u", "enter", "n", "u", "u", "space", "enter", "u"):
            await press((app, pilot), key)
            screen = sort_screen(app)
            items = queue_of(archive)
            assert left_words(ask(items)) in screen.where()
            assert [key_of(one) for one in screen.queue.questions] == [key_of(one) for one in ask(items)]


async def test_undo_asks_again_what_was_answered_even_when_it_was_left_for_later_since(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "enter", "space", "space")
        assert sort_screen(app).queue.later == 2
        await press((app, pilot), "u")
        assert isinstance(sort_screen(app).question, SpotProposal)
        assert "Taken back: spot 2 accepted" in said(app)


def with_bursts(archive: Archive) -> None:
    """Two bursts, the second with three pictures; picture 1 and 4 are the sharpest."""
    make_burst(archive, 1, 2)
    make_burst(archive, 4, 5, 6)


async def test_look_alikes_are_folded_behind_the_chosen_one_and_come_back_by_undo(archive: Archive) -> None:
    with_bursts(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "2 look-alikes taken within seconds" in asked(app)
        assert "2 bursts" in sort_screen(app).where()
        await press((app, pilot), "enter")
        assert behind(archive) == {2: 1}
        await press((app, pilot), "right", "enter")
        assert behind(archive) == {2: 1, 4: 5, 6: 5}
        assert not isinstance(sort_screen(app).question, BurstProposal)
        await press((app, pilot), "u")
        assert behind(archive) == {2: 1}
        assert "3 look-alikes" in asked(app)
        await press((app, pilot), "n")
        assert behind(archive) == {2: 1}
        assert not isinstance(sort_screen(app).question, BurstProposal)


async def test_all_bursts_go_with_one_key_in_one_step(archive: Archive) -> None:
    with_bursts(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "a: so for all 2 bursts" in asked(app)
        await press((app, pilot), "a")
        assert behind(archive) == {2: 1, 5: 4, 6: 4}
        await press((app, pilot), "u")
        assert behind(archive) == {}


async def test_a_sheet_shows_those_in_front_and_all_when_asked(archive: Archive) -> None:
    with_bursts(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "a", "escape", "s", "enter")
        sheet = app.screen.query_one(ContactSheet)
        assert [item.picture_id for item in sheet.items] == [1, 3]
        assert "+1 behind" in sheet.items[0].words
        assert "3 pictures, 1 behind others" in app.screen.where()  # type: ignore[attr-defined]
        await press((app, pilot), "b")
        assert [item.picture_id for item in sheet.items] == [1, 2, 3]
        await press((app, pilot), "b")
        assert len(sheet.items) == 2


async def test_what_is_put_elsewhere_takes_along_what_is_behind_it(archive: Archive) -> None:
    with_bursts(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "a", "escape", "s", "enter", "f", "enter")
        assert members(archive) == {1: (3,), 2: (1, 2, 4, 5, 6)}


async def test_the_way_to_say_no_to_a_spot_can_be_read_at_80_columns(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        screen = sort_screen(app)
        assert isinstance(screen.question, SpotProposal)
        assert "n: the chosen one belongs elsewhere" in asked(app)
        assert max(len(line) for line in asked(app).splitlines()) <= 78
        assert "n elsewhere" in "".join(part.text for part in app.screen.query_one(KeyLine).render_line(0))
        await press((app, pilot), "n")
        assert isinstance(app.screen, ChooseSpotScreen)


async def test_a_picture_in_the_wrong_spot_is_put_right_while_sorting(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "right", "f")
        assert isinstance(app.screen, ChooseSpotScreen)
        await press((app, pilot), "enter")
        assert members(archive)[1] == (1, 2, 3, 5)


async def test_pictures_out_of_sight_are_told(many: Archive) -> None:
    async with running(many) as (app, pilot):
        app.post_message(going.ShowPictures("all", range(1, 41)))
        await settle(app, pilot)
        sheet = app.screen.query_one(ContactSheet)
        text = "\n".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "34 below" in text
        assert "above" not in text
        await press((app, pilot), "end")
        text = "\n".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "above" in text
        assert "below" not in text


async def test_the_pair_question_names_the_spot_and_says_once_what_happened(archive: Archive) -> None:
    accept_spot(archive, get_spot(archive, "2"))
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "Fuel rail: before and after something came off?" in asked(app)
        assert "removed" not in asked(app)


async def test_a_bare_number_says_which_end_it_pins_and_tab_takes_the_other(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "3", "1")
        box = app.screen.number_box  # type: ignore[attr-defined]
        last = box.rows.render_line(box.rows.size.height - 1).text
        assert "enter shows 31 A" in last
        assert "space pins 31 B" in last
        assert "tab other end" in last
        await press((app, pilot), "tab")
        assert "space pins 31 A" in box.rows.render_line(box.rows.size.height - 1).text
        await press((app, pilot), "space")
        assert list(pinned(archive, 4)) == ["31A"]


async def test_news_of_carried_pins_does_not_hide_what_was_said_since(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "5", "5", "space")
        assert "u takes it back. It is also proposed on 2 other pictures" in said(app)
        await press((app, pilot), "u")
        app.screen.post_message(PictureScreen.Carried("Pinned 55 A. u takes it back.", "news"))
        await settle(app, pilot)
        assert "Taken back" in said(app)


def test_only_what_is_sure_enough_counts_as_sure(archive: Archive) -> None:
    propose_some(archive)
    sure, pairs = sure_ones(queue_of(archive), 0.9)
    assert [one.confidence for one in sure] == [0.9, 0.95]
    assert pairs == []


def test_undoing_an_answer_to_carried_pins_asks_for_them_again(tmp_path: Path) -> None:
    with make_archive(tmp_path / "archive") as archive:
        seen, files = load_images(), {one: picture.file for one, picture in known_pictures(archive).items()}
        spot = next(iter(known_spots(archive).values()))
        shown = [one for one in spot.picture_ids if seen[files[one]]["connectors"]]
        end = next(one for one in seen[files[shown[0]]]["connectors"] if one["visible"])
        made = pin_number(archive, shown[0], str(end["tag"]), end["end"], Box(end["x"], end["y"]))
        assert carry_by_truth(archive, made.pin.pin_id) > 1
        before = list_to_sort(archive)
        found, _ = sure_ones(before, 0.0)

        accept_many(archive, found, [])
        assert sure_ones(list_to_sort(archive), 0.0)[0] == []
        undo(archive)
        assert list_to_sort(archive) == before

        reject_many(archive, [found[0]])
        assert len(sure_ones(list_to_sort(archive), 0.0)[0]) == len(found) - 1
        undo(archive)
        assert list_to_sort(archive) == before


def let_numbers_be_read(archive: Archive) -> None:
    """Number 31 read on pictures 2 and 3 of one spot, surely, and 110 on picture 4, doubtfully: no end is told."""
    remove_pin(archive, next(one for one in pins.find_pins(archive.store, tag_of(archive, "31").tag_id)))
    forget_proposals(archive)
    let_read(archive, 2, ("31", 0.90))
    let_read(archive, 3, ("31", 0.96))
    let_read(archive, 4, ("110", 0.70))
    sort_the_rest(archive)


async def test_which_end_a_number_is_of_is_asked_once_for_a_place_and_enter_never_says_it(archive: Archive) -> None:
    let_numbers_be_read(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        question = sort_screen(app).question
        assert isinstance(question, NumberQuestion)
        assert (question.picture.picture_id, question.also) == (3, 1), "where it was read most surely"
        assert "in 1 more picture too, 97% sure: which end?" in asked(app)
        assert "A: end A, B: end B, n: not 31" in asked(app)
        assert {mark.text for mark in app.screen.query_one(Canvas).marks} == {"31"}
        for lazy in ("enter", "y", "a"):
            await press((app, pilot), lazy)
        assert last_step(archive) == ""
        assert len(proposed(archive)) == 6
        await press((app, pilot), "B")
        assert "31B" in pinned(archive, 3)
        assert "31 B is pinned" in said(app)
        await press((app, pilot), "u")
        assert sort_screen(app).question == question


async def test_number_that_is_not_there_is_refused_for_both_ends_in_one_step(archive: Archive) -> None:
    let_numbers_be_read(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "n")
        assert refused(archive) == ["31A on 3", "31B on 3"]
        await press((app, pilot), "u")
        assert len(proposed(archive)) == 6


async def test_doubtful_numbers_come_last_and_space_leaves_them_all(archive: Archive) -> None:
    let_numbers_be_read(archive)
    add_tag(archive, "7", TagWords(kind="bracket", ends=1))
    let_read(archive, 5, ("7", 0.7))
    propose_pin(archive, "112", "A", 6, confidence=0.9)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        kinds = [(type(one), is_doubtful(one)) for one in sort_screen(app).queue.questions]
        assert kinds[:2] == [(NumberQuestion, False), (PinsQuestion, False)]
        assert kinds[-2:] == [(NumberQuestion, True), (PinsQuestion, True)]
        while not is_doubtful(sort_screen(app).question):  # type: ignore[arg-type]
            await press((app, pilot), "space")
        assert asked(app).startswith("Doubtful: 110")
        assert "space: leave all 2 doubtful ones" in asked(app)
        await press((app, pilot), "space")
        assert sort_screen(app).question is None
        assert "2 doubtful questions left for later" in said(app)
        await press((app, pilot), "space")
        assert sort_screen(app).queue.later == 0


async def test_what_was_left_for_later_by_mistake_comes_back_with_backspace(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        first = sort_screen(app).question
        await press((app, pilot), "space")
        assert sort_screen(app).question != first
        assert "backspace goes back" in said(app)
        assert "1 for later" in sort_screen(app).where()
        await press((app, pilot), "backspace")
        assert sort_screen(app).question == first
        await press((app, pilot), "backspace")
        assert "Nothing was left for later" in said(app)


async def test_undo_of_a_refused_pin_marks_it_again(archive: Archive) -> None:
    propose_some(archive)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "tab", "tab")
        marked = called(app)
        await press((app, pilot), "n")
        assert called(app) != marked
        await press((app, pilot), "space", "u")
        assert called(app) == marked


def called(app: ArchiveApp) -> str:
    """The pin that is marked, such as "31 A"."""
    mark = sort_screen(app).view.mark
    assert mark is not None
    return mark.called


async def test_pins_that_come_in_from_behind_do_not_change_the_question_under_the_thumb(archive: Archive) -> None:
    propose_some(archive)
    forget_proposals(archive)
    propose_pin(archive, "110", "A", 3)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        asked_now = sort_screen(app).question
        propose_pin(archive, "31", "A", 2)
        app.screen.post_message(SortScreen.Carried())
        await settle(app, pilot)
        assert sort_screen(app).question == asked_now
        assert len(sort_screen(app).queue.questions) > 1


def test_pictures_of_doubtful_time_are_asked_about_where_they_were_likely_taken(tmp_path: Path) -> None:
    with make_archive(tmp_path / "archive") as archive:
        by_file = {one.file: one for one in known_pictures(archive).values()}
        before, lost, after = (by_file[f"P1_00{at}.jpg"] for at in ("20", "21", "22"))
        with archive.store.transaction():
            archive.store.run(
                "UPDATE picture SET written_utc_s = NULL, taken_local = NULL WHERE picture_id = ?", lost.picture_id
            )
            tag = add_tag(archive, "7", TagWords())
            carried = [
                PinProposal(tag.tag_id, "A", one.picture_id, 0.5, 0.5, None, None, "carried", 0.9, "", None)
                for one in (after, lost, before)
            ]
            pins.replace_proposals(archive.store, tag.tag_id, "A", "carried", carried)
        order = [item.picture.picture_id for item in list_to_sort(archive) if isinstance(item, PinQuestion)]
        assert order == [before.picture_id, lost.picture_id, after.picture_id]


async def test_the_picture_large_asks_which_end_too(archive: Archive) -> None:
    let_numbers_be_read(archive)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(3))
        await settle(app, pilot)
        await press((app, pilot), "space", "y")
        assert "Which end of 31 is it?" in said(app)
        assert "A or B says which end" in str(app.screen.query_one("#pin").render())
        await press((app, pilot), "A")
        assert "31 A is pinned" in said(app)
        assert "31A" in pinned(archive, 3)
