"""Look-alikes in the sort queue, and what is behind another picture since."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.bursts import behind
from asfound.actions.to_sort import BurstProposal
from asfound.tui.widgets.contact_sheet import ContactSheet
from tests.small_changes import make_burst
from tests.tui.read_back import members
from tests.tui.screens_of import press, running
from tests.tui.sort_setup import asked, sort_screen


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
