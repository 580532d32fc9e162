"""Putting wrong spots right, for every screen that shows a spot's pictures."""

from __future__ import annotations

from collections.abc import Sequence

from textual.message import Message

from asfound.tui.base import ArchiveScreen
from asfound.tui.screens.choose_spot import NEW, NONE, Choice, ChooseSpotScreen
from asfound.tui.words import count, spot_words


class SpotMending(ArchiveScreen):
    """Asks where pictures belong and what a spot is called, and says what was done."""

    class Settled(Message):
        """A worker has put pictures back to where they belong after a step was taken back."""

    def undo_last(self) -> None:
        super().undo_last()
        self.in_background(self._settle, "settle")

    def _settle(self) -> None:
        """The person's word is taken back at once; where the machine had put a picture is worked out again."""
        if self.service.settle_spots():
            self.post_message(self.Settled())

    def on_spot_mending_settled(self) -> None:
        self.reload()
        self.refresh_lines()

    def spot_name(self, spot_id: int) -> str:
        return spot_words(self.service.spot(spot_id).spot)

    def ask_where_they_belong(self, picture_ids: Sequence[int], spot_id: int | None) -> None:
        """Ask for the spot of some pictures and put them there."""

        def answered(choice: Choice) -> None:
            self._place(picture_ids, spot_id, choice)

        question = f"{count(len(picture_ids), 'picture')}: belongs to which spot?"
        self.app.push_screen(ChooseSpotScreen(question, answered, but=spot_id, near=picture_ids))

    def _place(self, picture_ids: Sequence[int], spot_id: int | None, choice: Choice) -> None:
        behind = [one for one, front in self.service.behind().items() if front in picture_ids]
        picture_ids = tuple(dict.fromkeys((*picture_ids, *behind)))
        pictures = count(len(picture_ids), "picture")
        if choice == NEW:
            made = self.attempt(lambda: self.service.split_spot(spot_id, picture_ids))
            if made is not None:
                self.changed(f"{pictures}: now {spot_words(made)}. u takes it back.")
        elif choice == NONE:
            self.act(lambda: self.service.move_pictures(picture_ids, None), f"{pictures}: in no spot. u takes it back.")
        else:
            words = f"{pictures}: now in {self.spot_name(int(choice))}. u takes it back."
            self.act(lambda: self.service.move_pictures(picture_ids, int(choice)), words)

    def ask_for_name(self, spot_id: int) -> None:
        """Ask what a spot is called."""

        def answered(words: str) -> None:
            self.act(lambda: self.service.name_spot(spot_id, words), f"Named {words}. u takes it back.")

        self.ask("Call this spot", answered, words=self.service.spot(spot_id).spot.name)
