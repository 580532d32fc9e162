"""Looking never writes: whoever goes through every screen and every question leaves the archive as it was."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.sort import finish_pending
from asfound.actions.to_sort import list_to_sort
from asfound.core.read.reading import Reading
from asfound.store import readings
from asfound.tui import going
from tests.small_changes import tag_of
from tests.tui.screens_of import press, running, settle


def let_a_number_wait(archive: Archive) -> None:
    """A number that was read and is proposed, and one that nobody has weighed yet: looking could be tempted to."""
    for picture_id, number in ((3, "31"), (2, "110")):
        finish_pending(archive)
        archive.follow_words()
        with archive.store.transaction():
            found = [Reading(number, None, "written", 0.4, 0.4, 0.05, 0.05, 0.9)]
            readings.save_readings(archive.store, picture_id, "own", found)


def content(archive: Archive) -> tuple[object, bytes]:
    """What any connection may have written, and the file itself."""
    archive.store.run("PRAGMA wal_checkpoint(TRUNCATE)")
    return archive.store.stamp(), Path(archive.layout.database).read_bytes()


async def test_opening_every_screen_leaves_the_database_as_it_was(archive: Archive) -> None:
    let_a_number_wait(archive)
    before = content(archive)

    async with running(archive) as run:
        app = run[0]
        for name, entry in app.entries.items():
            if entry.key:
                app.go(name)
                await settle(*run)
                await press(run, "down", "question_mark", "escape", "escape")
        for message in (
            going.ShowPicture(3),
            going.ShowSpot(1),
            going.ShowPairs(1),
            going.ShowPictures("all", (1, 2, 3)),
            going.WriteTag(tag_of(archive, "112").tag_id),
        ):
            app.post_message(message)
            await settle(*run)
            await press(run, "tab", "escape")

    assert content(archive) == before


async def test_typing_a_number_or_words_to_find_writes_nothing(archive: Archive) -> None:
    async with running(archive) as run:
        app = run[0]
        app.post_message(going.ShowPicture(4))
        await settle(*run)
        await press(run, "5", "5", "space", "u")  # what a person writes is searched at once, taken back or not
        await press(run, "l", "5", "6", "space")
        before = content(archive)

        for place in ("i", "t", "s", "d"):
            await press(run, place, "1", "1", "2", "b", "backspace", "escape", "escape")
        app.post_message(going.ShowPicture(4))
        await settle(*run)
        await press(run, "slash", *"hose", "down", "escape")
        await press(run, "p", *"56", "escape")
        await press(run, *"5", "escape", *"1120", "escape")

    assert content(archive) == before


async def test_going_through_the_sort_queue_leaves_the_database_as_it_was(archive: Archive) -> None:
    let_a_number_wait(archive)
    before, waiting = content(archive), list_to_sort(archive)

    async with running(archive) as run:
        await press(run, "i")
        for _ in range(2 * len(waiting)):
            await press(run, "tab", "x", "space")

    assert len(waiting) > 3
    assert list_to_sort(archive) == waiting
    assert content(archive) == before
