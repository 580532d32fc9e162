"""One picture, large: its pins, and the crosshair that makes new ones."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.base import ArchiveScreen, end_words
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.service import FindEntry, PictureEntry, PinEntry, ProposalEntry
from asfound.tui.viewer import open_in_viewer
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import moment_with_year, split_number

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

Marked = PinEntry | ProposalEntry


class PictureScreen(ArchiveScreen):
    ABOUT = (
        "One picture with its pins. To pin a number: move the crosshair there, type the number, press space. "
        "Names with a question mark are proposals: y says right, n says wrong."
    )
    KEY_WORDS = {
        "number, space": "pin this number at the crosshair; add a or b for the end",
        "number, enter": "show how that number was",
        "p": "pin here: asks for the number, Enter pins it",
        "tab": "next pin (shift+tab: the one before)",
        "y n": "the proposed pin is right, is wrong",
        "m": "move the pin to the crosshair",
        "x": "take the pin away",
        "[ ]": "other pictures of the same tag end, oldest first",
        "e": "the other end of the tag",
        ", .": "the picture before, after",
        "a": "all pictures of this spot",
        "o": "open the original in the system's viewer, or show where it is",
        "O R": "the pinned thing came off, is back on",
    }
    BINDINGS = [
        Binding("p,enter", "pin", "pin here", show=False),
        Binding("tab", "next_pin(1)", "next pin", show=False),
        Binding("shift+tab", "next_pin(-1)", "pin before", show=False),
        Binding("y", "confirm", "right", show=False),
        Binding("n", "reject", "wrong", show=False),
        Binding("m", "move", "move pin", show=False),
        Binding("x", "remove", "remove pin", show=False),
        Binding("left_square_bracket", "step_found(-1)", "older", show=False),
        Binding("right_square_bracket", "step_found(1)", "newer", show=False),
        Binding("e", "other_end", "other end", show=False),
        Binding("comma", "step_picture(-1)", "picture before", show=False),
        Binding("full_stop", "step_picture(1)", "picture after", show=False),
        Binding("a", "all_of_spot", "all of the spot", show=False),
        Binding("o", "original", "original", show=False),
        Binding("O", "off", "came off", show=False),
        Binding("R", "refitted", "back on", show=False),
    ]
    DEFAULT_CSS = "PictureScreen > #pin { height: 1; padding: 0 1; background: $surface; text-style: bold; }"

    class Opened(Message):
        """A worker has opened the picture, small or whole."""

        def __init__(self, request: int, pyramid: Pyramid) -> None:
            self.request = request
            self.pyramid = pyramid
            super().__init__()

    class Carried(Message):
        """A worker has carried a pin on to other pictures."""

        def __init__(self, words: str) -> None:
            self.words = words
            super().__init__()

    def __init__(self, picture_id: int, *, among: Sequence[int] = (), found: FindEntry | None = None) -> None:
        super().__init__()
        self.picture_id = picture_id
        self.among = tuple(among)
        self.found = found
        self.found_index = 0
        self.marked: list[Marked] = []
        self.current = -1
        self._request = 0
        self._entry: PictureEntry | None = None

    def body(self) -> ComposeResult:
        yield Canvas()
        yield Static(id="pin", markup=False)

    def on_mount(self) -> None:
        self.archive_app.set_up_canvas(self.canvas)
        if self.found is not None:
            self.call_after_refresh(self.show_entry, self.found)
        else:
            self.call_after_refresh(self.show_picture, self.picture_id)

    @property
    def canvas(self) -> Canvas:
        return self.query_one(Canvas)

    @property
    def entry(self) -> PictureEntry:
        """The picture at hand, read once for each showing of it."""
        if self._entry is None or self._entry.picture.picture_id != self.picture_id:
            self._entry = self.service.picture(self.picture_id)
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

    def show_entry(self, entry: FindEntry, index: int | None = None) -> None:
        """Show one of the pictures of a tag end, its as-found picture unless another is asked for."""
        self.found = entry
        pins = entry.pins
        if index is None:
            wanted = entry.as_found.pin.pin_id if entry.as_found else None
            index = next((place for place, pin in enumerate(pins) if pin.pin.pin_id == wanted), 0)
        self.found_index = index
        shown = pins[index] if pins else entry.as_found
        if shown is None:
            self.show_found(entry.tag.number, entry)
            return
        pin = shown.pin
        self.show_picture(pin.picture_id, at_frac=(pin.x_frac, pin.y_frac))
        self._make_current(pin.pin_id)
        as_found = entry.as_found is not None and entry.as_found.pin.pin_id == pin.pin_id
        kind = "as found" if as_found else "later or less good"
        more = f", picture {index + 1} of {len(pins)} ([ ] steps)" if len(pins) > 1 else ""
        self.say(f"{end_words(entry)}: {kind}{more}")

    def _open(self, request: int, picture_id: int) -> None:
        worker = get_current_worker()
        if self.opened.at_hand(picture_id) is None:
            self.post_message(self.Opened(request, self.opened.open_preview(picture_id)))
        if not worker.is_cancelled:
            self.post_message(self.Opened(request, self.opened.open_full(picture_id)))

    def on_picture_screen_opened(self, event: Opened) -> None:
        if event.request == self._request:
            self.canvas.improve(event.pyramid)

    # What is shown around it

    def where(self) -> str:
        entry = self.entry
        picture = entry.picture
        view = self.canvas.target
        closer = f"{view.magnification:.1f}x" if view is not None and not view.is_fit else ""
        taken = moment_with_year(picture.taken_at or picture.taken_local)
        parts = (entry.spot_name, entry.stage, taken, closer, picture.file)
        return " · ".join(["Picture " + str(picture.picture_id), *filter(None, parts)])

    def hints(self) -> Sequence[Hint]:
        mark = self._current_mark
        hints: list[Hint] = []
        if isinstance(mark, ProposalEntry):
            hints += [Hint("y", "y", "right"), Hint("n", "n", "wrong")]
        elif self.found is not None:
            hints += [Hint("right_square_bracket", "[ ]", "others"), Hint("e", "e", "other end")]
        hints.append(Hint("p", "p", "pin here"))
        if self.marked:
            hints.append(Hint("tab", "tab", "next pin"))
        hints += [Hint("plus", "+ -", "zoom"), Hint("full_stop", ", .", "next picture"), Hint("a", "a", "spot")]
        return hints

    def reload(self) -> None:
        self._entry = None
        pins: list[Marked] = [*self.service.pins(self.picture_id), *self.service.proposals(self.picture_id)]
        self.marked = pins
        self.current = min(self.current, len(pins) - 1)
        self._show_marks()

    def _show_marks(self) -> None:
        picture = self.entry.picture
        marks = []
        for index, mark in enumerate(self.marked):
            spot = mark.pin if isinstance(mark, PinEntry) else mark.proposal
            width, height = picture.width_px, picture.height_px
            marks.append(
                PinMark(
                    f"{mark.number}{spot.end}",
                    spot.x_frac * width,
                    spot.y_frac * height,
                    spot.w_frac * width if spot.w_frac else None,
                    spot.h_frac * height if spot.h_frac else None,
                    proposed=isinstance(mark, ProposalEntry),
                    current=index == self.current,
                )
            )
        self.canvas.set_marks(marks)
        self.query_one("#pin", Static).update(self._pin_words())
        self.refresh_lines()

    def _pin_words(self) -> str:
        mark = self._current_mark
        if mark is None:
            if not self.marked:
                return "No pins here. Move the crosshair, type the number, press space to pin it."
            pins = sum(isinstance(mark, PinEntry) for mark in self.marked)
            asked = len(self.marked) - pins
            return f"{pins} pinned" + (f", {asked} proposed: tab goes to them, y right, n wrong" if asked else "")
        if isinstance(mark, ProposalEntry):
            proposal = mark.proposal
            how = "carried here" if proposal.source == "carried" else "read here"
            sure = f"{proposal.confidence:.0%} sure"
            return f"{mark.number} {proposal.end}? {mark.tag_name}, {how}, {sure}: y right, n wrong"
        return f"{mark.number} {mark.pin.end} {mark.tag_name} (pin {self.current + 1} of {len(self.marked)})"

    @property
    def _current_mark(self) -> Marked | None:
        return self.marked[self.current] if 0 <= self.current < len(self.marked) else None

    def _make_current(self, pin_id: int) -> None:
        for index, mark in enumerate(self.marked):
            if isinstance(mark, PinEntry) and mark.pin.pin_id == pin_id:
                self.current = index
        self._show_marks()

    def on_canvas_view_changed(self) -> None:
        self.refresh_lines()

    def on_canvas_pin_clicked(self, event: Canvas.PinClicked) -> None:
        for index, mark in enumerate(self.marked):
            end = mark.pin.end if isinstance(mark, PinEntry) else mark.proposal.end
            if f"{mark.number}{end}" == event.mark.text:
                self.current = index
        self._show_marks()

    def on_canvas_told(self, event: Canvas.Told) -> None:
        super().on_canvas_told(event)
        if event.words.startswith("Colours"):
            self.archive_app.keep_colours(self.canvas.colour)

    def on_canvas_box_drawn(self) -> None:
        self.say("Box drawn. Type the number, press space to pin it; esc forgets the box.")

    # Pins

    def open_number_box(self, words: str) -> None:
        self.number_box.open(words, find=self.service.find, space_words="pins it at the crosshair", makes_new=True)

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        if by_space or self.number_box.title.startswith("Pin"):
            self.pin_number(words)
        else:
            self.show_found(words, entry)

    def action_pin(self) -> None:
        self.number_box.open("", find=self.service.find, title="Pin here", enter_words="pins it here", makes_new=True)

    def pin_number(self, words: str) -> None:
        """Pin a number at the crosshair, or on the box that was drawn."""
        picture = self.entry.picture
        number, end = split_number(words)
        x, y = self.canvas.crosshair
        size: tuple[float | None, float | None] = (None, None)
        if self.canvas.box is not None:
            x0, y0, x1, y1 = self.canvas.box
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            size = (abs(x1 - x0) / picture.width_px, abs(y1 - y0) / picture.height_px)
        at = (x / picture.width_px, y / picture.height_px)
        made = self.attempt(lambda: self.service.add_pin(self.picture_id, number, end, *at, *size))
        if made is None:
            return
        self.canvas.clear_box()
        self.reload()
        self._make_current(made.pin.pin_id)
        self.say(f"Pinned {made.number} {made.pin.end} here. u takes it back.")
        self.in_background(partial(self._carry, made), "carry", exclusive=False)

    def _carry(self, made: PinEntry) -> None:
        carried = self.service.carry_pin(made.pin.pin_id)
        if carried:
            others = "1 other picture" if carried == 1 else f"{carried} other pictures"
            self.post_message(self.Carried(f"{made.number} {made.pin.end} is also proposed on {others} of this spot."))

    def on_picture_screen_carried(self, event: Carried) -> None:
        self.reload()
        self.say(event.words)

    def action_next_pin(self, by: int) -> None:
        if not self.marked:
            self.say("No pins here yet.")
            return
        self.current = (self.current + by) % len(self.marked) if self.current >= 0 else 0
        self._show_marks()
        mark = self.canvas.marks[self.current]
        view = self.canvas.target
        if view is not None and not view.holds_cell(*view.cell_at(mark.x, mark.y)):
            self.canvas.look_at(view.centred(mark.x, mark.y))

    def action_confirm(self) -> None:
        mark = self._proposal()
        if mark is not None:
            made = self.attempt(lambda: self.service.confirm_proposal(mark.proposal))
            if made is not None:
                self.changed(f"{mark.number} {mark.proposal.end} is pinned. u takes it back.")
                self._next_proposal()

    def action_reject(self) -> None:
        mark = self._proposal()
        if mark is not None:
            words = f"{mark.number} {mark.proposal.end} is not there. u takes it back."
            if self.act(lambda: self.service.reject_proposal(mark.proposal), words):
                self._next_proposal()

    def _proposal(self) -> ProposalEntry | None:
        mark = self._current_mark
        if isinstance(mark, ProposalEntry):
            return mark
        proposed = [index for index, mark in enumerate(self.marked) if isinstance(mark, ProposalEntry)]
        if not proposed:
            self.say("Nothing is proposed here.")
            return None
        self.current = proposed[0]
        self._show_marks()
        self.say("This one? y right, n wrong.")
        return None

    def _next_proposal(self) -> None:
        proposed = [index for index, mark in enumerate(self.marked) if isinstance(mark, ProposalEntry)]
        self.current = proposed[0] if proposed else -1
        self._show_marks()

    def _pin(self) -> PinEntry | None:
        mark = self._current_mark
        if isinstance(mark, PinEntry):
            return mark
        self.say("Choose a pin first: tab goes through them." if self.marked else "No pins here yet.")
        return None

    def action_move(self) -> None:
        mark = self._pin()
        if mark is not None:
            picture = self.entry.picture
            x, y = self.canvas.crosshair
            at = (x / picture.width_px, y / picture.height_px)
            self.act(
                lambda: self.service.move_pin(mark.pin.pin_id, *at),
                f"{mark.number} {mark.pin.end} moved to the crosshair. u takes it back.",
            )

    def action_remove(self) -> None:
        mark = self._pin()
        if mark is not None:
            words = f"Pin {mark.number} {mark.pin.end} is gone. u takes it back."
            if self.act(lambda: self.service.delete_pin(mark.pin.pin_id), words):
                self.current = -1
                self._show_marks()

    def action_off(self) -> None:
        mark = self._pin()
        if mark is not None:
            self.act(
                lambda: self.service.mark_off(mark.pin.tag_id),
                f"{mark.number} {mark.tag_name} came off. u takes it back.",
            )

    def action_refitted(self) -> None:
        mark = self._pin()
        if mark is not None:
            self.act(
                lambda: self.service.mark_refitted(mark.pin.tag_id),
                f"{mark.number} {mark.tag_name} is back on, by hand. u takes it back.",
            )

    # Going on

    def _find_current(self) -> FindEntry | None:
        mark = self._current_mark
        if isinstance(mark, PinEntry):
            return self._find_end(mark.pin.tag_id, mark.number, mark.pin.end)
        return self.found

    def _find_end(self, tag_id: int, number: str, end: str) -> FindEntry | None:
        found = self.service.find(number)
        return next((one for one in found if one.tag.tag_id == tag_id and one.end.end == end), None)

    def action_step_found(self, by: int) -> None:
        entry = self._find_current()
        if entry is None:
            self.say("Choose a pin first, or type a number: then [ ] goes through its pictures.")
            return
        here = next(
            (index for index, pin in enumerate(entry.pins) if pin.pin.picture_id == self.picture_id), self.found_index
        )
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
        other = self._find_end(entry.tag.tag_id, entry.tag.number, "B" if entry.end.end == "A" else "A")
        if other is None:
            self.say(f"{entry.tag.number} has one end.")
        elif other.as_found is None:
            self.say(f"{end_words(other)} has no picture. Its place: {other.end.place or 'not written down'}.")
        else:
            self.show_entry(other)

    def action_step_picture(self, by: int) -> None:
        order = self.among or tuple(self.service.pictures_in_time())
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
            self.say("This picture belongs to no spot.")
        else:
            self.archive_app.show_spot(spot_id)

    def action_original(self) -> None:
        path = self.attempt(lambda: self.service.original_path(self.picture_id))
        if path is None:
            return
        if open_in_viewer(path, os.environ):
            self.say(f"Opened {path}")
        else:
            self.app.copy_to_clipboard(str(path))
            self.say(f"{path}")

    def action_back(self) -> None:
        if not self.canvas.clear_box():
            super().action_back()


SCREEN = ScreenEntry("", "Picture", PictureScreen, PictureScreen.ABOUT)
