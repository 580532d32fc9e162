"""The sort queue: its questions, its answers, what is left for later, and undo."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.questions import PinsQuestion, TimesQuestion, ask, key_of, sure_ones
from asfound.actions.spots import accept_spot, get_spot
from asfound.actions.to_sort import SpotProposal
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.screens.choose_spot import ChooseSpotScreen
from asfound.tui.screens.sort import SortScreen
from asfound.tui.sort_words import left_words
from asfound.tui.widgets.key_line import KeyLine
from tests.small_changes import forget_proposals, propose_pin
from tests.tui.read_back import boxes, members, pair_words, pinned, proposed, refused
from tests.tui.screens_of import press, queue_of, running, said, settle, summary_of
from tests.tui.sort_setup import asked, propose_some, sort_screen


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
        assert "Do these 3 new pictures show one place" in str(app.screen.query_one("#question").render())


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


def test_only_what_is_sure_enough_counts_as_sure(archive: Archive) -> None:
    propose_some(archive)
    sure, pairs = sure_ones(queue_of(archive), 0.9)
    assert [one.confidence for one in sure] == [0.9, 0.95]
    assert pairs == []


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


async def test_the_pair_question_names_the_spot_and_says_once_what_happened(archive: Archive) -> None:
    accept_spot(archive, get_spot(archive, "2"))
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i")
        assert "Fuel rail: before and after something came off?" in asked(app)
        assert "removed" not in asked(app)


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
        app.screen.post_message(SortScreen.MoreAsked())
        await settle(app, pilot)
        assert sort_screen(app).question == asked_now
        assert len(sort_screen(app).queue.questions) > 1
