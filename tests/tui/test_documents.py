"""Documents on the screens: on a thing's card, and a photo that is one does no harm where something still names it."""

from __future__ import annotations

from asfound.actions import documents
from asfound.actions.archive import Archive
from asfound.actions.documents import DocumentTies
from asfound.store.pictures import get_picture
from asfound.tui.cards import card_text
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.spots import SpotsScreen
from tests.small_changes import tag_of
from tests.tui.screens_of import press, running


async def test_screens_open_with_a_photo_that_became_a_document(archive: Archive) -> None:
    """Snag 1 is about picture 2, and 31 is proposed there."""
    documents.call_document(archive, get_picture(archive.store, 2), "manual p. 3", DocumentTies())
    async with running(archive) as (app, pilot):
        await press((app, pilot), "p", "enter")
        assert isinstance(app.screen, PictureScreen)
        await press((app, pilot), "full_stop", "comma", "escape")
        for key in "sdtgnlmhiW":
            await press((app, pilot), key)
            await press((app, pilot), "enter", "escape")
        await press((app, pilot), "s")
        assert isinstance(app.screen, SpotsScreen)


def test_card_names_the_documents_of_a_thing(archive: Archive) -> None:
    tag = tag_of(archive, "31")
    documents.call_document(archive, get_picture(archive.store, 2), "manual p. 3", DocumentTies(tags=(tag,)))
    assert "1: manual p. 3 (P0002.jpg)" in str(card_text(archive, tag.tag_id, "A", columns=60))
