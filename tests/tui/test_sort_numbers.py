"""Numbers that were read, of which the person says which end they are."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.questions import NumberQuestion, PinsQuestion, is_doubtful
from asfound.actions.tag import TagWords, add_tag
from asfound.tui.canvas.widget import Canvas
from tests.small_changes import let_read, propose_pin
from tests.tui.read_back import last_step, pinned, proposed, refused
from tests.tui.screens_of import press, running, said
from tests.tui.sort_setup import asked, let_numbers_be_read, sort_screen


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
