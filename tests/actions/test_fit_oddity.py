"""What is odd about fitting a thing now is said in one line with every reason; it is written down all the same."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.away import write_back, write_sent
from asfound.actions.fit_oddity import oddity
from asfound.actions.fitting import drop_rule, fit_after
from asfound.actions.tag import TagWords, add_tag
from asfound.model.tags import Tag
from tests.small_archive import now

DAY = timedelta(days=1)


@pytest.fixture
def hose(archive: Archive) -> Tag:
    tag = add_tag(archive, "17", TagWords(name="bypass hose"))
    log.mark_off(archive, tag, at=now() - 5 * DAY)
    return tag


def test_nothing_odd_is_no_line(archive: Archive, hose: Tag):
    assert oddity(archive, hose, "refitted") == ""
    assert oddity(archive, hose, "note") == ""


def test_what_never_came_off_is_told(archive: Archive):
    tag = add_tag(archive, "18", TagWords())

    assert oddity(archive, tag, "refitted") == (
        "18 was never written down as off; if it was, say when: asfound off 18 --at DAY."
    )


def test_tightening_what_is_off_is_told(archive: Archive, hose: Tag):
    assert "still off by the record" in oddity(archive, hose, "torque")
    log.mark_refitted(archive, hose)

    assert oddity(archive, hose, "torque") == ""


def test_what_it_waits_for_is_named_until_it_is_on_or_the_rule_goes(archive: Archive, hose: Tag):
    plate = add_tag(archive, "18", TagWords(name="plate"))
    log.mark_off(archive, plate, at=now() - 6 * DAY)
    fit_after(archive, hose, [plate])
    assert oddity(archive, hose, "refitted").startswith("17 was meant to wait for 18")

    log.mark_refitted(archive, plate)
    assert oddity(archive, hose, "refitted") == ""

    log.mark_off(archive, plate)
    assert "wait for 18" in oddity(archive, hose, "refitted")
    drop_rule(archive, hose, plate)
    assert "wait for" not in oddity(archive, hose, "refitted")


def test_what_is_away_or_broken_is_told_with_day_and_words(archive: Archive, hose: Tag):
    write_sent(archive, hose, to_whom="hose maker", at=now() - 3 * DAY)
    log.write_line(archive, hose, "broken", end="B", note="lug snapped", at=now() - 2 * DAY)

    told = oddity(archive, hose, "refitted")

    assert told == (
        "17 was sent out to hose maker on 2025-10-17 and nothing says that it came back; "
        "17 was broken at end B on 2025-10-18 (lug snapped) and nothing says that it was repaired or is a new part."
    )
    write_back(archive, hose, with_what="new lug")
    assert oddity(archive, hose, "refitted") == ""


def test_what_was_to_be_replaced_is_told_until_a_new_part_is_written_down(archive: Archive):
    belt = add_tag(archive, "60", TagWords(kind="belt", condition="replace"))
    log.mark_off(archive, belt, at=now() - DAY)
    assert oddity(archive, belt, "refitted") == "60 was to be replaced and nothing says that it is a new part."

    log.write_line(archive, belt, "new part")

    assert oddity(archive, belt, "refitted") == ""


def test_asking_writes_nothing(archive: Archive, hose: Tag):
    lines = log.list_lines(archive)

    oddity(archive, hose, "refitted")

    assert log.list_lines(archive) == lines
