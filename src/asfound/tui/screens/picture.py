"""One picture, large: its pins, what is written of the thing in hand, and the crosshair that makes new pins."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from asfound.actions import views
from asfound.actions.ends import FindEntry, find_end
from asfound.actions.known import known_pictures
from asfound.actions.log import off_times_s
from asfound.actions.picture_list import ListedPicture, read_picture
from asfound.actions.pinned import PinEntry, ProposalEntry, other_end
from asfound.core.log.first_off import taken_when
from asfound.output.cells.view import View
from asfound.tui.base import end_words
from asfound.tui.canvas.widget import Canvas
from asfound.tui.cards import card_line, card_text
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowSpot
from asfound.tui.keys import UNDO, Key
from asfound.tui.pinning import PIN_KEYS, Pinning, place_of
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.viewer import open_in_viewer, path_for_shell
from asfound.tui.words import count, moment_with_year, shorten_words

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

CARD_BESIDE_FROM = 100
CARD_COLUMNS = 36


class PictureScreen(Pinning):
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

    class PictureLoaded(Message):
        """A worker has opened the picture, small or whole."""

        def __init__(self, request: int, pyramid: Pyramid) -> None:
            self.request = request
            self.pyramid = pyramid
            super().__init__()

    def __init__(
        self, picture_id: int, *, among: Sequence[int] = (), found: FindEntry | None = None, words: str = ""
    ) -> None:
        super().__init__(picture_id)
        self.first_words = words
        self.among = tuple(among)
        self.found = found
        self.card_asked: bool | None = None
        self.fixing = SpotFixing(self)
        self._request = 0
        self._entry: ListedPicture | None = None

    def body(self) -> ComposeResult:
        with Horizontal():
            yield Canvas()
            yield Static(id="card", markup=False)
        yield Static(id="pin", markup=False)

    def on_mount(self) -> None:
        self.session.set_up_canvas(self.canvas)
        if self.found is not None:
            self._arrange()
            self.call_after_refresh(self.show_entry, self.found, words=self.first_words)
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
        picture = self.entry.picture
        size = (float(picture.width_px), float(picture.height_px))
        canvas = self.canvas
        view, at = None, None
        if at_frac is not None:
            at = (at_frac[0] * size[0], at_frac[1] * size[1])
            whole = View.fit(*size, max(1, canvas.size.width), max(1, canvas.size.height), canvas.aspect)
            view = whole.reading(*at)
        elif keep_view and canvas.target is not None:
            view = canvas.target.for_picture(*size)
        ready = self.opened.at_hand(picture_id)
        canvas.show(ready, size, view=view, at=at)
        self.current = -1
        self._request += 1
        if not self.opened.has_full(picture_id):
            self.in_background(partial(self._open, self._request, picture_id), "open")
        self.reload()
        self.refresh_lines()

    def take_found(self, entry: FindEntry, words: str) -> bool:
        self.show_entry(entry, words=words)
        return True

    def show_entry(self, entry: FindEntry, index: int | None = None, *, words: str = "") -> None:
        """Show one of the pictures of a tag end, its as-found picture unless another is asked for."""
        self.found = entry
        pins = entry.pins
        if index is None:
            wanted = entry.as_found.pin.picture_id if entry.as_found else None
            index = next((place for place, pin in enumerate(pins) if pin.pin.picture_id == wanted), 0)
        shown = pins[index] if pins else entry.as_found
        if shown is None:
            self.show_found(entry.tag.number, entry)
            return
        pin = shown.pin
        self.show_picture(pin.picture_id, at_frac=(pin.x_frac, pin.y_frac))
        self.choose_end(pin.tag_id, pin.end)
        more = f" · {index + 1} of {len(pins)}, [ ] steps" if len(pins) > 1 else ""
        self.say(words or f"{end_words(entry)}: {self._standing(entry, pin.picture_id)}{more}")

    def _standing(self, entry: FindEntry, picture_id: int) -> str:
        """What a picture is to a tag end, in words."""
        asked = isinstance(self.current_mark, ProposalEntry)
        doubt = ", a proposed place (y right, n wrong)" if asked else ""
        if entry.as_found is not None and entry.as_found.pin.picture_id == picture_id:
            return f"as found{doubt}"
        off_s = off_times_s(self.archive).get(entry.tag.tag_id)
        taken = taken_when(self.entry.picture.taken_utc_s, off_s)
        return f"{'another picture of it' if off_s is None or taken == 'undated' else f'{taken} it came off'}{doubt}"

    def _open(self, request: int, picture_id: int) -> None:
        worker = get_current_worker()
        if self.opened.at_hand(picture_id) is None:
            self.post_message(self.PictureLoaded(request, self.opened.open_preview(picture_id)))
        if not worker.is_cancelled:
            self.post_message(self.PictureLoaded(request, self.opened.open_full(picture_id)))

    def on_picture_screen_picture_loaded(self, event: PictureLoaded) -> None:
        if event.request == self._request:
            self.canvas.improve(event.pyramid)

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
        mark = self.current_mark
        is_proposal, is_pin = isinstance(mark, ProposalEntry), isinstance(mark, PinEntry)
        asks_end, is_found = self.asked_end is not None, self.found is not None and not is_proposal
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
            "next_pin({by})": bool(self.marked),
        }
        return key.short if shown.get(key.action, True) else None

    def foot_keys(self) -> Sequence[Key]:
        """What is meant for the pin in hand goes first."""
        ends = [key for key in self.KEYS if key.action in ("step_found({by})", "other_end")]
        return [*ends, *(key for key in self.KEYS if key not in ends)]

    def reload(self) -> None:
        self._entry = None
        if self.found is not None:  # what was undone elsewhere is gone
            self.found = find_end(self.archive, self.found.tag.tag_id, self.found.end.end)
        self.load_marks()

    def show_marks(self) -> None:
        super().show_marks()
        self._arrange()

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        """Tag and end that the card is about."""
        mark = self.current_mark
        if mark is not None:
            at = place_of(mark)
            return at.tag_id, at.end
        return (self.found.tag.tag_id, self.found.end.end) if self.found is not None else None

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
            self.say("Choose a pin first: tab goes through them." if self.marked else "No pins here yet.")
            return
        self.card_asked = not self.query_one("#card").display
        self._arrange()

    def pin_words(self) -> str:
        mark = self.current_mark
        if mark is None:
            if not self.marked:
                return "No pins here. Move the crosshair, type the number, press space to pin it."
            pins = sum(isinstance(mark, PinEntry) for mark in self.marked)
            asked = len(self.marked) - pins
            proposed = f", {asked} proposed: space goes to them, y right, n wrong" if asked else ""
            return f"{count(pins, 'pin')} here{proposed}; tab goes through them"
        if isinstance(mark, ProposalEntry):
            proposal = mark.proposal
            how = "carried here" if proposal.source == "carried" else "read here"
            answers = "y right, n wrong" if mark.other is None else "A or B says which end, n wrong"
            first = f"{mark.called}? {mark.tag_name}, {how}, {mark.confidence:.0%} sure: {answers}"
        else:
            first = f"{mark.number} {mark.pin.end} {mark.tag_name}"
        at = place_of(mark)
        if self.query_one("#card").display:
            return first
        room = max(20, self.app.size.width - 2)
        return f"{first}\n{shorten_words(card_line(self.archive, at.tag_id, at.end, rest='v'), room)}"

    def on_canvas_view_changed(self) -> None:
        self.refresh_lines()

    # Going on

    def _find_current(self) -> FindEntry | None:
        mark = self.current_mark
        if mark is not None:
            at = place_of(mark)
            return find_end(self.archive, at.tag_id, at.end)
        return self.found

    def action_step_found(self, by: int) -> None:
        entry = self._find_current()
        if entry is None or not entry.pins:
            self.say("Choose a pin first, or type a number: then [ ] goes through its pictures.")
            return
        here = next((i for i, pin in enumerate(entry.pins) if pin.pin.picture_id == self.picture_id), -by)
        index = here + by
        if 0 <= index < len(entry.pins):
            self.show_entry(entry, index)
        else:
            self.say(f"{end_words(entry)}: this is the {'newest' if by > 0 else 'oldest'} of {len(entry.pins)}.")

    def action_other_end(self) -> None:
        entry = self._find_current()
        if entry is None:
            self.say("Choose a pin first, or type a number.")
            return
        other = find_end(self.archive, entry.tag.tag_id, other_end(entry.end.end))
        if other is None:
            self.say(f"{entry.tag.number} has one end.")
        elif not other.pins:
            self.say(f"{end_words(other)} has no picture. Its place: {other.end.place or 'not written down'}.")
        else:
            self.show_entry(other)

    def action_step_picture(self, by: int) -> None:
        order = self.among or tuple(known_pictures(self.archive))
        place = order.index(self.picture_id) + by if self.picture_id in order else 0
        if 0 <= place < len(order):
            self.found = None
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
