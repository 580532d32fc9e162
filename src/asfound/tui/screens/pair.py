"""Before and after: two pictures of a spot looked at through one window, and what a person says of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult
from textual.message import Message

from asfound.actions.look_over import ToLookOver
from asfound.actions.spot_list import pairs_of_spot, read_spot
from asfound.actions.spots import make_pair, refuse_pair
from asfound.model.pictures import Pair, Picture
from asfound.output.cells.labels import PinMark
from asfound.store.pictures import get_picture
from asfound.tui.answering import ANSWER, END_SNAG, LookAnswers
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.difference_boxes import DifferenceBoxes
from asfound.tui.differing import WhatDiffers, what_differs
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPicture
from asfound.tui.keys import UNDO, Key
from asfound.tui.links import shifted
from asfound.tui.pairs_in_turn import PairsInTurn
from asfound.tui.two_pictures import TwoPictures
from asfound.tui.words import spot_words, taken_words

FLIP = Key("x,space", "flip", "flip between before and after", "flip")
BLINK = Key("v", "blink", "blink between the two; v again stops it", "blink")
NEXT_BOX = Key(
    "shift+tab,tab",
    "next_difference({by})",
    "go to the next difference (shift+tab: the one before)",
    shown="tab",
)


class PairScreen(ArchiveScreen):
    ABOUT = (
        "Before and after of one spot. From 100 columns they stand side by side and move together, before on the left; "
        "on a smaller screen x flips between them in place. Where the machine could match them, both show the same "
        "place however the camera was held. f draws boxes where something seems to differ: places to look at, "
        "no verdict, and the list is not full. a writes down what you say of a thing that went back: right, wrong, or "
        "can't tell. It is your word; the machine's service manual comes before it."
    )
    KEYS = (
        END_SNAG,
        FLIP,
        Key("f", "differences", "show or hide boxes where something seems to differ", "what differs|boxes"),
        NEXT_BOX,
        Key("y", "confirm", "these two are a pair; n: they are not a pair", "pair, or not|pair?", shown="y n"),
        ANSWER,
        Key("left_square_bracket,right_square_bracket", "step({by})", "the pair before, after", "pair"),
        Key("comma,full_stop", "other_picture({by})", "show another picture of the spot", "other picture|other"),
        BLINK,
        Key("plus,minus", "", "", "zoom", shown="+ -"),
        Key("enter", "open", "open the picture", "open"),
        Key("n", "reject", "these are not a pair"),
        UNDO,
    )

    class Compared(Message):
        """A worker knows what differs."""

        def __init__(self, pair: Pair, found: WhatDiffers | None) -> None:
            self.pair = pair
            self.found = found
            super().__init__()

    def __init__(
        self, spot_id: int | None, *, looks: Sequence[ToLookOver] = (), two: tuple[int, int] | None = None
    ) -> None:
        super().__init__()
        self.first_two = two
        self.spot_id = spot_id
        self.looks = tuple(looks)
        """Refit pictures of one thing beside how it was, when the screen was opened for that thing."""
        self.turn = PairsInTurn(spot_id)
        self.boxes = DifferenceBoxes()
        self.answers = LookAnswers(self)

    def body(self) -> ComposeResult:
        yield TwoPictures(self.in_background)

    @property
    def two(self) -> TwoPictures:
        return self.query_one(TwoPictures)

    def on_mount(self) -> None:
        self.reload()
        self.turn.begin(self.first_two, self._pictures())
        if self.turn.tried is not None:
            self.say("Not a pair yet; y makes them one. , and . show other pictures.")
        self.call_after_refresh(self._show_pair)

    def reload(self) -> None:
        if self.looks:
            self.turn.renew([Pair(self.spot_id or 0, *one.both_ids, "refitted", 1.0) for one in self.looks])
        elif self.spot_id is not None:
            self.turn.renew(pairs_of_spot(self.archive, self.spot_id))

    @property
    def pair(self) -> Pair | None:
        return self.turn.pair

    @property
    def look(self) -> ToLookOver | None:
        """The thing that is looked over."""
        return self.looks[self.turn.index] if self.looks and self.turn.tried is None else None

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        return (self.look.tag.tag_id, self.look.end.end) if self.look is not None else None

    def _pictures(self) -> tuple[int, ...]:
        return read_spot(self.archive, self.spot_id).spot.picture_ids if self.spot_id is not None else ()

    def _show_pair(self) -> None:
        self.answers.called_right = None
        self.boxes.clear()
        self.two.show(self.pair)
        look, before = self.look, self.two.before
        view = before.target
        if look is not None and view is not None:
            at = look.before_at[0] * view.picture_w, look.before_at[1] * view.picture_h
            before.look_at(view.reading(*at))
            before.put_crosshair(*at, follow=False)
        self._show_marks()
        self.refresh_lines()

    def on_two_pictures_linked(self) -> None:
        look, link = self.look, self.two.link
        if look is not None and link is not None and look.after_at is not None:
            # A pin says better where the end is than the plane through the whole picture does.
            self.two.take_link(shifted(link, look.before_at, look.after_at))
        self._show_marks()
        self.refresh_lines()

    def on_two_pictures_turned(self) -> None:
        self.refresh_lines()

    def on_canvas_view_changed(self) -> None:
        self.refresh_lines()

    def _show_marks(self) -> None:
        """The boxes, and the thing that is looked over, on both pictures."""
        before, after, link = self.two.before, self.two.after, self.two.link
        back = link.reversed() if link is not None else None
        after.set_marks([*self.boxes.marks_after(after.target), *self._pins_on(after)])
        before.set_marks([*self.boxes.marks_before(before.target, back), *self._pins_on(before)])

    # What is shown around them

    def where(self) -> str:
        pair = self.pair
        spot = spot_words(read_spot(self.archive, self.spot_id).spot) if self.spot_id is not None else "no spot"
        if pair is None:
            return spot
        before, after = map(taken_words, self._both(pair))
        look = self.look
        about = (look.tag.name or look.tag.kind) if look is not None else spot
        kind = "not a pair yet: y makes it one" if self.turn.tried is not None else pair.kind
        what = self.answers.look_label(look) if look is not None else kind
        linked = "" if self.two.link is not None else " · not matched"
        # The name comes last: on a narrow screen it is cut, and stands on the card of the thing too.
        return " · ".join([self.two.words, what, f"{before} → {after}{linked}", about])

    def words_of_key(self, key: Key) -> str | None:
        number, many = self.turn.index + 1, max(1, len(self.turn.pairs))
        if key == END_SNAG and not self.answers.open_snags():
            return None
        if key == FLIP and self.two.both_are_seen:
            return "other side|side"
        if key.action == "step({by})":
            return f"pair {number} of {many}|{number}/{many}" if self.turn.tried is None else None
        return key.short

    def foot_keys(self) -> Sequence[Key]:
        """Of a thing that is looked over the answer goes first, of a spot's pair whether it is one."""
        yes = next(key for key in self.KEYS if key.action == "confirm")
        others = [key for key in self.KEYS if key not in (yes, ANSWER)]
        first, rest = (ANSWER, yes) if self.looks else (yes, ANSWER)
        place, last = others.index(NEXT_BOX), others.index(BLINK) + 1
        return [*others[:place], first, *others[place:last], rest, *others[last:]]

    def _pins_on(self, canvas: Canvas) -> list[PinMark]:
        look = self.look
        if look is None:
            return []
        return self.two.marks_of(self.answers.look_label(look), look.before_at, look.after_at, canvas)

    # Looking

    def action_flip(self) -> None:
        self.two.flip()

    def action_blink(self) -> None:
        blinks = self.two.blink()
        self.say("Blinking: what jumps has changed, or is nearer. v stops it." if blinks else "Stopped blinking.")
        self.refresh_lines()

    def on_screen_suspend(self) -> None:
        super().on_screen_suspend()
        if self.two.blinks:
            self.two.blink()

    def action_differences(self) -> None:
        pair = self.pair
        if pair is None:
            return
        if self.boxes.boxes:
            self.boxes.clear()
            self._show_marks()
            self.say("")
            return
        self.say("Comparing the two pictures ...")
        self.in_background(partial(self._compare, pair), "compare")

    def _compare(self, pair: Pair) -> None:
        self.post_message(self.Compared(pair, what_differs(self.archive, pair.before_id, pair.after_id)))

    def on_pair_screen_compared(self, event: Compared) -> None:
        if event.pair != self.pair:
            return
        if event.found is None:
            self.say("The two could not be lined up; compare them by eye with x.")
            return
        said = self.boxes.take(event.found)
        self._show_marks()
        self.say(said)

    def action_next_difference(self, by: int) -> None:
        if not self.boxes.boxes:
            self.say("Press f first to look for differences.")
            return
        said = self.boxes.go_on(by)
        self._show_marks()
        self.two.go_to_current()
        self.say(said)

    # Which two

    def action_step(self, by: int) -> None:
        if self.turn.step(by):
            self._show_pair()
        else:
            self.say("No more pairs that way.")

    def action_other_picture(self, by: int) -> None:
        """Put the picture before or after the one in front in its place."""
        if self.pair is None or self.spot_id is None:
            return
        in_front = self.turn.exchange(by, self._pictures(), after_in_front=self.two.after_in_front)
        if in_front is None:
            self.say("No more pictures of this spot that way.")
            return
        self.two.after_in_front = in_front
        self.two.put_side_by_side()
        self._show_pair()

    # Answers

    def action_answer(self) -> None:
        if self.pair is not None:
            self.answers.ask(self.pair, self.look)

    def action_end_snag(self) -> None:
        self.answers.end_snag()

    def action_confirm(self) -> None:
        pair = self.pair
        if pair is None:
            return
        words = "Kept as a pair. u takes it back."
        if self.act(lambda: make_pair(self.archive, *self._both(pair)), words) and self.turn.tried is not None:
            self.turn.take(pair.before_id, pair.after_id)
            self.refresh_lines()

    def _both(self, pair: Pair) -> tuple[Picture, Picture]:
        store = self.archive.store
        return get_picture(store, pair.before_id), get_picture(store, pair.after_id)

    def action_reject(self) -> None:
        pair = self.pair
        if pair is None:
            return
        self.turn.tried = None
        words = "Not a pair any more. u takes it back."
        if self.act(lambda: refuse_pair(self.archive, pair.before_id, pair.after_id), words):
            self._show_pair()

    def action_open(self) -> None:
        pair = self.pair
        if pair is not None:
            self.post_message(ShowPicture(pair.after_id if self.two.after_in_front else pair.before_id))


SCREEN = ScreenEntry("", "Before and after", PairScreen, PairScreen.ABOUT)
