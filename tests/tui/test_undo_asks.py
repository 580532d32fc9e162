"""A key cannot take back more than was meant: held keys count once, and earlier work is asked about first."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive, open_archive, own_screens
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import all_steps, steps_to_undo
from asfound.tui.screens.tag_entry import TagEntryScreen
from asfound.tui.session import Session
from asfound.tui.widgets.ask_line import AskLine
from tests.small_changes import come_off, tag_of
from tests.tui.screens_of import Running, app_over, press, running, said, settle


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The time between strokes of a key, which a test moves on."""
    at = [100.0]
    monkeypatch.setattr("asfound.tui.session.time.monotonic", lambda: at[0])
    return at


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a terminal, where keys repeat, but drawn without waiting for one to answer."""
    asked = Session.is_held

    def is_held(session: Session, key: str) -> bool:
        session.paced = True
        try:
            return asked(session, key)
        finally:
            session.paced = False

    monkeypatch.setattr(Session, "is_held", is_held)


def asked_of(run: Running) -> str:
    """The question that is open; empty where none is."""
    line = run[0].screen.query_one(AskLine)
    return str(line._question) if line.is_open else ""


async def test_u_takes_back_and_shift_u_brings_back(archive: Archive) -> None:
    come_off(archive, "112")
    async with running(archive) as run:
        await press(run, "u")
        assert said(run[0]).strip() == "Taken back: 112 off. U brings it back."
        assert steps_to_undo(archive) == []
        await press(run, "U")
        assert "Brought back: 112 off" in said(run[0])
        assert [step.words for step in steps_to_undo(archive)] == ["112 off"]


@pytest.mark.usefixtures("terminal")
async def test_held_u_takes_back_one_step(archive: Archive, clock: list[float]) -> None:
    for number in ("112", "31"):
        come_off(archive, number)
    async with running(archive) as run:
        for _ in range(20):
            await press(run, "u")
            clock[0] += 0.05
        assert [step.words for step in steps_to_undo(archive)] == ["112 off"]

        clock[0] += 2
        await press(run, "u")
        assert steps_to_undo(archive) == []


@pytest.mark.usefixtures("terminal")
async def test_held_shift_u_brings_back_one_step(archive: Archive, clock: list[float]) -> None:
    for number in ("112", "31"):
        come_off(archive, number)
    async with running(archive) as run:
        await press(run, "u")
        clock[0] += 2
        await press(run, "u")
        for _ in range(20):
            await press(run, "U")
            clock[0] += 0.05
        assert [step.words for step in steps_to_undo(archive)] == ["112 off"]


async def test_before_this_sitting_it_asks_with_date_and_words(archive: Archive) -> None:
    come_off(archive, "112")
    with open_archive(archive.folder, now=archive.now, writer=own_screens) as screens:
        app = app_over(screens)
        async with app.run_test(size=(80, 24)) as pilot:
            run = (app, pilot)
            await settle(app, pilot)
            await press(run, "u")
            for words in ('"112 off"', "2025-10-20", "14:00", "not of this sitting"):
                assert words in asked_of(run)
            await press(run, *"uuuu", "enter")
            assert len(steps_to_undo(archive)) == 1

            await press(run, "u", *"yes", "enter")
            assert "Taken back: 112 off" in said(app)
            assert steps_to_undo(archive) == []
    assert [step.words for step in all_steps(archive, 9)] == ["112 off"]


async def test_no_holding_down_of_u_gets_past_the_start_of_this_sitting(archive: Archive) -> None:
    for number in ("112", "31"):
        come_off(archive, number)
    with open_archive(archive.folder, now=archive.now, writer=own_screens) as screens:
        add_tag(screens, "99", TagWords(kind="hose"))
        app = app_over(screens)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(app, pilot)
            await press((app, pilot), *"u" * 40)
    assert [step.words for step in steps_to_undo(archive)] == ["31 off", "112 off"]


@pytest.mark.usefixtures("terminal")
async def test_resting_thumb_on_enter_does_not_write_over_a_taken_number(archive: Archive, clock: list[float]) -> None:
    before = tag_of(archive, "112").name
    async with running(archive, size=(100, 40)) as run:
        await press(run, "w")
        screen = run[0].screen
        assert isinstance(screen, TagEntryScreen)
        screen.sheet.fill({"number": "112", "name": "starter cable"})
        for _ in range(10):
            await press(run, "enter")
            clock[0] += 0.05
        assert before in said(run[0])
        assert "starter cable" in said(run[0])
        assert tag_of(archive, "112").name == before

        clock[0] += 2
        await press(run, "enter")
        assert tag_of(archive, "112").name == "starter cable"
