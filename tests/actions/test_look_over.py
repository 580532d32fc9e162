"""A person says of what went back whether it is as it was; the program only keeps that they said so."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.hold_list import read_hold
from asfound.actions.log_list import list_log
from asfound.actions.look_over import list_looks, look_again, look_over, pictures_to_look_over
from asfound.actions.pin import Box
from asfound.actions.pinned import pin_number
from asfound.actions.resolve import get_tag
from asfound.actions.resume import where_was_i
from asfound.actions.tag_card import read_card
from asfound.actions.undo import undo
from asfound.core.refit.steps import HoldPoint
from asfound.errors import Misused
from asfound.model.tags import Tag
from asfound.store.pictures import get_picture
from tests.four_pictures import NOON, four_pictures

archive = pytest.fixture(four_pictures)


@pytest.fixture
def mine(archive: Archive) -> Tag:
    """Tag 17, off after the first picture and back before the second; both are of one spot."""
    pin_number(archive, 1, "17", "A", Box(0.2, 0.3))
    tag = get_tag(archive, "17").tag
    taken = get_picture(archive.store, 1).taken_at
    assert taken is not None
    log.mark_off(archive, tag, at=taken + timedelta(seconds=20))
    log.mark_refitted(archive, tag, at=taken + timedelta(seconds=40))
    return tag


def said(archive: Archive, mine: Tag) -> list[tuple[str, str]]:
    return [(one.name, one.words) for one in read_card(archive, mine).fields]


def test_wrong_is_an_event_and_a_snag_in_one_step(archive: Archive, mine: Tag) -> None:
    now, then = get_picture(archive.store, 2), get_picture(archive.store, 1)
    done = look_over(archive, mine, "wrong", end="A", picture=now, beside=then, note="clamp turned")
    assert (done.line.kind, done.line.how, done.line.picture, done.line.beside) == (
        "looked over",
        "wrong",
        "P1_0002.jpg",
        "P1_0001.jpg",
    )
    assert done.snag is not None
    assert (done.snag.tag_id, done.snag.picture_id) == (mine.tag_id, 2)
    assert undo(archive)[0] == "17 looked over: wrong"
    assert snags.list_snags(archive) == []
    assert list_looks(archive) == {}


def test_the_last_word_stands_in_the_card_and_among_what_is_open(archive: Archive, mine: Tag) -> None:
    look_over(archive, mine, "can't tell", note="too dark")
    assert ("looked_over", "recorded as can't tell: too dark") in said(archive, mine)
    assert where_was_i(archive).look_again == ("17 (raw water hose) recorded as can't tell: too dark",)
    look_over(archive, mine, "right")
    assert look_again(archive) == []
    assert ("looked_over", "recorded as right") in said(archive, mine)
    assert [one.happened for one in list_log(archive)][-2:] == ["looked over", "looked over"]


def test_what_was_not_called_right_is_open_before_first_start(archive: Archive, mine: Tag) -> None:
    look_over(archive, mine, "can't tell", end="A", note="too dark")
    rows = {row.why: row.is_sure for row in read_hold(archive, HoldPoint.FIRST_START).lines}
    why = next(one for one in rows if "too dark" in one)
    assert why.startswith("17 (raw water hose) end A was recorded as can't tell: too dark. Next: look again")
    assert not rows[why]
    look_over(archive, mine, "right")
    assert not any("called" in row.why for row in read_hold(archive, HoldPoint.FIRST_START).lines)


def test_saying_wrong_twice_opens_one_snag(archive: Archive, mine: Tag) -> None:
    look_over(archive, mine, "wrong")
    assert look_over(archive, mine, "wrong").snag is None
    assert len(snags.list_snags(archive)) == 1


def test_no_other_answer_is_taken(archive: Archive, mine: Tag) -> None:
    with pytest.raises(Misused, match="right, wrong, can't tell"):
        look_over(archive, mine, "safe")
    assert list_looks(archive) == {}


def test_pictures_to_look_over_are_those_taken_since_it_went_back(archive: Archive, mine: Tag) -> None:
    (one,) = pictures_to_look_over(archive, mine)
    assert (one.before.picture.picture_id, one.after.picture_id, one.pinned) == (1, 2, None)
    pin_number(archive, 2, "17", "A", Box(0.3, 0.3))
    (one,) = pictures_to_look_over(archive, mine)
    assert one.pinned is not None
    log.mark_off(archive, mine, at=NOON + timedelta(hours=1))
    assert pictures_to_look_over(archive, mine) == []
