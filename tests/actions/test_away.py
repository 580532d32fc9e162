"""What was sent out is away until it is said to be back, and late once the promised day is past."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.away import AwayEntry, back_oddity, list_away, write_back, write_sent
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.errors import Misused
from tests.small_archive import empty_archive, now

DAY = timedelta(days=1)


def names(archive: Archive) -> list[str]:
    return [entry.name for entry in list_away(archive)]


def test_thing_is_away_until_it_comes_back_and_the_log_keeps_both_lines(archive: Archive):
    head = add_tag(archive, "31", TagWords(name="cylinder head"))
    sent = write_sent(archive, head, to_whom="engine shop", promised="2025-12-20", note="skim", at=now() - DAY)

    (entry,) = list_away(archive)
    assert (entry.line, entry.is_late) == (sent, False)
    assert entry.words == f"{entry.name}, sent to engine shop on 2025-10-19, promised for 2025-12-20, skim"
    assert "31" in entry.name
    assert "cylinder head" in entry.name

    back = write_back(archive, head, with_what="skimmed 0.2 mm", by_whom="Tine")
    assert names(archive) == []
    assert (back.kind, back.note, back.by_whom, back.tag_id) == ("came back", "skimmed 0.2 mm", "Tine", head.tag_id)
    assert [line.kind for line in log.list_lines(archive)] == ["sent out", "came back"]


def test_thing_without_a_number_is_known_again_whatever_its_capitals_and_spaces(archive: Archive):
    write_sent(archive, "  Injection   pump ")
    assert names(archive) == ["Injection pump"]
    assert back_oddity(archive, "injection pump") == ""

    write_back(archive, "INJECTION PUMP")

    assert names(archive) == []


def test_coming_back_of_one_leaves_the_others_away(archive: Archive):
    one, other = (add_tag(archive, number, TagWords()) for number in ("1", "2"))
    for about in (one, "starter", other):
        write_sent(archive, about)

    write_back(archive, one)

    assert [entry.line.tag_id for entry in list_away(archive)] == [None, other.tag_id]


def test_two_things_of_one_number_are_two(archive: Archive):
    first, second = (add_tag(archive, "12", TagWords(name=name)) for name in ("hose", "pipe"))
    write_sent(archive, first)

    assert "12.1 (hose)" in back_oddity(archive, second)
    write_back(archive, second)
    assert [entry.line.tag_id for entry in list_away(archive)] == [first.tag_id]


@pytest.mark.parametrize(("promised", "late"), [("2025-10-19", True), ("2025-10-20", False), ("2025-10-21", False)])
def test_late_is_what_was_promised_for_a_day_before_today(archive: Archive, promised: str, late: bool):
    write_sent(archive, "starter", promised=promised)

    (entry,) = list_away(archive)

    assert entry.is_late is late
    assert ("which is past" in entry.words) is late


@pytest.mark.parametrize("promised", ["soon", "20.12.2025", "2025-02-30", "2025-12"])
def test_promise_that_is_no_date_is_refused_and_nothing_is_written(archive: Archive, promised: str):
    with pytest.raises(Misused, match="not a date"):
        write_sent(archive, "starter", promised=promised)

    assert log.list_lines(archive) == []


def test_sent_again_counts_once_with_the_latest_words(archive: Archive):
    write_sent(archive, "starter", to_whom="engine shop", at=now() - 2 * DAY)
    write_sent(archive, "starter", to_whom="other shop", at=now() - DAY)

    (entry,) = list_away(archive)
    assert entry.line.by_whom == "other shop"


def test_line_that_was_struck_counts_no_more(archive: Archive):
    sent = write_sent(archive, "starter")
    log.strike(archive, sent, "was the alternator")

    assert names(archive) == []
    assert back_oddity(archive, "starter") == "starter is not recorded as sent out; sent out are: nothing."


def test_time_decides_and_not_the_order_of_writing(archive: Archive):
    write_back(archive, "starter", at=now())
    write_sent(archive, "starter", at=now() - DAY)

    assert names(archive) == []


def test_each_is_one_step_to_take_back(archive: Archive):
    write_sent(archive, "starter")
    write_back(archive, "starter")

    assert undo(archive) == ["starter came back"]
    assert names(archive) == ["starter"]
    assert undo(archive) == ["starter sent out"]
    assert log.list_lines(archive) == []


def test_words_leave_out_what_was_not_said(archive: Archive):
    line = write_sent(archive, "starter", at=now(), is_day_only=True)

    assert AwayEntry(line, "starter", False).words == "starter, sent on 2025-10-20"


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(["starter", "pump", "head"]), st.booleans()), max_size=8))
def test_away_is_whatever_was_last_said_to_be_sent(tmp_path_factory: pytest.TempPathFactory, said):
    """Any order of goings and comings, against a set kept beside it."""
    folder: Path = tmp_path_factory.mktemp("away") / "archive"
    away: set[str] = set()
    with empty_archive(folder) as archive, archive.store.transaction():
        for minute, (thing, goes) in enumerate(said):
            at = now() + timedelta(minutes=minute)
            (write_sent if goes else write_back)(archive, thing, at=at)
            (away.add if goes else away.discard)(thing)
        assert set(names(archive)) == away
        assert len(log.list_lines(archive)) == len(said), "no line is ever lost"
