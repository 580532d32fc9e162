"""One picture, large: its pins, what is written of the thing in hand, and the crosshair that makes new pins."""

from __future__ import annotations

import os
from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static

from asfound.actions import views
from asfound.actions.ends import FindEntry
from asfound.actions.known import known_pictures
from asfound.actions.picture_list import ListedPicture, read_picture
from asfound.actions.viewing import open_in_viewer, path_for_shell
from asfound.output.cells.view import View
from asfound.tui.base import ArchiveScreen
from asfound.tui.cards import card_line, card_text
from asfound.tui.entry import ScreenEntry
from asfound.tui.found_pictures import FoundPictures
from asfound.tui.going import ShowSpot
from asfound.tui.keys import UNDO, Key
from asfound.tui.picture_canvas import size_px
from asfound.tui.pinned_picture import PIN_KEYS, PinnedPicture
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.words import moment_with_year, shorten_words

CARD_BESIDE_FROM = 100
CARD_COLUMNS = 36


class PictureScreen(ArchiveScreen):
    ABOUT = (
        "One picture with its pins. To pin a number: move the crosshair there, type the number, press space. "
        "Names with a question mark are proposals: y says right, n says wrong."
    )
    KEYS = (
        *PIN_KEYS,
        Key("", "", "show how that number was", shown="number, enter"),
        Key(
            "left_square_bracket,right_square_bracket",
            "step_found({by})",
            "other pictures of the same tag end, oldest first",
            "older, newer|others",
        ),
        Key("e", "other_end", "the other end of the tag", "other end|end"),
        Key("z", "", "", "read here|closer"),
        Key("comma,full_stop", "step_picture({by})", "the picture before, after", "next picture"),
        Key("a", "all_of_spot", "all pictures of this spot", "spot"),
        Key("f", "elsewhere", "move this picture to another spot, a new one or none", "elsewhere"),
        Key("v", "card", "show or hide the tag's card"),
        Key("r", "name_spot", "name the spot"),
        Key(
            "o",
            "original",
            "open the original in the viewer, and copy its path",
        ),
        UNDO,
    )
    DEFAULT_CSS = f"""
    PictureScreen > #pin {{ height: 2; padding: 0 1; background: $surface; text-style: bold; }}
    PictureScreen #card {{ width: {CARD_COLUMNS}; height: 1fr; padding: 0 1; background: $surface; display: none; }}
    """

    def __init__(
        self, picture_id: int, *, among: Sequence[int] = (), found: FindEntry | None = None, words: str = ""
    ) -> None:
        super().__init__()
        self.picture_id = picture_id
        self.among = tuple(among)
        self._first = found, words
        self.card_asked: bool | None = None
        self.fixing = SpotFixing(self)
        self.pinned = PinnedPicture(self, show_picture=self.show_picture, told_again=self._tell_again)
        self.pins = self.pinned.pins
        self.canvas = self.pinned.canvas
        self.found = FoundPictures(self, self.pinned, self.show_picture)
        self._entry: ListedPicture | None = None

    def body(self) -> ComposeResult:
        with Horizontal():
            yield self.pinned
            yield Static(id="card", markup=False)
        yield Static(id="pin", markup=False)

    def on_mount(self) -> None:
        found, words = self._first
        if found is not None:
            self.found.entry = found
            self._arrange()
            self.call_after_refresh(self.found.show, found, words=words)
        else:
            self.call_after_refresh(self.show_picture, self.picture_id)

    @property
    def entry(self) -> ListedPicture:
        """The picture at hand, read once for each showing of it."""
        if self._entry is None or self._entry.picture.picture_id != self.picture_id:
            self._entry = read_picture(self.archive, self.picture_id)
        return self._entry

    # Which picture

    def show_picture(
        self, picture_id: int, *, at_frac: tuple[float, float] | None = None, keep_view: bool = False
    ) -> None:
        """Show a picture, whole or close at a point."""
        self.picture_id = picture_id
        picture, canvas = self.entry.picture, self.canvas
        size = size_px(picture)
        view, at = None, None
        if at_frac is not None:
            at = (at_frac[0] * size[0], at_frac[1] * size[1])
            whole = View.fit(*size, max(1, canvas.size.width), max(1, canvas.size.height), canvas.aspect)
            view = whole.reading(*at)
        elif keep_view and canvas.target is not None:
            view = canvas.target.for_picture(*size)
        canvas.open(picture, view=view, at=at)
        self.pins.index = -1
        self.reload()
        self.refresh_lines()

    def take_found(self, entry: FindEntry, words: str) -> bool:
        self.found.show(entry, words=words)
        return True

    # What is shown around it

    def where(self) -> str:
        entry = self.entry
        picture = entry.picture
        view = self.canvas.target
        closer = f"{view.magnification:.1f}x" if view is not None and not view.is_fit else ""
        taken = moment_with_year(picture.taken_at or picture.taken_local)
        spot = entry.spot_name or (f"Spot {entry.spot_id}" if entry.spot_id else "no spot")
        return " · ".join(filter(None, (spot, entry.stage, taken, picture.file, closer)))

    def words_of_key(self, key: Key) -> str | None:
        pins = self.pins
        is_proposal, is_pin = pins.proposal is not None, pins.pin is not None
        asks_end, is_found = pins.asked_end is not None, self.found.entry is not None and not is_proposal
        shown = {
            "confirm": is_proposal and not asks_end,
            "say_end('A')": asks_end,
            "say_end('B')": asks_end,
            "reject": is_proposal,
            "next_proposal": is_proposal,
            "step_found({by})": is_found,
            "other_end": is_found,
            "move": is_pin and not is_found,
            "remove": is_pin and not is_found,
            "next_pin({by})": bool(pins.marked),
        }
        return key.short if shown.get(key.action, True) else None

    def foot_keys(self) -> Sequence[Key]:
        """What is meant for the pin in hand goes first."""
        ends = [key for key in self.KEYS if key.action in ("step_found({by})", "other_end")]
        return [*ends, *(key for key in self.KEYS if key not in ends)]

    def reload(self) -> None:
        self._entry = None
        self.found.renew()
        self.pinned.take(self.entry.picture)

    def _tell_again(self) -> None:
        """The pins, or the one in hand, have changed."""
        self.query_one("#pin", Static).update(self.pin_words())
        self.refresh_lines()
        self._arrange()

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        """Tag and end that the card is about."""
        entry = self.found.entry
        if self.pins.tag_end is not None or entry is None:
            return self.pins.tag_end
        return entry.tag.tag_id, entry.end.end

    def _arrange(self) -> None:
        """The card beside the picture where there is room or where it is asked for; else one line below."""
        in_hand = self.tag_in_hand
        wide = self.app.size.width >= CARD_BESIDE_FROM
        self.query_one("#pin").styles.height = 1 if wide else 2
        asked = wide if self.card_asked is None else self.card_asked
        card = self.query_one("#card", Static)
        card.display = asked and in_hand is not None
        if in_hand is not None and card.display:
            card.update(card_text(self.archive, *in_hand, columns=CARD_COLUMNS - 2))

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.is_current:  # it may come before a screen that is shown again has reloaded
            self.reload()

    def action_card(self) -> None:
        if self.tag_in_hand is None:
            self.say("Choose a pin first: tab goes through them." if self.pins.marked else "No pins here yet.")
            return
        self.card_asked = not self.query_one("#card").display
        self._arrange()

    def pin_words(self) -> str:
        """The lines below the picture."""
        first, tag_end = self.pins.words(), self.pins.tag_end
        if tag_end is None or self.query_one("#card").display:
            return first
        room = max(20, self.app.size.width - 2)
        return f"{first}\n{shorten_words(card_line(self.archive, *tag_end, rest='v'), room)}"

    def open_number_box(self, words: str) -> None:
        self.number_box.open(words, find=self.find, space_words="pins {} at the crosshair", pins=("space",))

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        if by_space or self.number_box.title == "Pin":
            self.pinned.pin_number(words)
        else:
            self.show_found(words, entry)

    def on_canvas_view_changed(self) -> None:
        self.refresh_lines()

    # Going on

    def action_step_found(self, by: int) -> None:
        self.found.step(by, self.picture_id)

    def action_other_end(self) -> None:
        self.found.show_other_end()

    def action_step_picture(self, by: int) -> None:
        order = self.among or tuple(known_pictures(self.archive))
        place = order.index(self.picture_id) + by if self.picture_id in order else 0
        if 0 <= place < len(order):
            self.found.entry = None
            self.show_picture(order[place], keep_view=True)
            self.say("")
        else:
            self.say("This is the last picture." if by > 0 else "This is the first picture.")

    def action_all_of_spot(self) -> None:
        spot_id = self.entry.spot_id
        if spot_id is None:
            self.say("This picture is in no spot. f puts it into one.")
        else:
            self.post_message(ShowSpot(spot_id))

    def action_elsewhere(self) -> None:
        self.fixing.ask_where_they_belong([self.picture_id], self.entry.spot_id)

    def action_name_spot(self) -> None:
        spot_id = self.entry.spot_id
        if spot_id is None:
            self.say("This picture is in no spot. f puts it into one.")
        else:
            self.fixing.ask_for_name(spot_id)

    def action_original(self) -> None:
        path = self.attempt(lambda: views.source_of(self.archive, self.entry.picture).path)
        if path is None:
            return
        self.app.copy_to_clipboard(str(path))
        shown = path_for_shell(path, self.app.size.width - 2)
        if open_in_viewer(path, os.environ):
            self.say(f"Opened in the viewer. Its path is copied; it is also:\n{shown}")
        else:
            self.say(f"No viewer here. Its path is copied; it is also:\n{shown}")

    def action_back(self) -> None:
        if not self.canvas.clear_box():
            super().action_back()


SCREEN = ScreenEntry("", "Picture", PictureScreen, PictureScreen.ABOUT)
