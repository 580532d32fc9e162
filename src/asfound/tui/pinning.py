"""Pins on a picture: made at the crosshair, chosen, nudged, swapped, taken away; proposals answered."""

from __future__ import annotations

from abc import abstractmethod
from functools import partial
from typing import ClassVar

from textual.message import Message
from textual.widgets import Static

from asfound.actions import log, pinned
from asfound.actions.ends import FindEntry
from asfound.actions.known import known_pictures, known_tags
from asfound.actions.picture_list import ListedPicture
from asfound.actions.pin import Box
from asfound.actions.pinned import PinEntry, ProposalEntry, other_end
from asfound.model.tags import EndLetter, Pin, PinProposal
from asfound.output.cells.labels import PinMark
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.keys import Key
from asfound.tui.words import count, split_number

Marked = PinEntry | ProposalEntry

PIN_KEYS = (
    Key("y", "confirm", "the proposed pin is right", "right"),
    Key("A", "say_end('A')", "end A it is, of a number that was read", "end A"),
    Key("B", "say_end('B')", "end B it is", "end B"),
    Key("n", "reject", "the proposed pin is wrong", "wrong"),
    Key("space", "next_proposal", "next proposed pin, in this picture or the next one that has some", "next"),
    Key("m", "move", "nudge the pin: m puts it where the crosshair (or the box) is", "move"),
    Key("x", "remove", "remove the pin", "take away"),
    Key("p,enter", "pin", "pin here: asks for the number, Enter pins it", "pin here"),
    Key(
        "shift+tab,tab",
        "next_pin({by})",
        "next pin (shift+tab: the one before); the crosshair goes to it",
        "next pin",
        shown="tab",
    ),
    Key("X", "swap", "swap ends A and B here, or change the letter of the only pin"),
    Key("O", "off", "the pinned thing came off"),
    Key("R", "refitted", "the pinned thing is back on"),
    Key("", "", "pin this number at the crosshair; add a or b for the end", shown="number, space"),
)


class Pinning(ArchiveScreen):
    """The pins of the picture that a canvas shows."""

    KEYS: ClassVar[tuple[Key, ...]] = PIN_KEYS

    def __init__(self, picture_id: int) -> None:
        super().__init__()
        self.picture_id = picture_id
        self.marked: list[Marked] = []
        self.current = -1

    class Carried(Message):
        """A worker has carried a pin on to other pictures."""

        def __init__(self, after: str, words: str) -> None:
            self.after = after
            self.words = words
            super().__init__()

    @property
    @abstractmethod
    def entry(self) -> ListedPicture:
        """The picture at hand."""

    @abstractmethod
    def show_picture(self, picture_id: int) -> None:
        """Show another picture."""

    @abstractmethod
    def pin_words(self) -> str:
        """The lines below the picture."""

    @property
    def canvas(self) -> Canvas:
        return self.query_one(Canvas)

    @property
    def current_mark(self) -> Marked | None:
        return self.marked[self.current] if 0 <= self.current < len(self.marked) else None

    # Showing them

    def load_marks(self) -> None:
        """Read the pins and proposals of the picture; the current one stays current while it is there."""
        marked: list[Marked] = [
            *pinned.pins_on(self.archive, self.picture_id),
            *pinned.proposals_on(self.archive, self.picture_id),
        ]
        self.marked = marked
        self.current = min(self.current, len(marked) - 1)
        self.show_marks()

    def show_marks(self) -> None:
        picture = self.entry.picture
        width, height = picture.width_px, picture.height_px
        marks = []
        for index, mark in enumerate(self.marked):
            at = place_of(mark)
            marks.append(
                PinMark(
                    mark.label if isinstance(mark, ProposalEntry) else f"{mark.number}{at.end}",
                    at.x_frac * width,
                    at.y_frac * height,
                    at.w_frac * width if at.w_frac else None,
                    at.h_frac * height if at.h_frac else None,
                    proposed=isinstance(mark, ProposalEntry),
                    current=index == self.current,
                )
            )
        self.canvas.set_marks(marks)
        self.query_one("#pin", Static).update(self.pin_words())
        self.refresh_lines()

    def choose(self, index: int, *, with_crosshair: bool = True) -> None:
        """Make a pin the current one and put the crosshair on it."""
        self.current = index
        self.show_marks()
        if not 0 <= index < len(self.marked) or not with_crosshair:
            return
        mark = self.canvas.marks[index]
        view = self.canvas.target
        if view is not None and not view.holds_cell(*view.cell_at(mark.x, mark.y)):
            self.canvas.look_at(view.centred(mark.x, mark.y))
        self.canvas.put_crosshair(mark.x, mark.y, follow=False)

    def choose_end(self, tag_id: int, end: str) -> None:
        """Make the pin of a tag end the current one, if it is on this picture."""
        for index, mark in enumerate(self.marked):
            at = place_of(mark)
            if (at.tag_id, at.end) == (tag_id, end):
                self.choose(index, with_crosshair=False)

    def on_canvas_pin_clicked(self, event: Canvas.PinClicked) -> None:
        self.choose(self.canvas.marks.index(event.mark))

    def on_canvas_pin_dragged(self, event: Canvas.PinDragged) -> None:
        event.prevent_default()
        self.choose(self.canvas.marks.index(event.mark), with_crosshair=False)
        self.action_move()

    def on_canvas_box_drawn(self) -> None:
        self.say("Box drawn: type a number and space to pin it; m gives it to the chosen pin; esc drops it.")

    # Making them

    def open_number_box(self, words: str) -> None:
        self.number_box.open(words, find=self.find, space_words="pins {} at the crosshair", pins=("space",))

    def action_pin(self) -> None:
        self.number_box.open("", find=self.find, title="Pin", enter_words="pins {}", pins=("enter", "space"))

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        if by_space or self.number_box.title == "Pin":
            self.pin_number(words)
        else:
            self.show_found(words, entry)

    def pin_number(self, words: str) -> None:
        """Pin a number at the crosshair, or at the box that was drawn; carry it on in the background."""
        number, end = split_number(words)
        made = self.attempt(lambda: pinned.pin_number(self.archive, self.picture_id, number, end, self._aim()))
        if made is None:
            return
        self.canvas.clear_box()
        self.load_marks()
        self.choose_end(made.pin.tag_id, made.pin.end)
        name = f" {made.tag_name}" if made.tag_name else ""
        said = f"Pinned {made.number} {made.pin.end}{name}. u takes it back."
        self.say(said)
        self.in_background(partial(self._carry, made, said), "carry", exclusive=False)

    def _aim(self) -> Box:
        """The crosshair, or the middle and size of the box that was drawn, in fractions."""
        picture = self.entry.picture
        if self.canvas.box is None:
            x, y = self.canvas.crosshair
            return Box(x / picture.width_px, y / picture.height_px)
        x0, y0, x1, y1 = self.canvas.box
        across, down = abs(x1 - x0) / picture.width_px, abs(y1 - y0) / picture.height_px
        return Box((x0 + x1) / 2 / picture.width_px, (y0 + y1) / 2 / picture.height_px, across or None, down or None)

    def _carry(self, made: PinEntry, said: str) -> None:
        carried = pinned.carry_on(self.archive, made.pin.pin_id)
        if carried:
            others = count(carried, "other picture")
            self.post_message(self.Carried(said, f"{said} It is also proposed on {others} of this spot."))

    def on_pinning_carried(self, event: Carried) -> None:
        """Tell it beside the pin; what was said since, such as that it was taken back, stays."""
        self.reload()
        if self.said_words == event.after:
            self.say(event.words)

    # Changing them

    def _pin(self) -> PinEntry | None:
        mark = self.current_mark
        if isinstance(mark, PinEntry):
            return mark
        self.say("Choose a pin first: tab goes through them." if self.marked else "No pins here yet.")
        return None

    def action_next_pin(self, by: int) -> None:
        if not self.marked:
            self.say("No pins here yet.")
            return
        self.choose((self.current + by) % len(self.marked) if self.current >= 0 else 0)

    def action_move(self) -> None:
        mark = self._pin()
        if mark is None:
            return
        aim = self._aim()
        where = "crosshair" if self.canvas.box is None else "box"
        words = f"{mark.number} {mark.pin.end} moved to the {where}. u takes it back."
        if self.act(lambda: pinned.move_pin(self.archive, mark.pin.pin_id, aim), words):
            self.canvas.clear_box()

    def action_remove(self) -> None:
        mark = self._pin()
        if mark is not None:
            words = f"Pin {mark.number} {mark.pin.end} is removed. u takes it back."
            if self.act(lambda: pinned.remove_pin(self.archive, mark.pin.pin_id), words):
                self.choose(-1)

    def action_swap(self) -> None:
        mark = self._pin()
        if mark is None:
            return
        ends = self.attempt(lambda: pinned.swap_ends(self.archive, self.picture_id, mark.pin.tag_id))
        if ends is not None:
            both = f"A and B of {mark.number} are swapped on this picture."
            words = both if len(ends) == 2 else f"This is now end {ends[0]} of {mark.number}."
            self.changed(f"{words} u takes it back.")
            self.choose_end(mark.pin.tag_id, other_end(mark.pin.end))

    def action_off(self) -> None:
        mark = self._pin()
        if mark is not None:
            self.act(
                lambda: log.mark_off(self.archive, known_tags(self.archive)[mark.pin.tag_id]),
                f"{mark.number} {mark.tag_name} came off. u takes it back.",
            )

    def action_refitted(self) -> None:
        mark = self._pin()
        if mark is not None:
            self.act(
                lambda: log.mark_refitted(self.archive, known_tags(self.archive)[mark.pin.tag_id], how="by hand"),
                f"{mark.number} {mark.tag_name} is back on, by hand. u takes it back.",
            )

    # Answering proposals

    def action_confirm(self) -> None:
        mark = self._proposal()
        if mark is not None and mark.other is not None:
            self.say(f"Which end of {mark.number} is it? Press capital A or B; n if neither.")
        elif mark is not None:
            self._confirm(mark.proposal)

    @property
    def asked_end(self) -> ProposalEntry | None:
        """The chosen proposal, when it is asked of it which end it is."""
        mark = self.current_mark
        return mark if isinstance(mark, ProposalEntry) and mark.other is not None else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A and B are free for other things while no end is asked."""
        return action != "say_end" or self.asked_end is not None

    def action_say_end(self, end: EndLetter) -> None:
        mark = self.asked_end
        proposal = mark.of_end(end) if mark is not None else None
        if proposal is not None:
            self._confirm(proposal)

    def _confirm(self, proposal: PinProposal) -> None:
        made = self.attempt(lambda: pinned.confirm(self.archive, proposal))
        if made is not None:
            said = f"{made.number} {made.pin.end} is pinned. u takes it back."
            self.changed(said)
            self._go_to_proposal()
            if proposal.source == "read":  # the first pin of it: the others of the spot may show it too
                self.in_background(partial(self._carry, made, said), "carry", exclusive=False)

    def action_reject(self) -> None:
        mark = self._proposal()
        if mark is not None:
            words = f"{mark.called} is not there. u takes it back."
            if self.act(lambda: pinned.reject_many(self.archive, mark.both), words):
                self._go_to_proposal()

    def action_next_proposal(self) -> None:
        if self._proposed(after=self.current):
            self._go_to_proposal(after=self.current)
            return
        waiting = pinned.pictures_to_answer(self.archive)
        others = [picture_id for picture_id in waiting if picture_id != self.picture_id]
        if not others:
            if self._proposed():
                self._go_to_proposal()
            else:
                self.say("No picture has a proposed pin.")
            return
        order = list(known_pictures(self.archive))
        here = order.index(self.picture_id) if self.picture_id in order else 0
        later = [picture_id for picture_id in others if picture_id in order and order.index(picture_id) > here]
        self.show_picture((later or others)[0])
        self._go_to_proposal()
        self.say(f"This one? y right, n wrong. {count(len(others), 'picture')} with proposed pins.")

    def _proposal(self) -> ProposalEntry | None:
        mark = self.current_mark
        if isinstance(mark, ProposalEntry):
            return mark
        if not self._proposed():
            self.say("Nothing is proposed here. space goes to the next picture with a proposed pin.")
            return None
        self._go_to_proposal()
        self.say("This one? y right, n wrong.")
        return None

    def _proposed(self, after: int = -1) -> list[int]:
        return [i for i, mark in enumerate(self.marked) if isinstance(mark, ProposalEntry) and i > after]

    def _go_to_proposal(self, after: int = -1) -> None:
        self.choose(next(iter(self._proposed(after)), -1))


def place_of(mark: Marked) -> Pin | PinProposal:
    """The pin or proposal itself: its tag, end, place and box."""
    return mark.pin if isinstance(mark, PinEntry) else mark.proposal
