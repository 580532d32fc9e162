"""The small archive with more in its sort queue, and what is asked there."""

from __future__ import annotations

from typing import Any

from asfound.actions.archive import Archive
from asfound.actions.pin import Box, pin_tag, remove_pin
from asfound.actions.spots import accept_spot, confirm_pair, get_spot
from asfound.model.tags import EndLetter
from asfound.store import pins
from asfound.store.pictures import get_picture
from asfound.tui.screens.sort import SortScreen
from tests.small_changes import forget_proposals, forget_steps, let_read, propose_pin, settle_sorting, tag_of


def asked(app: Any) -> str:
    return str(app.screen.query_one("#question").render())


def sort_screen(app: Any) -> SortScreen:
    assert isinstance(app.screen, SortScreen)
    return app.screen


def propose_some(archive: Archive) -> None:
    """Three pins proposed on picture 2 and one on picture 3, one of them unsure; nothing else is asked but a time.

    The machine would carry them there by itself, only surer: what it would carry elsewhere is refused already.
    """
    for end, x, y in (("A", 0.45, 0.45), ("B", 0.55, 0.62)):
        letter: EndLetter = "A" if end == "A" else "B"
        pin_tag(archive, tag_of(archive, "110"), letter, get_picture(archive.store, 1), Box(x, y))
    with archive.store.transaction():
        for number, letter, picture_id in (
            ("31", "A", 3),
            ("110", "B", 3),
            ("112", "A", 3),
            ("112", "B", 1),
            ("112", "B", 3),
        ):
            pins.reject(archive.store, tag_of(archive, number).tag_id, "A" if letter == "A" else "B", picture_id)
    propose_pin(archive, "110", "A", 2, confidence=0.9)
    propose_pin(archive, "110", "B", 2, confidence=0.5)
    propose_pin(archive, "110", "A", 3, confidence=0.95)
    sort_the_rest(archive)


def sort_the_rest(archive: Archive) -> None:
    """The spots and the pair are answered, and it was long ago."""
    accept_spot(archive, get_spot(archive, "2"))
    confirm_pair(archive, 1, 3)
    settle_sorting(archive)
    forget_steps(archive)


def let_numbers_be_read(archive: Archive) -> None:
    """Number 31 read on pictures 2 and 3 of one spot, surely, and 110 on picture 4, doubtfully: no end is told."""
    remove_pin(archive, next(one for one in pins.find_pins(archive.store, tag_of(archive, "31").tag_id)))
    forget_proposals(archive)
    let_read(archive, 2, ("31", 0.90))
    let_read(archive, 3, ("31", 0.96))
    let_read(archive, 4, ("110", 0.70))
    sort_the_rest(archive)
