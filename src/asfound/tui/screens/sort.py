"""The sort queue: what the machine proposes, one after another; a key answers each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from textual import events
from textual.app import ComposeResult
from textual.message import Message

from asfound.actions import bursts, pinned, settings, spots
from asfound.actions.ends import FindEntry, find_end
from asfound.actions.pinned import WHOLE, ProposalEntry
from asfound.actions.questions import (
    NumberQuestion,
    PinsQuestion,
    Question,
    SheetQuestion,
    TimesQuestion,
    bursts_of,
    list_questions,
    sure_ones,
)
from asfound.actions.spot_list import read_spot
from asfound.actions.to_sort import BurstProposal, PairProposal, SortItem, SpotProposal, list_to_sort
from asfound.model.tags import EndLetter
from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPicture
from asfound.tui.keys import UNDO, Key
from asfound.tui.question_view import QuestionView
from asfound.tui.sort_queue import SortQueue
from asfound.tui.sort_words import Asked, foot_order, foot_words, left_words, nothing_words, question_words
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.words import count, split_number, spot_words

SURE_KEY = "sort sure"
SURE_AT_FIRST = 0.8


class SortScreen(ArchiveScreen):
    ABOUT = (
        "What the machine proposes, one after another. Enter says yes. A number tags the chosen picture. "
        "Nothing has to be answered: space leaves it for later."
    )
    KEYS = (
        Key(
            "enter",
            "accept",
            "yes: the spot, the pair, all pins; the chosen look-alike goes in front",
            "yes",
            is_first=True,
        ),
        Key(
            "n",
            "reject",
            "no: wrong spot, not a pair, wrong pin, or show all look-alikes",
            "no",
        ),
        Key("y", "accept_one", "yes to the marked pin only; otherwise the same as enter"),
        Key("shift+tab,tab", "mark_next({by})", "mark the next pin", shown="tab", is_first=True),
        Key("A", "say_end('A')", "the number read here is end A (capital, so that no thumb hits it)", "end A"),
        Key("B", "say_end('B')", "the number read here is end B", "end B"),
        Key("space", "later", "leave it for later; all doubtful ones at once", "later"),
        Key("backspace", "back_to_left", "back to what you left for later", "the one left", shown="⌫"),
        Key(
            "a",
            "accept_sure",
            "accept all pins and pairs that are sure enough, or all bursts, in one step",
            "all sure ones",
        ),
        Key("percent_sign", "set_sure", "set how sure is sure enough", shown="%"),
        Key("", "", "tag the picture; the box says which end, tab changes it", shown="number, enter"),
        Key("", "", "show that number's as-found picture instead", shown="number, space"),
        Key("r", "name", "name the spot", "name"),
        Key("f", "elsewhere", "move the chosen picture to another spot, a new one or none"),
        Key("x", "flip", "flip before and after; for a pin or a number, show where it is pinned", "flip"),
        Key("v", "large", "open the picture large, to pin on it", "open"),
        UNDO,
    )

    class MoreAsked(Message):
        """A worker has carried a pin on to other pictures."""

    def __init__(self) -> None:
        super().__init__()
        self.queue = SortQueue()
        self.fixing = SpotFixing(self)
        self.items: Sequence[SortItem] = ()

    def body(self) -> ComposeResult:
        yield QuestionView(lambda: self.archive, self.opened, self.in_background)

    @property
    def view(self) -> QuestionView:
        return self.query_one(QuestionView)

    @property
    def question(self) -> Question | None:
        """The one asked now."""
        return self.queue.question

    # Showing it

    def reload(self) -> None:
        self.items = list_to_sort(self.archive)
        self.queue.renew(list_questions(self.archive))
        self.show_question()

    def show_question(self) -> None:
        """Draw the question at hand; a new one from its beginning."""
        question, later = self.question, self.queue.later
        is_new = self.view.take(question)
        words = nothing_words(later) if question is None else question_words(question, self.asked(question))
        nothing = "The rest was left for later." if later else "Nothing waits."
        self.set_focus(self.view.show(words, is_new=is_new, nothing=nothing))

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.is_mounted and self.queue.questions:
            self.show_question()

    def where(self) -> str:
        if not self.queue.questions:
            return "Sort: nothing is left to answer"
        bar = 10 if self.app.size.width >= 100 else 5
        done = round(bar * self.queue.share_done)
        later = f", {self.queue.later} for later" if self.queue.later else ""
        return f"Sort {'█' * done}{'░' * (bar - done)} {left_words(self.queue.questions)}{later}"

    def words_of_key(self, key: Key) -> str | None:
        question = self.question
        asked = Asked(later=self.queue.later) if question is None else self.asked(question)
        return foot_words(key, question, asked)

    def tells_back(self) -> bool:
        return self.question is None  # its keys are worth more

    def foot_keys(self) -> Sequence[Key]:
        """What answers the question at hand, in the order in which its kind wants it."""
        order = foot_order(self.question)
        return [next(key for key in self.KEYS if key.keys == name) for name in order]

    def asked(self, question: Question) -> Asked:
        """How the question stands now."""
        view, later = self.view, self.queue.later
        if isinstance(question, SpotProposal):
            return Asked(spot=read_spot(self.archive, question.spot.spot_id).spot, later=later)
        known = view.held_against if view.flipped else None
        of_pair = isinstance(question, PairProposal)
        return Asked(
            spot=read_spot(self.archive, question.pair.spot_id).spot if isinstance(question, PairProposal) else None,
            marked=view.marked,
            flipped=view.flipped,
            side_by_side=of_pair and view.is_side_by_side,
            at_once=len(bursts_of(self.items)) if isinstance(question, BurstProposal) else self.sure_count,
            sure=self.sure,
            doubtful=self.queue.doubtful,
            later=later,
            held_against="" if known is None else f"{known.number} {known.pin.end} {known.tag_name}".strip(),
            places=self._places(question.entry) if isinstance(question, NumberQuestion) else (),
        )

    def _places(self, entry: ProposalEntry) -> tuple[str, ...]:
        """Where the ends are that a number may be of, as far as somebody has said."""
        found = [find_end(self.archive, one.tag_id, one.end) for one in sorted(entry.both, key=lambda p: p.end)]
        return tuple(f"{one.end.end}: {one.end.place}" for one in found if one is not None and one.end.place)

    # Looking

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter and Tab belong to the number box and the question line while open; A and B only answer which end."""
        if action in ("accept", "mark_next") and self.is_mounted:
            return not (self.number_box.is_open or self.ask_is_open)
        if action == "say_end" and self.is_mounted:
            return isinstance(self.question, NumberQuestion)
        return True

    def action_mark_next(self, by: int) -> None:
        question = self.question
        if isinstance(question, PinsQuestion):
            self.view.marked = (self.view.marked + by) % len(question.entries)
            self.view.flipped = False
            self.show_question()

    def action_flip(self) -> None:
        if self.view.mark is not None and self.view.held_against is None:
            self.say("No other picture of it is pinned.")
        elif isinstance(self.question, PairProposal | PinsQuestion | NumberQuestion):
            self.view.flipped = not self.view.flipped
            self.show_question()

    def action_large(self) -> None:
        picture_id, question = self.view.picture_id, self.question
        if picture_id is not None:
            among = self.view.ids_on_sheet(question) if isinstance(question, SheetQuestion) else ()
            self.post_message(ShowPicture(picture_id, among))

    def on_contact_sheet_picture_opened(self, event: ContactSheet.PictureOpened) -> None:
        self.action_large()

    # Yes

    def _answer(self, work: Callable[[], object], words: str) -> None:
        self.queue.answered()
        self.act(work, f"{words} u takes it back.")

    def action_accept(self) -> None:
        question, archive = self.question, self.archive
        if isinstance(question, BurstProposal):
            self._fold(question)
        elif isinstance(question, SpotProposal):
            spot = question.spot
            self._answer(lambda: spots.accept_spot(archive, spot), f"{spot_words(spot)} accepted.")
        elif isinstance(question, PairProposal):
            pair = question.pair
            self._answer(lambda: spots.confirm_pair(archive, pair.before_id, pair.after_id), "Kept as a pair.")
        elif isinstance(question, PinsQuestion):
            self._accept_pins(question.entries)
        elif isinstance(question, NumberQuestion):
            self.say("Which end is it? Press capital A or B; n if neither, space to leave it for later.")
        elif isinstance(question, TimesQuestion):
            pictures = question.pictures
            self._answer(lambda: settings.accept_times(archive, pictures), f"{count(len(pictures), 'time')} accepted.")

    def action_accept_one(self) -> None:
        if isinstance(self.question, PinsQuestion) and self.view.mark is not None:
            self._accept_pins((self.view.mark,))
        else:
            self.action_accept()

    def action_say_end(self, end: EndLetter) -> None:
        question = self.question
        if not isinstance(question, NumberQuestion):
            return
        proposal = question.entry.of_end(end)
        if proposal is None:
            self.say(f"{question.entry.number} {end} was rejected here already. u takes that back.")
            return
        made = self.attempt(lambda: pinned.confirm(self.archive, proposal))
        if made is not None:
            self.queue.answered()
            self.changed(f"{made.number} {end} is pinned. u takes it back.")
            self.in_background(partial(self._carry, made.pin.pin_id), "carry", exclusive=False)

    def _carry(self, pin_id: int) -> None:
        if pinned.carry_on(self.archive, pin_id):
            self.post_message(self.MoreAsked())

    def on_sort_screen_more_asked(self) -> None:
        """More is asked now; what is being looked at stays."""
        self.queue.stay()
        self.reload()
        self.refresh_lines()

    def _fold(self, question: BurstProposal) -> None:
        """The chosen picture in front, the others behind it."""
        front = self.view.picture_id
        others = [one for one in question.picture_ids if one != front]
        if front is not None:
            words = f"{count(len(others), 'look-alike')} behind this one; b shows them on its spot."
            self._answer(lambda: bursts.fold_all(self.archive, [(front, *others)]), words)

    def _accept_pins(self, entries: Sequence[ProposalEntry]) -> None:
        proposals = [entry.proposal for entry in entries]
        verb = "is" if len(entries) == 1 else "are"
        words = f"{', '.join(entry.called for entry in entries)} {verb} pinned."
        self._answer(lambda: pinned.accept_many(self.archive, proposals, []), words)

    # Yes to all that is sure

    @property
    def sure(self) -> float:
        """From which confidence on `a` accepts, 0 to 1; a person's choice."""
        kept = settings.remembered(self.archive, SURE_KEY)
        return float(kept) if kept else SURE_AT_FIRST

    @property
    def sure_count(self) -> int:
        """How many pins and pairs are so sure."""
        pins, pairs = sure_ones(self.items, self.sure)
        return len(pins) + len(pairs)

    def action_accept_sure(self) -> None:
        if self.question is None:
            self.action_bring_in()
            return
        if isinstance(self.question, BurstProposal):
            folded = bursts_of(self.items)
            words = f"{count(len(folded), 'burst')}: the sharpest in front, the others behind it."
            self._answer(lambda: bursts.fold_all(self.archive, folded), words)
            return
        pins, pairs = sure_ones(self.items, self.sure)
        if not pins and not pairs:
            self.say(f"No open pin or pair is {self.sure:.0%} sure. % sets how sure is sure enough.")
            return
        words = " and ".join(count(len(some), name) for some, name in ((pins, "pin"), (pairs, "pair")) if some)
        said = f"{words} accepted, {self.sure:.0%} sure or more."
        self._answer(lambda: pinned.accept_many(self.archive, pins, pairs), said)

    def action_set_sure(self) -> None:
        self.ask("a accepts from how many % sure", self._set_sure, words=f"{self.sure * 100:.0f}")

    def _set_sure(self, words: str) -> None:
        digits = words.strip().removesuffix("%").strip()
        if not digits.isdecimal() or not 1 <= int(digits) <= 100:
            self.say(f'"{words}" is not a number from 1 to 100. Nothing changed.')
            return
        settings.remember(self.archive, SURE_KEY, str(int(digits) / 100))
        self.changed(f"{count(self.sure_count, 'pin or pair', 'pins and pairs')} of {digits}% or more: a accepts.")

    # No

    def action_reject(self) -> None:
        question, mark = self.question, self.view.mark
        if isinstance(question, PairProposal):
            pair = question.pair
            self._answer(lambda: spots.refuse_pair(self.archive, pair.before_id, pair.after_id), "Not a pair.")
        elif mark is not None:
            self._answer(lambda: pinned.reject_many(self.archive, mark.both), f"{mark.called} is not there.")
        elif isinstance(question, BurstProposal):
            self._answer(lambda: bursts.let_stand(self.archive, question.picture_ids), "All are shown.")
        elif isinstance(question, SpotProposal):
            self.action_elsewhere()
        elif question is not None:
            self.say("Leave it with space. A camera's clock is set with: asfound clock")

    def action_elsewhere(self) -> None:
        question, picture_id = self.question, self.view.picture_id
        if isinstance(question, SpotProposal) and picture_id is not None:
            self.fixing.ask_where_they_belong([picture_id], question.spot.spot_id)
        else:
            self.say("Choose a picture first.")

    def action_name(self) -> None:
        if isinstance(self.question, SpotProposal):
            self.fixing.ask_for_name(self.question.spot.spot_id)

    # Later, and back

    def action_later(self) -> None:
        """Leave the question; when none is left, go through those left for later again."""
        left = self.queue.leave()
        more = f"{count(left, 'doubtful question')} left for later" if left > 1 else "Left for later"
        self.changed(f"{more}; backspace goes back." if left else "")

    def action_back_to_left(self) -> None:
        if self.queue.back():
            self.changed("")
        else:
            self.say("Nothing was left for later.")

    def undo_last(self) -> None:
        """Take the last step back and ask again what it had answered, with the mark on what came back."""
        before = self.queue.parts()
        words = self.take_back()
        if words is None:
            return
        place = self.queue.ask_what_came_back(before, list_questions(self.archive))
        self.changed(f"Taken back: {words}")
        if place is not None:
            self.view.choose_part(place)
            if isinstance(self.question, PinsQuestion):
                self.show_question()
        self.settle()

    # Numbers tag the picture here

    def open_number_box(self, words: str) -> None:
        if self.view.picture_id is None:
            super().open_number_box(words)
            return
        self.number_box.open(
            words,
            find=self.find,
            title="Tag",
            enter_words="tags this picture {}",
            space_words="shows {}",
            pins=("enter",),
        )

    def number_chosen(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
        picture_id = self.view.picture_id
        if by_space or picture_id is None or self.number_box.title != "Tag":
            self.show_found(words, entry)
            return
        number, end = split_number(words)
        made = self.attempt(lambda: pinned.pin_number(self.archive, picture_id, number, end, WHOLE))
        if made is not None:
            self.changed(f"Picture tagged {made.number} {made.pin.end}. u takes it back.")
            if isinstance(self.question, SpotProposal):
                self.view.sheet.action_move(1, 0)


SCREEN = ScreenEntry("i", "Sort", SortScreen, SortScreen.ABOUT)
