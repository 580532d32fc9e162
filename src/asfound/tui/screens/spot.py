"""One spot: its pictures in order of time."""

from __future__ import annotations

from collections.abc import Sequence

from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.screens.pictures import PicturesScreen, sheet_items
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import count, spot_words


class SpotScreen(PicturesScreen):
    ABOUT = "The pictures of one place on the machine. Enter opens one, x lays before and after over each other."
    KEY_WORDS = {
        "arrows or h j k l": "choose a picture",
        "enter": "open it",
        "x": "before and after",
        "c": "calls the spot something",
    }
    BINDINGS = [Binding("x", "pairs", "before and after", show=False), Binding("c", "name", "call it", show=False)]

    def __init__(self, spot_id: int, words: str = "") -> None:
        super().__init__("", ())
        self.spot_id = spot_id
        self.first_words = words

    def where(self) -> str:
        entry = self.service.spot(self.spot_id)
        numbers = f", tags {' '.join(entry.numbers)}" if entry.numbers else ""
        return f"{spot_words(entry.spot)}: {count(len(entry.spot.picture_ids), 'picture')}{numbers}"

    def hints(self) -> Sequence[Hint]:
        pairs = self.service.spot(self.spot_id).pairs
        pair_hint = [Hint("x", "x", "before and after")] if pairs else []
        return [Hint("enter", "enter", "open"), *pair_hint, Hint("c", "c", "call it"), Hint("escape", "esc", "back")]

    def reload(self) -> None:
        entry = self.service.spot(self.spot_id)
        self.picture_ids = entry.spot.picture_ids
        self.query_one(ContactSheet).set_items(sheet_items(self.service, self.picture_ids))
        if self.first_words:
            self.say(self.first_words)
            self.first_words = ""
        elif entry.numbers_without_picture:
            self.say(f"Without a picture: {' '.join(entry.numbers_without_picture)}")

    def action_pairs(self) -> None:
        if self.service.spot(self.spot_id).pairs:
            self.archive_app.show_pairs(self.spot_id)
        else:
            self.say("No before and after is known here yet. It needs pictures from both sides of a removal.")

    def action_name(self) -> None:
        spot = self.service.spot(self.spot_id).spot
        self.ask("Call this spot", self._give_name, words=spot.name)

    def _give_name(self, words: str) -> None:
        self.act(lambda: self.service.name_spot(self.spot_id, words), f"Named {words}. u takes it back.")


SCREEN = ScreenEntry("", "Spot", SpotScreen, SpotScreen.ABOUT)
