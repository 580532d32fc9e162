"""The sort queue: what the machine proposes, one after another; a key answers each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.message import Message
from textual.widgets import Static

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.screens.pictures import sheet_items
from asfound.tui.service import FindEntry, PairProposal, PinEntry, PinQuestion, SortItem, SpotProposal, TimeQuestion
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import count, moment_with_year, split_number, spot_words

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid


class SortScreen(ArchiveScreen):
    ABOUT = (
        "What the machine proposes, one after another. Enter says yes. A number tags the chosen picture. "
        "Nothing has to be answered: space leaves it for later."
    )
    KEY_WORDS = {
        "enter": "yes, that is right",
        "n": "no, that is wrong (pairs and pins)",
        "space": "later",
        "number, enter": "tags the picture with this number; add a or b for the end",
        "number, space": "shows how that number was instead",
        "c": "calls the spot something",
        "x": "flips before and after; for a pin, shows the as-found picture and back",
        "v": "opens the picture large",
    }
    BINDINGS = [
        Binding("enter", "accept", "yes", show=False, priority=True),
        Binding("n", "reject", "no", show=False),
        Binding("space", "later", "later", show=False),
        Binding("c", "name", "name", show=False),
        Binding("x", "flip", "flip", show=False),
        Binding("v", "large", "large", show=False),
    ]
    DEFAULT_CSS = """
    SortScreen > #question { height: 2; padding: 0 1; background: $surface; text-style: bold; }
    """

    class Opened(Message):
        """A worker has opened the picture asked about."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.answered = 0
        self.later: set[object] = set()
        self.queue: list[SortItem] = []
        self.after_in_front = False
        self._shown: object = None

    def body(self) -> ComposeResult:
        yield Static(id="question", markup=False)
        yield ContactSheet(self.opened)
        yield Canvas(with_crosshair=False)

    def on_mount(self) -> None:
        self.archive_app.set_up_canvas(self.query_one(Canvas))

    @property
    def item(self) -> SortItem | None:
        return next((item for item in self.queue if item_key(item) not in self.later), None)

    @property
    def picture_id(self) -> int | None:
        """The picture that a number would tag."""
        item = self.item
        if isinstance(item, SpotProposal):
            chosen = self.query_one(ContactSheet).chosen
            return chosen.picture_id if chosen else None
        if isinstance(item, PairProposal):
            return item.pair.after_id if self.after_in_front else item.pair.before_id
        return None if item is None else item.picture.picture_id

    @property
    def looked_at(self) -> int | None:
        """The picture on the canvas: the one asked about, or the as-found picture it is held against."""
        if isinstance(self.item, PinQuestion) and self.after_in_front:
            known = self._as_found(self.item)
            return known.pin.picture_id if known else self.picture_id
        return self.picture_id

    def _as_found(self, question: PinQuestion) -> PinEntry | None:
        proposal = question.entry.proposal
        for entry in self.service.find(question.entry.number):
            if entry.tag.tag_id == proposal.tag_id and entry.end.end == proposal.end:
                return entry.as_found
        return None

    def where(self) -> str:
        left = len(self.queue)
        later = f", {len(self.later)} for later" if self.later else ""
        done = round(10 * self.answered / (self.answered + left)) if self.answered + left else 10
        return f"Sort {'█' * done}{'░' * (10 - done)} {self.answered} answered, {left} left{later}"

    def hints(self) -> Sequence[Hint]:
        item = self.item
        if item is None:
            later = [Hint("space", "space", "the ones for later")] if self.later else []
            return [*later, Hint("escape", "esc", "back")]
        hints = [Hint("enter", "enter", "yes")]
        if isinstance(item, PairProposal | PinQuestion):
            hints.append(Hint("n", "n", "no"))
        hints.append(Hint("space", "space", "later"))
        if isinstance(item, PairProposal | PinQuestion):
            hints.append(Hint("x", "x", "flip" if isinstance(item, PairProposal) else "as found"))
        if isinstance(item, SpotProposal):
            hints.append(Hint("c", "c", "call it"))
        return [*hints, Hint("v", "v", "large"), Hint("u", "u", "undo")]

    def reload(self) -> None:
        self.queue = self.service.sort_queue()
        self.later &= {item_key(item) for item in self.queue}
        item = self.item
        self.query_one("#question", Static).update(self._question(item))
        sheet, canvas = self.query_one(ContactSheet), self.query_one(Canvas)
        sheet.display = isinstance(item, SpotProposal)
        canvas.display = not sheet.display
        self.set_focus(sheet if sheet.display else canvas)
        key = None if item is None else item_key(item)
        if isinstance(item, SpotProposal):
            if key != self._shown:
                sheet.index = 0
            sheet.set_items(sheet_items(self.service, item.picture_ids))
        elif item is None:
            canvas.empty("Nothing waits." if not self.later else "The rest was left for later.")
        elif key != self._shown:
            self.after_in_front = False
            self.call_after_refresh(self._show_picture)
        self._shown = key

    def _question(self, item: SortItem | None) -> str:
        if isinstance(item, SpotProposal):
            name = item.suggested_name or spot_words(item.spot)
            pictures = count(len(item.picture_ids), "picture")
            return f"{pictures} of one spot, {name}? {item.why}\nenter: yes. A number tags the chosen picture."
        if isinstance(item, PairProposal):
            side = "AFTER" if self.after_in_front else "BEFORE"
            asked = f"{item.spot_name}: before and after ({item.pair.kind})? {item.why}"
            return f"{asked}\nThis is {side}; x flips. enter: yes, n: no."
        if isinstance(item, PinQuestion):
            what = f"{item.entry.number} {item.entry.proposal.end} {item.entry.tag_name}".strip()
            if self.after_in_front:
                return f"This is {what}, as found.\nx goes back to the question."
            return f"Is this {what}? {item.why}\nenter: yes, n: no. x shows it as found."
        if isinstance(item, TimeQuestion):
            taken = moment_with_year(item.picture.taken_at or item.picture.taken_local)
            return f"Taken {taken}? {item.why}\nenter: the time is right."
        if self.later:
            return f"Everything was looked at; {len(self.later)} left for later.\nspace goes through them again."
        return "Nothing waits for an answer.\nAdd pictures on the start screen, or type a number to find it."

    def _show_picture(self) -> None:
        picture_id, item = self.looked_at, self.item
        if picture_id is None or item is None or isinstance(item, SpotProposal):
            return
        canvas = self.query_one(Canvas)
        picture = self.service.picture(picture_id).picture
        size = (float(picture.width_px), float(picture.height_px))
        view, at = None, None
        marks = []
        if isinstance(item, PinQuestion):
            proposal = item.entry.proposal
            known = self._as_found(item) if self.after_in_front else None
            pin = known.pin if known else proposal
            at = (pin.x_frac * size[0], pin.y_frac * size[1])
            whole = View.fit(*size, max(1, canvas.size.width), max(1, canvas.size.height), canvas.aspect)
            view = whole.centred(*at, whole.px_per_column / 2)
            marks = [PinMark(f"{item.entry.number}{proposal.end}", *at, proposed=known is None, current=True)]
        elif canvas.target is not None and self.after_in_front:
            view = canvas.target.for_picture(*size)
        canvas.show(self.opened.at_hand(picture_id), size, view=view, at=at)
        canvas.set_marks(marks)
        self.in_background(partial(self._open, picture_id), "open")

    def _open(self, picture_id: int) -> None:
        self.post_message(self.Opened(picture_id, self.opened.open_preview(picture_id)))
        self.post_message(self.Opened(picture_id, self.opened.open_full(picture_id)))

    def on_sort_screen_opened(self, event: Opened) -> None:
        if event.picture_id == self.looked_at and not isinstance(self.item, SpotProposal):
            self.query_one(Canvas).improve(event.pyramid)

    # Answers

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter belongs to the number box and the question line while they are open."""
        if action == "accept" and self.is_mounted:
            return not (self.number_box.is_open or self.ask_is_open)
        return True

    def action_accept(self) -> None:
        item = self.item
        if isinstance(item, SpotProposal):
            spot, name = item.spot, item.suggested_name
            if name and not spot.name:
                self._answer(lambda: self.service.name_spot(spot.spot_id, name), f"{name} it is.")
            else:
                self._answer(lambda: self.service.accept_spot(spot.spot_id), f"{spot_words(spot)} accepted.")
        elif isinstance(item, PairProposal):
            pair = item.pair
            self._answer(lambda: self.service.confirm_pair(pair.before_id, pair.after_id), "Kept as a pair.")
        elif isinstance(item, PinQuestion):
            entry = item.entry
            words = f"{entry.number} {entry.proposal.end} is pinned."
            self._answer(lambda: self.service.confirm_proposal(entry.proposal), words)
        elif isinstance(item, TimeQuestion):
            picture = item.picture
            words = f"{moment_with_year(picture.taken_at or picture.taken_local)} accepted."
            self._answer(lambda: self.service.accept_time(picture.picture_id), words)

    def action_reject(self) -> None:
        item = self.item
        if isinstance(item, PairProposal):
            pair = item.pair
            self._answer(lambda: self.service.reject_pair(pair.before_id, pair.after_id), "Not a pair.")
        elif isinstance(item, PinQuestion):
            entry = item.entry
            words = f"{entry.number} {entry.proposal.end} is not there."
            self._answer(lambda: self.service.reject_proposal(entry.proposal), words)
        elif item is not None:
            self.say("Leave it for later with space, or put it right where it is: v opens the picture.")

    def _answer(self, work: Callable[[], object], words: str) -> None:
        self.answered += 1
        if not self.act(work, f"{words} u takes it back."):
            self.answered -= 1

    def undo_last(self) -> None:
        words = self.attempt(self.service.undo)
        if words is not None:
            self.answered = max(0, self.answered - 1)
            self.changed(f"Taken back: {words}")

    def action_later(self) -> None:
        item = self.item
        if item is None:
            self.later.clear()
        else:
            self.later.add(item_key(item))
        self.changed("")

    def action_flip(self) -> None:
        if isinstance(self.item, PinQuestion) and self._as_found(self.item) is None:
            self.say("No as-found picture of it is known.")
        elif isinstance(self.item, PairProposal | PinQuestion):
            self.after_in_front = not self.after_in_front
            self._show_picture()
            self.query_one("#question", Static).update(self._question(self.item))

    def action_large(self) -> None:
        if self.picture_id is not None:
            self.archive_app.show_picture(self.picture_id)

    def action_name(self) -> None:
        item = self.item
        if isinstance(item, SpotProposal):
            self.ask("Call this spot", self._give_name, words=item.suggested_name or item.spot.name)

    def _give_name(self, words: str) -> None:
        item = self.item
        if isinstance(item, SpotProposal):
            self._answer(lambda: self.service.name_spot(item.spot.spot_id, words), f"Named {words}.")

    # Numbers tag the picture here

    def open_number_box(self, words: str) -> None:
        if self.picture_id is None:
            super().open_number_box(words)
            return
        self.number_box.open(
            words,
            find=self.service.find,
            title="Tag",
            enter_words="tags this picture",
            space_words="shows how it was",
            makes_new=True,
        )

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        picture_id = self.picture_id
        if by_space or picture_id is None or self.number_box.title != "Tag":
            self.show_found(words, entry)
            return
        number, end = split_number(words)
        made = self.attempt(lambda: self.service.tag_picture(picture_id, number, end))
        if made is not None:
            self.changed(f"Picture tagged {made.number} {made.pin.end}. u takes it back.")
            if isinstance(self.item, SpotProposal):
                self.query_one(ContactSheet).action_move(1, 0)


def item_key(item: SortItem) -> tuple[object, ...]:
    """What makes a question the same one after the queue was read anew."""
    if isinstance(item, SpotProposal):
        return ("spot", item.spot.spot_id)
    if isinstance(item, PairProposal):
        return ("pair", item.pair.before_id, item.pair.after_id)
    if isinstance(item, PinQuestion):
        proposal = item.entry.proposal
        return ("pin", proposal.tag_id, proposal.end, proposal.picture_id)
    return ("time", item.picture.picture_id)


SCREEN = ScreenEntry("i", "Sort", SortScreen, SortScreen.ABOUT)
