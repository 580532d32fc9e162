"""A picture with its pins: made at the crosshair, chosen, nudged, swapped, taken away; proposals answered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from textual.app import ComposeResult
from textual.containers import Container
from textual.message import Message

from asfound.actions import log, pinned
from asfound.actions.archive import Archive
from asfound.actions.known import known_tags
from asfound.actions.pin import Box
from asfound.actions.pinned import PinEntry, ProposalEntry, other_end
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, PinProposal
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.keys import Key, bindings_of
from asfound.tui.picture_canvas import PictureCanvas, size_px
from asfound.tui.shown_pins import ShownPins
from asfound.tui.words import count, split_number

PIN_KEYS = tuple(
    replace(key, of="PinnedPicture" if key.action else "")
    for key in (
        Key("y", "confirm", "the proposed pin is right", "right"),
        Key("A", "say_end('A')", "the number read here is end A", "end A"),
        Key("B", "say_end('B')", "the number read here is end B", "end B"),
        Key("n", "reject", "the proposed pin is wrong", "wrong"),
        Key("space", "next_proposal", "next proposed pin, here or in the next picture that has one", "next"),
        Key("m", "move", "move the pin to the crosshair (or the box)", "move"),
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
)


class PinnedPicture(Container):
    """One picture of the archive on a canvas, its pins in hand by keys and mouse.

    Parameters
    ----------
    host : ArchiveScreen
        The screen it is on: what is done is said there, and what the archive refuses.
    show_picture : callable
        Shows another picture, by its id, and calls `take` for it.
    told_again : callable
        Tells anew what stands around the picture; called whenever the pins or the one in hand change.
    """

    DEFAULT_CSS = "PinnedPicture { width: 1fr; height: 1fr; }"
    BINDINGS = [*bindings_of(PIN_KEYS, "PinnedPicture")]

    class Carried(Message):
        """A worker has carried a pin on to other pictures."""

        def __init__(self, after: str, words: str) -> None:
            self.after = after
            self.words = words
            super().__init__()

    def __init__(
        self, host: ArchiveScreen, *, show_picture: Callable[[int], None], told_again: Callable[[], None]
    ) -> None:
        super().__init__()
        self._host = host
        self._show_picture = show_picture
        self._told_again = told_again
        self._picture: Picture | None = None
        self.pins = ShownPins()
        self.canvas = PictureCanvas(host.in_background)

    def compose(self) -> ComposeResult:
        yield self.canvas

    @property
    def _archive(self) -> Archive:
        return self._host.archive

    @property
    def picture(self) -> Picture:
        """The picture at hand."""
        assert self._picture is not None, "keys wait for a picture"
        return self._picture

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys wait for a picture; A and B are free for other things while no end is asked."""
        return self._picture is not None and (action != "say_end" or self.pins.asked_end is not None)

    # Showing them

    def take(self, picture: Picture) -> None:
        """Read the pins and proposals of a picture; the one in hand stays so while it is there."""
        self._picture, picture_id = picture, picture.picture_id
        self.pins.renew([*pinned.pins_on(self._archive, picture_id), *pinned.proposals_on(self._archive, picture_id)])
        self._draw()

    def _draw(self) -> None:
        self.canvas.set_marks(self.pins.marks(self.picture.width_px, self.picture.height_px))
        self._told_again()

    def choose(self, index: int, *, with_crosshair: bool = True) -> None:
        """Take a pin in hand and put the crosshair on it."""
        self.pins.index = index
        self._draw()
        if self.pins.current is None or not with_crosshair:
            return
        mark = self.canvas.marks[index]
        view = self.canvas.target
        if view is not None and not view.holds_cell(*view.cell_at(mark.x, mark.y)):
            self.canvas.look_at(view.centred(mark.x, mark.y))
        self.canvas.put_crosshair(mark.x, mark.y, follow=False)

    def choose_end(self, tag_id: int, end: str) -> None:
        """Take the pin of a tag end in hand, if it is on this picture."""
        place = self.pins.place_of(tag_id, end)
        if place is not None:
            self.choose(place, with_crosshair=False)

    def on_canvas_pin_clicked(self, event: Canvas.PinClicked) -> None:
        self.choose(self.canvas.marks.index(event.mark))

    def on_canvas_pin_dragged(self, event: Canvas.PinDragged) -> None:
        event.prevent_default()
        self.choose(self.canvas.marks.index(event.mark), with_crosshair=False)
        self.action_move()

    def on_canvas_box_drawn(self) -> None:
        self._host.say("Box drawn: type a number and space to pin it; m gives it to the chosen pin; esc drops it.")

    # Making them

    def action_pin(self) -> None:
        host = self._host
        host.number_box.open("", find=host.find, title="Pin", enter_words="pins {}", pins=("enter", "space"))

    def pin_number(self, words: str) -> None:
        """Pin a number at the crosshair, or at the box that was drawn; carry it on in the background."""
        number, end = split_number(words)
        picture_id, aim = self.picture.picture_id, self._aim()
        made = self._host.attempt(lambda: pinned.pin_number(self._archive, picture_id, number, end, aim))
        if made is None:
            return
        self.canvas.clear_box()
        self.take(self.picture)
        self.choose_end(made.pin.tag_id, made.pin.end)
        name = f" {made.tag_name}" if made.tag_name else ""
        self._say_and_carry(made, f"Pinned {made.number} {made.pin.end}{name}. u takes it back.")

    def _aim(self) -> Box:
        """The crosshair, or the box that was drawn."""
        return Box(*self.canvas.pointer.aim_frac(*size_px(self.picture)))

    def _say_and_carry(self, made: PinEntry, said: str) -> None:
        self._host.say(said)
        self._host.in_background(partial(self._carry, made, said), "carry", exclusive=False)

    def _carry(self, made: PinEntry, said: str) -> None:
        carried = pinned.carry_on(self._archive, made.pin.pin_id)
        if carried:
            others = count(carried, "other picture")
            self.post_message(self.Carried(said, f"{said} It is also proposed on {others} of this spot."))

    def on_pinned_picture_carried(self, event: Carried) -> None:
        """Tell it beside the pin; what was said since, such as that it was taken back, stays."""
        self._host.reload()
        if self._host.said_words == event.after:
            self._host.say(event.words)

    # Changing them

    def _pin(self) -> PinEntry | None:
        if self.pins.pin is None:
            marked = self.pins.marked
            self._host.say("Choose a pin first: tab goes through them." if marked else "No pins here yet.")
        return self.pins.pin

    def action_next_pin(self, by: int) -> None:
        if self.pins.marked:
            self.choose(self.pins.step(by))
        else:
            self._host.say("No pins here yet.")

    def action_move(self) -> None:
        mark = self._pin()
        if mark is None:
            return
        aim = self._aim()
        where = "crosshair" if self.canvas.box is None else "box"
        words = f"{mark.number} {mark.pin.end} moved to the {where}. u takes it back."
        if self._host.act(lambda: pinned.move_pin(self._archive, mark.pin.pin_id, aim), words):
            self.canvas.clear_box()

    def action_remove(self) -> None:
        mark = self._pin()
        if mark is not None:
            words = f"Pin {mark.number} {mark.pin.end} is removed. u takes it back."
            if self._host.act(lambda: pinned.remove_pin(self._archive, mark.pin.pin_id), words):
                self.choose(-1)

    def action_swap(self) -> None:
        mark = self._pin()
        if mark is None:
            return
        picture_id, tag_id = self.picture.picture_id, mark.pin.tag_id
        ends = self._host.attempt(lambda: pinned.swap_ends(self._archive, picture_id, tag_id))
        if ends is not None:
            both = f"A and B of {mark.number} are swapped on this picture."
            words = both if len(ends) == 2 else f"This is now end {ends[0]} of {mark.number}."
            self._host.changed(f"{words} u takes it back.")
            self.choose_end(tag_id, other_end(mark.pin.end))

    def action_off(self) -> None:
        mark, archive = self._pin(), self._archive
        if mark is not None:
            words = f"{mark.number} {mark.tag_name} came off. u takes it back."
            self._host.act(lambda: log.mark_off(archive, known_tags(archive)[mark.pin.tag_id]), words)

    def action_refitted(self) -> None:
        mark, archive = self._pin(), self._archive
        if mark is not None:
            words = f"{mark.number} {mark.tag_name} is back on, by hand. u takes it back."
            mine = known_tags(archive)[mark.pin.tag_id]
            self._host.act(lambda: log.mark_refitted(archive, mine, how="by hand"), words)

    # Answering proposals

    def action_confirm(self) -> None:
        mark = self._proposal()
        if mark is not None and mark.other is not None:
            self._host.say(f"Which end of {mark.number} is it? Press capital A or B; n if neither.")
        elif mark is not None:
            self._confirm(mark.proposal)

    def action_say_end(self, end: EndLetter) -> None:
        mark = self.pins.asked_end
        proposal = mark.of_end(end) if mark is not None else None
        if proposal is not None:
            self._confirm(proposal)

    def _confirm(self, proposal: PinProposal) -> None:
        made = self._host.attempt(lambda: pinned.confirm(self._archive, proposal))
        if made is None:
            return
        said = f"{made.number} {made.pin.end} is pinned. u takes it back."
        self._host.changed(said)
        self._go_to_proposal()
        if proposal.source == "read":  # the first pin of it: the others of the spot may show it too
            self._say_and_carry(made, said)

    def action_reject(self) -> None:
        mark = self._proposal()
        if mark is not None:
            words = f"{mark.called} is not there. u takes it back."
            if self._host.act(lambda: pinned.reject_many(self._archive, mark.both), words):
                self._go_to_proposal()

    def action_next_proposal(self) -> None:
        after = self.pins.index
        if self.pins.proposed(after):
            self._go_to_proposal(after)
            return
        others = pinned.pictures_to_answer(self._archive, after=self.picture.picture_id)
        if others:
            self._show_picture(others[0])
            self._host.say(f"This one? y right, n wrong. {count(len(others), 'picture')} with proposed pins.")
        elif not self.pins.proposed():
            self._host.say("No picture has a proposed pin.")
            return
        self._go_to_proposal()

    def _proposal(self) -> ProposalEntry | None:
        if self.pins.proposal is not None:
            return self.pins.proposal
        if not self.pins.proposed():
            self._host.say("Nothing is proposed here. space goes to the next picture with a proposed pin.")
            return None
        self._go_to_proposal()
        self._host.say("This one? y right, n wrong.")
        return None

    def _go_to_proposal(self, after: int = -1) -> None:
        self.choose(next(iter(self.pins.proposed(after)), -1))
