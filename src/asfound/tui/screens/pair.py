"""Before and after: two pictures of a spot looked at through one window, and what a person says of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult
from textual.message import Message

from asfound.actions.look_over import ToLookOver
from asfound.actions.spot_list import pairs_of_spot, read_spot
from asfound.actions.spots import make_pair, refuse_pair
from asfound.model.pictures import Pair
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
from asfound.tui.links import ShiftedLink
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
        Key(
            "y",
            "confirm",
            "these two are a pair; n: they are not a pair",
            "pair, or not|pair?",
            shown="y n",
        ),
        ANSWER,
        Key("left_square_bracket,right_square_bracket", "step({by})", "the pair before, after", "pair"),
        Key(
            "comma,full_stop",
            "other_picture({by})",
            "show another picture of the spot",
            "other picture|other",
        ),
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
        self.index = 0
        self.pairs: list[Pair] = []
        self.tried: Pair | None = None
        """Two pictures that nobody has called a pair yet."""
        self.boxes = DifferenceBoxes()
        self.answers = LookAnswers(self)

    def body(self) -> ComposeResult:
        yield TwoPictures(self.in_background)

    @property
    def two(self) -> TwoPictures:
        return self.query_one(TwoPictures)

    @property
    def is_linked(self) -> bool:
        """Whether the two can be laid over each other."""
        return self.two.link is not None

    def on_mount(self) -> None:
        self.reload()
        self._begin()
        self.call_after_refresh(self._show_pair)

    def reload(self) -> None:
        if self.looks:
            self.pairs = [Pair(self.spot_id or 0, *one.both_ids, "refitted", 1.0) for one in self.looks]
        elif self.spot_id is not None:
            self.pairs = pairs_of_spot(self.archive, self.spot_id)
        self.index = max(0, min(self.index, len(self.pairs) - 1))

    @property
    def pair(self) -> Pair | None:
        return self.tried or (self.pairs[self.index] if self.pairs else None)

    @property
    def look(self) -> ToLookOver | None:
        """The thing that is looked over."""
        return self.looks[self.index] if self.looks and self.tried is None else None

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        return (self.look.tag.tag_id, self.look.end.end) if self.look is not None else None

    def _begin(self) -> None:
        """Show the two that were asked for; where there is no pair, the first and the last picture."""
        pictures = self._pictures()
        if self.first_two is not None:
            self._try(*self.first_two)
        elif not self.pairs and len(pictures) > 1:
            self._try(pictures[0], pictures[-1])
        if self.tried is not None:
            self.say("Not a pair yet; y makes them one. , and . show other pictures.")

    def _try(self, before_id: int, after_id: int) -> None:
        """Look at two pictures, which may be a pair or not."""
        known = [(one.before_id, one.after_id) for one in self.pairs]
        self.tried = None
        if (before_id, after_id) in known:
            self.index = known.index((before_id, after_id))
        else:
            self.tried = Pair(self.spot_id or 0, before_id, after_id, "changed", 0.0)

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
        place = link.place_of(*look.before_at) if link is not None and look is not None else None
        if look is not None and link is not None and look.after_at is not None and place is not None:
            # A pin says better where the end is than the plane through the whole picture does.
            self.two.take_link(ShiftedLink(link, look.after_at[0] - place[0], look.after_at[1] - place[1]))
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
        before, after = (taken_words(get_picture(self.archive.store, one)) for one in (pair.before_id, pair.after_id))
        front = (
            "BEFORE left, AFTER right" if self.two.both_are_seen else "AFTER" if self.two.after_in_front else "BEFORE"
        )
        look = self.look
        about = (look.tag.name or look.tag.kind) if look is not None else spot
        kind = "not a pair yet: y makes it one" if self.tried is not None else pair.kind
        linked = "" if self.is_linked else " · not matched"
        # The name comes last: on a narrow screen it is cut, and stands on the card of the thing too.
        return " · ".join(
            [front, self.answers.look_label(look) if look is not None else kind, f"{before} → {after}{linked}", about]
        )

    def words_of_key(self, key: Key) -> str | None:
        number, many = self.index + 1, max(1, len(self.pairs))
        if key == END_SNAG and not self.answers.open_snags():
            return None
        if key == FLIP and self.two.both_are_seen:
            return "other side|side"
        if key.action == "step({by})":
            return f"pair {number} of {many}|{number}/{many}" if self.tried is None else None
        return key.short

    def foot_keys(self) -> Sequence[Key]:
        """Of a thing that is looked over the answer goes first, of a spot's pair whether it is one."""
        yes = next(key for key in self.KEYS if key.action == "confirm")
        others = [key for key in self.KEYS if key not in (yes, ANSWER)]
        first, rest = (ANSWER, yes) if self.looks else (yes, ANSWER)
        place, last = others.index(NEXT_BOX), others.index(BLINK) + 1
        return [*others[:place], first, *others[place:last], rest, *others[last:]]

    def _pins_on(self, canvas: Canvas) -> list[PinMark]:
        look, view, link = self.look, canvas.target, self.two.link
        at = None if look is None else look.before_at if canvas is self.two.before else look.after_at
        if at is None and look is not None and link is not None:
            place = link.place_of(*look.before_at)
            at = place[:2] if place is not None else None
        if look is None or view is None or at is None:
            return []
        label = self.answers.look_label(look)
        return [PinMark(label, at[0] * view.picture_w, at[1] * view.picture_h, None, None)]

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
        said, front = self.boxes.go_on(by), self.two.front
        self._show_marks()
        mark = next((one for one in front.marks if one.current), None)
        view = front.target
        if mark is not None and view is not None:
            wide = max(mark.w or 1.0, (mark.h or 1.0)) * 2.2
            front.look_at(view.centred(mark.x, mark.y, max(wide / view.columns, 1.0)))
            front.put_crosshair(mark.x, mark.y, follow=False)
        self.say(said)

    # Which two

    def action_step(self, by: int) -> None:
        index = self.index + by
        if self.tried is not None and self.pairs:
            self.tried = None
            self._show_pair()
        elif 0 <= index < len(self.pairs):
            self.index = index
            self._show_pair()
        else:
            self.say("No more pairs that way.")

    def action_other_picture(self, by: int) -> None:
        """Put the picture before or after the one in front in its place."""
        pair, pictures = self.pair, self._pictures()
        if pair is None or self.spot_id is None:
            return
        shown, behind = pair.after_id, pair.before_id
        if not self.two.after_in_front:
            shown, behind = behind, shown
        others = [one for one in pictures if one != behind]
        place = others.index(shown) + by if shown in others else 0
        if not 0 <= place < len(others):
            self.say("No more pictures of this spot that way.")
            return
        # The earlier of the two is before, whichever is in front.
        before, after = sorted((others[place], behind), key=pictures.index)
        self.two.after_in_front = others[place] == after
        self._try(before, after)
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
        if self.act(lambda: self._make_pair(pair), words) and self.tried is not None:
            self._try(pair.before_id, pair.after_id)
            self.refresh_lines()

    def _make_pair(self, pair: Pair) -> None:
        before, after = (get_picture(self.archive.store, one) for one in (pair.before_id, pair.after_id))
        make_pair(self.archive, before, after)

    def action_reject(self) -> None:
        pair = self.pair
        if pair is None:
            return
        self.tried = None
        words = "Not a pair any more. u takes it back."
        if self.act(lambda: refuse_pair(self.archive, pair.before_id, pair.after_id), words):
            self._show_pair()

    def action_open(self) -> None:
        pair = self.pair
        if pair is not None:
            self.post_message(ShowPicture(pair.after_id if self.two.after_in_front else pair.before_id))


SCREEN = ScreenEntry("", "Before and after", PairScreen, PairScreen.ABOUT)
