"""Putting wrong spots right, for every screen that shows a spot's pictures."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.actions import bursts, spots
from asfound.actions.spot_list import read_spot
from asfound.model.pictures import Spot
from asfound.tui.base import ArchiveScreen
from asfound.tui.going import NEW_SPOT, NO_SPOT, Choice, ChooseSpot
from asfound.tui.words import count, spot_words


class SpotFixing:
    """Asks, for one screen, where pictures belong and what a spot is called, and says what was done."""

    def __init__(self, screen: ArchiveScreen) -> None:
        self._screen = screen

    def spot_name(self, spot_id: int) -> str:
        """A spot's name, or its number while it has none."""
        return spot_words(self._spot(spot_id))

    def ask_where_they_belong(self, picture_ids: Sequence[int], spot_id: int | None) -> None:
        """Ask for the spot of some pictures and put them there."""

        def answered(choice: Choice) -> None:
            self._place(picture_ids, spot_id, choice)

        question = f"{count(len(picture_ids), 'picture')}: which spot do they belong to?"
        self._screen.post_message(ChooseSpot(question, answered, but=spot_id, near=picture_ids))

    def ask_to_join(self, spot_id: int) -> None:
        """Ask which other spot is the same place, and make one of the two."""

        def answered(choice: Choice) -> None:
            other = self._spot(int(choice))
            words = f"{spot_words(other)} is joined to {self.spot_name(spot_id)}. u takes it back."
            self._screen.act(lambda: spots.join_spots(self._screen.archive, self._spot(spot_id), other), words)

        question = f"{self.spot_name(spot_id)} is one spot with"
        self._screen.post_message(ChooseSpot(question, answered, but=spot_id, with_others=False))

    def ask_for_name(self, spot_id: int) -> None:
        """Ask what a spot is called."""
        spot = self._spot(spot_id)

        def answered(words: str) -> None:
            named = f"Named {words}. u takes it back."
            self._screen.act(lambda: spots.name_and_accept(self._screen.archive, spot, words), named)

        self._screen.ask("Name of this spot", answered, words=spot.name)

    def _place(self, picture_ids: Sequence[int], spot_id: int | None, choice: Choice) -> None:
        screen, archive = self._screen, self._screen.archive
        behind = [one for one, front in bursts.behind(archive).items() if front in picture_ids]
        picture_ids = tuple(dict.fromkeys((*picture_ids, *behind)))
        pictures = count(len(picture_ids), "picture")
        if choice == NEW_SPOT:
            made = screen.attempt(lambda: self._new_spot(picture_ids, spot_id))
            if made is not None:
                screen.changed(f"{pictures}: now {spot_words(made)}. u takes it back.")
            return
        there = None if choice == NO_SPOT else self._spot(int(choice))
        where = "in no spot" if there is None else f"now in {spot_words(there)}"
        screen.act(lambda: spots.move_pictures(archive, picture_ids, there), f"{pictures}: {where}. u takes it back.")

    def _new_spot(self, picture_ids: Sequence[int], spot_id: int | None) -> Spot:
        """A spot of some of a spot's pictures, or of pictures that have none."""
        if spot_id is None:
            return spots.begin_spot(self._screen.archive, picture_ids)
        return spots.split_spot(self._screen.archive, self._spot(spot_id), picture_ids)

    def _spot(self, spot_id: int) -> Spot:
        return read_spot(self._screen.archive, spot_id).spot
