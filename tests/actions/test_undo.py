"""Undo that cannot hurt: this sitting at once, anything further after a question; what was taken back comes again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from asfound.actions import log, tag, undo
from asfound.actions.archive import Archive, open_archive
from asfound.actions.table_import import ImportReport
from asfound.actions.tag import TagWords
from asfound.actions.tags_import import import_tags
from asfound.errors import AskFirst, InTheWay, NothingToUndo
from asfound.model.steps import Writer
from asfound.model.tags import Tag
from asfound.store import pins
from tests.built_once import copy_of
from tests.four_pictures import _make

NOON = datetime(2025, 10, 18, 12, 0, tzinfo=UTC)


class Clock:
    """The time, as long as nobody moves it on."""

    def __init__(self) -> None:
        self.at = NOON

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copy_of(_make, tmp_path / "archive")


def sit_down(folder: Path, clock: Clock, sitting: str) -> Archive:
    return open_archive(folder, now=clock, writer=lambda now: Writer(sitting, f"the screens of {sitting}"))


@pytest.fixture
def mine(folder: Path, clock: Clock) -> Iterator[Archive]:
    clock.at = NOON + timedelta(days=1)
    with sit_down(folder, clock, "mine") as archive:
        yield archive


@pytest.fixture
def other(folder: Path, clock: Clock) -> Iterator[Archive]:
    with sit_down(folder, clock, "other") as archive:
        yield archive


def add(archive: Archive, number: str) -> Tag:
    return tag.add_tag(archive, number, TagWords(name=f"thing {number}"))


def numbers(archive: Archive) -> list[str]:
    return [one.number for one in tag.list_tags(archive)]


def test_this_sitting_is_taken_back_and_no_further(mine: Archive):
    before = numbers(mine)
    add(mine, "90")
    add(mine, "91")

    assert [undo.undo(mine), undo.undo(mine)] == [["tag 91 added"], ["tag 90 added"]]
    for _ in range(50):
        with pytest.raises(AskFirst, match="2025-10-18 at 14:00"):
            undo.undo(mine)

    assert numbers(mine) == before


def test_further_back_goes_after_a_question_with_date_and_words(mine: Archive):
    before = numbers(mine)
    with pytest.raises(AskFirst, match="--yes") as asked:
        undo.undo(mine)
    assert "tag 112 added" in asked.value.question

    assert undo.undo(mine, is_sure=True) == ["tag 112 added"]
    assert numbers(mine) == before[:-1]


def test_long_pause_ends_a_sitting(mine: Archive, clock: Clock):
    add(mine, "90")
    clock.at += timedelta(hours=13)

    with pytest.raises(AskFirst, match="before this sitting"):
        undo.undo(mine)


def test_several_steps_are_taken_back_all_or_none(mine: Archive):
    add(mine, "90")
    before = numbers(mine)

    with pytest.raises(AskFirst):
        undo.undo(mine, 2)

    assert numbers(mine) == before
    assert undo.undo(mine, 2, is_sure=True) == ["tag 90 added", "tag 112 added"]


def test_what_another_program_wrote_is_passed_over(mine: Archive, other: Archive):
    add(mine, "90")
    add(other, "91")

    assert undo.undo(mine) == ["tag 90 added"]

    assert "91" in numbers(mine)
    with pytest.raises(AskFirst, match="by the screens of other"):
        undo.undo(mine)


def test_step_on_which_another_program_built_is_left(mine: Archive, other: Archive):
    """The pin changed no row of the tag, so only its reference holds it."""
    made = add(mine, "90")
    with other.step("90 pinned"):
        pins.save_pin(other.store, made.tag_id, "A", 1, NOON, x_frac=0.1, y_frac=0.1, w_frac=None, h_frac=None)

    with pytest.raises(InTheWay):
        undo.undo(mine)
    assert "90" in numbers(mine)


def test_row_that_another_program_changed_since_is_left(mine: Archive, other: Archive):
    made = add(mine, "90")
    tag.change_tag(other, made, TagWords(note="theirs"))

    with pytest.raises(InTheWay, match="tag 90 changed"):
        undo.undo(mine)
    assert next(one.note for one in tag.list_tags(mine) if one.number == "90") == "theirs"


def test_what_was_taken_back_is_brought_back_in_a_later_sitting(folder: Path, clock: Clock, mine: Archive):
    made = add(mine, "90")
    log.mark_off(mine, made)
    before = mine.store.rows("SELECT * FROM tag"), mine.store.rows("SELECT * FROM event")
    for _ in range(2):
        undo.undo(mine)
    mine.close()

    with sit_down(folder, clock, "later") as later:
        assert [step.words for step in undo.steps_to_redo(later)] == ["tag 90 added", "90 off"]
        assert undo.redo(later, 2) == ["tag 90 added", "90 off"]
        after = later.store.rows("SELECT * FROM tag"), later.store.rows("SELECT * FROM event")
        assert [list(map(tuple, rows)) for rows in after] == [list(map(tuple, rows)) for rows in before]
        with pytest.raises(NothingToUndo):
            undo.redo(later)
        with pytest.raises(AskFirst):
            undo.undo(later)
        assert undo.undo(later, 2, is_sure=True) == ["90 off", "tag 90 added"], "and back again"


def test_redo_gives_way_to_what_was_entered_since(mine: Archive):
    add(mine, "90")
    undo.undo(mine)
    add(mine, "90")

    with pytest.raises(InTheWay, match="tag 90 added"):
        undo.redo(mine)
    assert numbers(mine).count("90") == 1


def test_what_was_taken_back_stays_to_be_read(mine: Archive):
    add(mine, "90")
    undo.undo(mine)

    listed = undo.all_steps(mine, 99)

    assert [(step.words, step.undone_at) for step in listed][:2] == [
        ("tag 90 added", mine.now()),
        ("tag 112 added", None),
    ]
    assert "tag 90 added" not in [step.words for step in undo.steps_to_undo(mine)]


def brought_in(archive: Archive, tmp_path: Path) -> ImportReport:
    table = tmp_path / "tags.csv"
    table.write_text("tag,kind,name\n201,hose,one\n202,wire,two\n203,wire,three\n")
    return import_tags(archive, table)


def test_table_is_taken_back_as_one_after_a_question(mine: Archive, tmp_path: Path):
    before = numbers(mine)
    brought_in(mine, tmp_path)

    with pytest.raises(AskFirst, match=r"tags.csv.*rows, and all of them"):
        undo.undo(mine)
    assert numbers(mine) == [*before, "201", "202", "203"]

    undo.undo(mine, is_sure=True)
    assert numbers(mine) == before
    undo.redo(mine)
    assert numbers(mine) == [*before, "201", "202", "203"]
