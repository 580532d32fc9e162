"""What screens ask of the app: to go somewhere, to show or to ask something. None of them knows another screen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.message import Message

from asfound.actions.ends import FindEntry
from asfound.output.cells.colour import Glyphs

NEW_SPOT, NO_SPOT = "new", "none"
Choice = int | str
"""A spot's id, `NEW_SPOT` or `NO_SPOT`."""


class GoTo(Message):
    """Go to a place by the name of its module; `row` is the row to choose there, by its key, `words` are said then."""

    def __init__(self, name: str, *, row: object = None, words: str = "") -> None:
        self.name, self.row, self.words = name, row, words
        super().__init__()


class GoBack(Message):
    """One step back, to the screen this one was opened from or to the start; `words` are said there."""

    def __init__(self, words: str = "") -> None:
        self.words = words
        super().__init__()


class ShowSpot(Message):
    """Show the pictures of a spot."""

    def __init__(self, spot_id: int) -> None:
        self.spot_id = spot_id
        super().__init__()


class ShowPictures(Message):
    """Show a sheet of pictures."""

    def __init__(self, title: str, picture_ids: Sequence[int]) -> None:
        self.title, self.picture_ids = title, picture_ids
        super().__init__()


class ShowPicture(Message):
    """Show one picture, with those `among` which it is before and after it."""

    def __init__(self, picture_id: int, among: Sequence[int] = ()) -> None:
        self.picture_id, self.among = picture_id, among
        super().__init__()


class ShowFound(Message):
    """Show the as-found picture of a tag end, close at its pin; `words` are said there in place of the usual ones."""

    def __init__(self, entry: FindEntry, words: str = "") -> None:
        self.entry, self.words = entry, words
        super().__init__()


class ShowPairs(Message):
    """Show before and after of a spot; or `two` pictures of it, the earlier first, whether or not they are a pair."""

    def __init__(self, spot_id: int, two: tuple[int, int] | None = None) -> None:
        self.spot_id, self.two = spot_id, two
        super().__init__()


class WriteTag(Message):
    """Show the card of a thing, to say more or put it right, with the field `at` in hand."""

    def __init__(self, tag_id: int, *, at: str = "kind") -> None:
        self.tag_id, self.at = tag_id, at
        super().__init__()


class ChooseSpot(Message):
    """Ask which spot is meant, `but` the one at hand; `chosen` is called with it.

    Spots that look like the pictures `near` come first; `with_others` offers a new spot and none as well.
    """

    def __init__(
        self,
        question: str,
        chosen: Callable[[Choice], None],
        *,
        but: int | None = None,
        with_others: bool = True,
        near: Sequence[int] = (),
    ) -> None:
        self.question, self.chosen, self.but, self.with_others, self.near = question, chosen, but, with_others, near
        super().__init__()


class ChoosePicture(Message):
    """Ask which of some pictures is meant; `chosen` is called with it."""

    def __init__(self, question: str, picture_ids: Sequence[int], chosen: Callable[[int], None]) -> None:
        self.question, self.picture_ids, self.chosen = question, picture_ids, chosen
        super().__init__()


class AskWhatHappened(Message):
    """Ask for a line of the log."""


class AskForFolder(Message):
    """Ask for the folder or card whose photos and clips are to be added."""


class KeepGlyphs(Message):
    """Draw pictures with these characters on this kind of terminal from now on, and go back."""

    def __init__(self, glyphs: Glyphs) -> None:
        self.glyphs = glyphs
        super().__init__()
