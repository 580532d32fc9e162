"""The log as it is written: every line tells of itself, whatever is known of the thing already."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import log, tag
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords
from asfound.errors import NotFound
from asfound.store import events

NOW = datetime(2026, 4, 26, 18, tzinfo=UTC)
EARLIER = datetime(2025, 10, 18, 9, tzinfo=UTC)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True, now=lambda: NOW) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


def test_line_of_an_earlier_time_is_the_one_that_comes_back(archive: Archive):
    mine = tag.add_tag(archive, "17", TagWords())
    log.mark_off(archive, mine, bag="B4", note="today")
    log.mark_refitted(archive, mine, how="tight")

    off = log.mark_off(archive, mine, bag="9", note="as it was", at=EARLIER)
    back = log.mark_refitted(archive, mine, how="by hand", at=EARLIER)

    assert (off.kind, off.bag, off.note, off.at) == ("off", "9", "as it was", EARLIER)
    assert (back.kind, back.how, back.at) == ("refitted", "by hand", EARLIER)


def test_line_that_says_something_else_is_no_event(archive: Archive):
    mine = tag.add_tag(archive, "17", TagWords())
    line = log.write_line(archive, mine, "note", note="boot torn")

    with pytest.raises(NotFound, match=f"line {line.event_id}"):
        events.get_event(archive.store, line.event_id)
