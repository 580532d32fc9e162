"""The sort queue: what the machine proposes, one after another; a key answers each."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from asfound.tui.entry import ScreenEntry
from asfound.tui.mending import SpotMending
from asfound.tui.pins import PinEntry, ProposalEntry
from asfound.tui.screens.pictures import in_front, sheet_items
from asfound.tui.service import FindEntry
from asfound.tui.sort_items import BurstProposal, PairProposal, SortItem, SpotProposal
from asfound.tui.sort_queue import (
    PinsQuestion,
    Question,
    SheetQuestion,
    TimesQuestion,
    ask,
    bursts_of,
    key_of,
    left_words,
    sheet_ids,
    sure_ones,
)
from asfound.tui.sort_words import Asked, nothing_hints, nothing_words, question_hints, question_words
from asfound.tui.widgets.asked_pictures import AskedPictures, AskedPin
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import count, split_number, spot_words

SURE_KEY = "sort sure"
SURE_AT_FIRST = 0.8
SIDE_BY_SIDE_FROM = 100


class SortScreen(SpotMending):
    ABOUT = (
        "What the machine proposes, one after another. Enter says yes. A number tags the chosen picture. "
        "Nothing has to be answered: space leaves it for later."
    )
    KEY_WORDS = {
        "enter": "yes, that is right: the spot, the pair, all pins; of look-alikes the chosen one goes in front",
        "n": "no: not a pair, the marked pin is wrong, look-alikes are all shown",
        "y": "yes to the marked pin alone; where no pin is asked about the same as enter",
        "tab": "marks the next pin",
        "space": "later",
        "a": "accepts all pins and pairs that are sure enough, or all bursts, in one step",
        "%": "how sure is sure enough",
        "number, enter": "tags the picture; the box says which end, tab changes it",
        "number, space": "shows how that number was instead",
        "r": "calls the spot something",
        "f": "the chosen picture does not belong: another spot, a new one, none",
        "x": "flips before and after; for a pin, shows the as-found picture and back",
        "v": "opens the picture large, to pin on it",
        "u": "takes the last step back",
    }
    BINDINGS = [
        Binding("enter", "accept", "yes", show=False, priority=True),
        Binding("n", "reject", "no", show=False),
        Binding("y", "accept_one", "yes to this pin", show=False),
        Binding("tab", "mark_next(1)", "next pin", show=False, priority=True),
        Binding("shift+tab", "mark_next(-1)", "pin before", show=False, priority=True),
        Binding("space", "later", "later", show=False),
        Binding("a", "accept_sure", "accept the sure ones", show=False),
        Binding("percent_sign", "set_sure", "how sure", show=False),
        Binding("r", "name", "name", show=False),
        Binding("f", "elsewhere", "belongs elsewhere", show=False),
        Binding("x", "flip", "flip", show=False),
        Binding("v", "large", "large", show=False),
    ]
    DEFAULT_CSS = """
    SortScreen > #question { height: auto; max-height: 4; min-height: 2; padding: 0 1; background: $surface; }
    SortScreen > #question { text-style: bold; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.items: list[SortItem] = []
        self.questions: list[Question] = []
        self.later: set[object] = set()
        self.after_in_front = False
        self.marked = 0
        self.most = 0
        self._wanted: object = None
        self._shown: object = None

    def body(self) -> ComposeResult:
        yield Static(id="question", markup=False)
        yield ContactSheet(self.opened)
        yield AskedPictures(id="pictures")

    # What is asked

    @property
    def question(self) -> Question | None:
        """The one asked now: the one that an undo brought back, else the first not left for later."""
        open_ones = [one for one in self.questions if key_of(one) not in self.later]
        return next((one for one in open_ones if key_of(one) == self._wanted), next(iter(open_ones), None))

    @property
    def mark(self) -> ProposalEntry | None:
        """The proposed pin that is marked on the picture."""
        question = self.question
        return question.entries[self.marked] if isinstance(question, PinsQuestion) else None

    @property
    def picture_id(self) -> int | None:
        """The picture that a number would tag."""
        question = self.question
        if isinstance(question, SheetQuestion):
            chosen = self.query_one(ContactSheet).chosen
            return chosen.picture_id if chosen else None
        if isinstance(question, PairProposal):
            return question.pair.after_id if self.after_in_front else question.pair.before_id
        return None if question is None else question.picture.picture_id

    @property
    def looked_at(self) -> int | None:
        """The picture on the canvas: the one asked about, or the as-found picture it is held against."""
        if self.mark is not None and self.after_in_front:
            known = self._as_found(self.mark)
            return known.pin.picture_id if known else self.picture_id
        return self.picture_id

    def _as_found(self, mark: ProposalEntry) -> PinEntry | None:
        """The best pinned picture of the same end, other than the one asked about."""
        proposal = mark.proposal
        entry = self.service.find_end(proposal.tag_id, proposal.end)
        if entry is None:
            return None
        pinned = [one for one in (entry.as_found, *entry.pins) if one is not None and one.pin.pin_id]
        return next((one for one in pinned if one.pin.picture_id != proposal.picture_id), None)

    @property
    def sure(self) -> float:
        """From which confidence on `a` accepts, 0 to 1; a person's choice."""
        kept = self.service.remembered(SURE_KEY)
        return float(kept) if kept else SURE_AT_FIRST

    # What is said

    def where(self) -> str:
        left = len(self.questions)
        if not left:
            return "Sort: nothing is left to answer"
        bar = 10 if self.app.size.width >= 100 else 5
        done = round(bar * (1 - left / self.most)) if self.most else 0
        later = f", {len(self.later)} for later" if self.later else ""
        return f"Sort {'█' * done}{'░' * (bar - done)} {left_words(self.items, left)}{later}"

    def hints(self) -> Sequence[Hint]:
        question = self.question
        return nothing_hints(len(self.later)) if question is None else question_hints(question, self._asked(question))

    def _asked(self, question: Question) -> Asked:
        """How the question stands now."""
        if isinstance(question, SpotProposal):
            return Asked(spot=self.service.spot(question.spot.spot_id).spot)
        spot = self.service.spot(question.pair.spot_id).spot if isinstance(question, PairProposal) else None
        return Asked(spot, self.marked, self.after_in_front, self._is_side_by_side, self._at_once, self.sure)

    @property
    def _at_once(self) -> int:
        """How many `a` would answer now."""
        if isinstance(self.question, BurstProposal):
            return len(bursts_of(self.items))
        return self._sure_count

    @property
    def _sure_count(self) -> int:
        pins, pairs = sure_ones(self.items, self.sure)
        return len(pins) + len(pairs)

    # What is shown

    def reload(self) -> None:
        self.items = self.service.sort_queue()
        self.questions = ask(self.items)
        keys = {key_of(one) for one in self.questions}
        self.most = max(self.most, len(self.questions)) if self.questions else 0
        self.later &= keys
        self._show_question()

    def _show_question(self) -> None:
        question = self.question
        key = None if question is None else key_of(question)
        is_new = key != self._shown
        self._shown = key
        if is_new:
            self.after_in_front, self.marked = False, 0
        if isinstance(question, PinsQuestion):
            self.marked = min(self.marked, len(question.entries) - 1)
        words = nothing_words(len(self.later)) if question is None else question_words(question, self._asked(question))
        self.query_one("#question", Static).update(words)
        sheet, pictures = self.query_one(ContactSheet), self.query_one(AskedPictures)
        sheet.display = isinstance(question, SheetQuestion)
        pictures.display = not sheet.display
        pictures.beside.display = self._is_side_by_side
        self.set_focus(sheet if sheet.display else pictures.front)
        if isinstance(question, SheetQuestion):
            if is_new:
                sheet.index = 0
            sheet.set_items(sheet_items(self.service, self._sheet_ids(question)))
        elif question is None:
            pictures.show_none("Nothing waits." if not self.later else "The rest was left for later.")
        else:
            self.call_after_refresh(self._show_pictures)

    def _sheet_ids(self, question: SheetQuestion) -> tuple[int, ...]:
        """The pictures on the sheet: of look-alikes those in front, unless it is they that are asked about."""
        ids = sheet_ids(question)
        return ids if isinstance(question, BurstProposal) else in_front(self.service, ids)

    @property
    def _is_side_by_side(self) -> bool:
        return isinstance(self.question, PairProposal) and self.app.size.width >= SIDE_BY_SIDE_FROM

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.is_mounted and self.questions:
            self._show_question()

    def _show_pictures(self) -> None:
        question, pictures = self.question, self.query_one(AskedPictures)
        if isinstance(question, PairProposal) and self._is_side_by_side:
            pictures.show((question.pair.before_id, question.pair.after_id))
        elif isinstance(question, PairProposal | PinsQuestion) and self.looked_at is not None:
            pictures.show((self.looked_at,), self._pins(question), keep_view=self.after_in_front)

    def _pins(self, question: Question) -> list[AskedPin]:
        mark = self.mark
        if not isinstance(question, PinsQuestion) or mark is None:
            return []
        if self.after_in_front:
            known = self._as_found(mark)
            if known is None:
                return []
            name = f"{mark.number}{mark.proposal.end}"
            return [AskedPin(name, known.pin.x_frac, known.pin.y_frac, proposed=False, current=True)]
        return [
            AskedPin(
                f"{one.number}{one.proposal.end}",
                one.proposal.x_frac,
                one.proposal.y_frac,
                proposed=True,
                current=index == self.marked,
            )
            for index, one in enumerate(question.entries)
        ]

    # Answers

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter and Tab belong to the number box and the question line while they are open."""
        if action in ("accept", "mark_next") and self.is_mounted:
            return not (self.number_box.is_open or self.ask_is_open)
        return True

    def action_accept(self) -> None:
        question = self.question
        if isinstance(question, BurstProposal):
            self._fold(question)
        elif isinstance(question, SpotProposal):
            spot, name = question.spot, question.suggested_name
            if name and not spot.name:
                self._answer(lambda: self.service.name_spot(spot.spot_id, name), f"{name} it is.")
            else:
                self._answer(lambda: self.service.accept_spot(spot.spot_id), f"{spot_words(spot)} accepted.")
        elif isinstance(question, PairProposal):
            pair = question.pair
            self._answer(lambda: self.service.confirm_pair(pair.before_id, pair.after_id), "Kept as a pair.")
        elif isinstance(question, PinsQuestion):
            self._accept_pins(question.entries)
        elif isinstance(question, TimesQuestion):
            ids = [picture.picture_id for picture in question.pictures]
            self._answer(lambda: self.service.accept_times(ids), f"{count(len(ids), 'time')} accepted.")

    def _fold(self, question: BurstProposal) -> None:
        """The chosen picture in front, the others behind it."""
        front = self.picture_id
        others = [one for one in question.picture_ids if one != front]
        if front is not None:
            words = f"{count(len(others), 'look-alike')} behind this one; b shows them on its spot."
            self._answer(lambda: self.service.fold_bursts([(front, *others)]), words)

    def action_accept_one(self) -> None:
        if self.mark is not None:
            self._accept_pins((self.mark,))
        else:
            self.action_accept()

    def _accept_pins(self, entries: Sequence[ProposalEntry]) -> None:
        proposals = [entry.proposal for entry in entries]
        names = ", ".join(f"{entry.number} {entry.proposal.end}" for entry in entries)
        verb = "is" if len(entries) == 1 else "are"
        self._answer(lambda: self.service.accept_many(proposals, []), f"{names} {verb} pinned.")

    def action_accept_sure(self) -> None:
        if self.question is None:
            self.action_bring_in()
            return
        if isinstance(self.question, BurstProposal):
            folded = bursts_of(self.items)
            words = f"{count(len(folded), 'burst')}: the sharpest in front, the others behind it."
            self._answer(lambda: self.service.fold_bursts(folded), words)
            return
        pins, pairs = sure_ones(self.items, self.sure)
        if not pins and not pairs:
            self.say(f"No pin or pair that waits is {self.sure:.0%} sure. % sets how sure is sure enough.")
            return
        words = " and ".join(count(len(some), name) for some, name in ((pins, "pin"), (pairs, "pair")) if some)
        self._answer(lambda: self.service.accept_many(pins, pairs), f"{words} accepted, {self.sure:.0%} sure or more.")

    def action_set_sure(self) -> None:
        self.ask("Accept with a from how many % sure on", self._set_sure, words=f"{self.sure * 100:.0f}")

    def _set_sure(self, words: str) -> None:
        digits = words.strip().removesuffix("%").strip()
        if not digits.isdecimal() or not 1 <= int(digits) <= 100:
            self.say(f'"{words}" is no number of 1 to 100. Nothing changed.')
            return
        self.service.remember(SURE_KEY, str(int(digits) / 100))
        self.changed(f"{count(self._sure_count, 'pin or pair', 'pins and pairs')} of {digits}% or more: a accepts.")

    def action_reject(self) -> None:
        question = self.question
        if isinstance(question, PairProposal):
            pair = question.pair
            self._answer(lambda: self.service.reject_pair(pair.before_id, pair.after_id), "Not a pair.")
        elif self.mark is not None:
            entry = self.mark
            words = f"{entry.number} {entry.proposal.end} is not there."
            self._answer(lambda: self.service.reject_proposal(entry.proposal), words)
        elif isinstance(question, BurstProposal):
            self._answer(lambda: self.service.let_stand(question.picture_ids), "All are shown.")
        elif isinstance(question, SpotProposal):
            self.action_elsewhere()
        elif question is not None:
            self.say("Leave it with space. A camera's clock is set with: asfound clock")

    def _answer(self, work: Callable[[], object], words: str) -> None:
        self._wanted = None
        self.act(work, f"{words} u takes it back.")

    def undo_last(self) -> None:
        """Take the last step back and ask again what it had answered."""
        before = {key_of(one) for one in self.questions}
        words = self.attempt(self.service.undo)
        if words is None:
            return
        back = [key for one in ask(self.service.sort_queue()) if (key := key_of(one)) not in before]
        if back:
            self._wanted = back[0]
            self.later -= set(back)
        self.changed(f"Taken back: {words}")

    def action_later(self) -> None:
        question = self.question
        self._wanted = None
        if question is None:
            self.later.clear()
        else:
            self.later.add(key_of(question))
        self.changed("")

    def action_mark_next(self, by: int) -> None:
        question = self.question
        if isinstance(question, PinsQuestion):
            self.marked = (self.marked + by) % len(question.entries)
            self.after_in_front = False
            self._show_question()

    def action_flip(self) -> None:
        if self.mark is not None and self._as_found(self.mark) is None:
            self.say("No other picture of it is pinned.")
        elif isinstance(self.question, PairProposal | PinsQuestion):
            self.after_in_front = not self.after_in_front
            self._show_question()

    def action_large(self) -> None:
        if self.picture_id is None:
            return
        question = self.question
        among = self._sheet_ids(question) if isinstance(question, SheetQuestion) else ()
        self.archive_app.show_picture(self.picture_id, among)

    def on_contact_sheet_opened(self, event: ContactSheet.Opened) -> None:
        self.action_large()

    def action_elsewhere(self) -> None:
        question, picture_id = self.question, self.picture_id
        if isinstance(question, SpotProposal) and picture_id is not None:
            self.ask_where_they_belong([picture_id], question.spot.spot_id)
        else:
            self.say("First choose a picture of a spot.")

    def action_name(self) -> None:
        question = self.question
        if isinstance(question, SpotProposal):
            words = question.suggested_name or question.spot.name
            self.ask("Call this spot", self._give_name, words=words)

    def _give_name(self, words: str) -> None:
        question = self.question
        if isinstance(question, SpotProposal):
            self._answer(lambda: self.service.name_spot(question.spot.spot_id, words), f"Named {words}.")

    # Numbers tag the picture here

    def open_number_box(self, words: str) -> None:
        if self.picture_id is None:
            super().open_number_box(words)
            return
        self.number_box.open(
            words,
            find=self.service.find,
            title="Tag",
            enter_words="tags this picture {}",
            space_words="shows {}",
            pins=("enter",),
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
            if isinstance(self.question, SpotProposal):
                self.query_one(ContactSheet).action_move(1, 0)


SCREEN = ScreenEntry("i", "Sort", SortScreen, SortScreen.ABOUT)
