"""A value typed where the thing is in hand."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.values import values_of
from tests.small_changes import come_off, tag_of
from tests.tui.screens_of import press, running, said


async def test_value_and_what_was_reached_are_typed_among_the_tags(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "v", *"45 Nm page 6", "enter")
        assert "tightening: 45 Nm, manual page 6; not reached yet" in said(app)
        await press((app, pilot), "v", *"reached 44 Nm by Jo", "enter")
        assert "reached 44 Nm by Jo" in said(app)
        assert "differs from the manual's value" in said(app)
        await press((app, pilot), "v", *"soon", "enter")
        assert "tightening 45 Nm page 6-12" in said(app), "what is no value is asked back"


async def test_value_is_typed_and_shown_on_the_way_back(archive: Archive) -> None:
    come_off(archive, "110")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "n", "v")
        if "is of a thing" in said(app):
            await press((app, pilot), "j", "v")
        await press((app, pilot), *"gap 0.3 mm", "enter")
        (value,) = values_of(archive, tag_of(archive, "110"))
        assert (value.value.what, value.value.wanted) == ("gap", "0.3 mm")
        await press((app, pilot), "u")
        assert values_of(archive, tag_of(archive, "110")) == []
