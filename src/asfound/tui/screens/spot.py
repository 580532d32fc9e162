"""One spot: its pictures in order of time, and what to do when one of them does not belong."""

from __future__ import annotations

from dataclasses import replace

from asfound.actions.spot_list import read_spot
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPairs
from asfound.tui.keys import UNDO, Key
from asfound.tui.screens.pictures import PicturesScreen
from asfound.tui.sheets import sheet_items
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.words import spot_words


class SpotScreen(PicturesScreen):
    ABOUT = (
        "The pictures of one place on the machine. Enter opens one, x lays before and after over each other. "
        "A picture that does not belong here: f says where it does; space marks several first."
    )
    KEYS = (
        Key("h,j,k,l", "", "choose a picture", shown="arrows or h j k l"),
        Key("enter", "", "open it", "open"),
        Key("x", "pairs", "before and after; with two pictures marked, those two", "before and after|compare"),
        Key(
            "f",
            "elsewhere",
            "move the marked pictures (or the chosen one) to another spot, a new one or none",
            "elsewhere",
        ),
        Key("r,c", "name", "name the spot", "name"),
        Key("space", "mark", "mark a picture, or not any more", "mark"),
        Key("b", "behind", "show or hide the look-alikes behind others", "look-alikes"),
        Key("w", "join", "this spot and another are one: join them", "join with"),
        UNDO,
    )

    def __init__(self, spot_id: int) -> None:
        super().__init__("", ())
        self.spot_id = spot_id
        self.marked: set[int] = set()
        self.fixing = SpotFixing(self)

    def where(self) -> str:
        entry = read_spot(self.archive, self.spot_id)
        numbers = f", tags {' '.join(entry.numbers)}" if entry.numbers else ""
        marked = f"{len(self.marked)} marked of " if self.marked else ""
        return f"{spot_words(entry.spot)}: {marked}{self.many_words()}{numbers}"

    def words_of_key(self, key: Key) -> str | None:
        if key.action == "pairs" and not read_spot(self.archive, self.spot_id).pairs:
            return None
        return super().words_of_key(key)

    def reload(self) -> None:
        entry = read_spot(self.archive, self.spot_id)
        self.picture_ids = entry.spot.picture_ids
        self.marked &= set(self.picture_ids)
        items = sheet_items(self.archive, self.shown_ids())
        items = [replace(one, words=f"■ {one.words}") if one.picture_id in self.marked else one for one in items]
        self.query_one(ContactSheet).set_items(items)
        if not self.picture_ids:
            self.say("No pictures are left here. esc goes back; u takes the last step back.")

    def action_pairs(self) -> None:
        marked = [one for one in self.picture_ids if one in self.marked]
        if len(marked) == 2:
            self.post_message(ShowPairs(self.spot_id, (marked[0], marked[1])))
        elif len(self.picture_ids) > 1:
            self.post_message(ShowPairs(self.spot_id))
        else:
            self.say("Before and after needs two pictures of this spot: one before a removal, one after.")

    def action_mark(self) -> None:
        chosen = self.query_one(ContactSheet).chosen
        if chosen is not None:
            self.marked ^= {chosen.picture_id}
            self.reload()
            self.refresh_lines()
            self.query_one(ContactSheet).action_move(1, 0)

    def action_elsewhere(self) -> None:
        chosen = self.query_one(ContactSheet).chosen
        wanted = sorted(self.marked) or ([chosen.picture_id] if chosen else [])
        if wanted:
            self.fixing.ask_where_they_belong(wanted, self.spot_id)

    def action_join(self) -> None:
        self.fixing.ask_to_join(self.spot_id)

    def action_name(self) -> None:
        self.fixing.ask_for_name(self.spot_id)


SCREEN = ScreenEntry("", "Spot", SpotScreen, SpotScreen.ABOUT)
