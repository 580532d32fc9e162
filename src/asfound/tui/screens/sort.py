"""The sort queue: what the machine proposes, one after another; a key answers each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from textual import events
from textual.app import ComposeResult
from textual.message import Message

from asfound.actions import pinned
from asfound.actions.ends import FindEntry
from asfound.actions.pinned import WHOLE
from asfound.actions.questions import (
    NumberQuestion,
    PinsQuestion,
    Question,
    SheetQuestion,
    bursts_of,
    keep_sure,
    list_questions,
    sure_from,
    sure_ones,
)
from asfound.actions.to_sort import BurstProposal, PairProposal, SortItem, SpotProposal, list_to_sort
from asfound.model.tags import EndLetter
from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import AskForFolder, ShowPicture
from asfound.tui.keys import Key
from asfound.tui.question_view import QuestionView
from asfound.tui.sort_answers import SortAnswer, no_to, yes_to, yes_to_bursts, yes_to_pins, yes_to_sure
from asfound.tui.sort_queue import QueueKey, SortQueue
from asfound.tui.sort_words import SORT_KEYS, Asked, foot_order, foot_words, left_words, nothing_words, question_words
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.words import count, split_number


class SortScreen(ArchiveScreen):
    ABOUT = (
        "What the machine proposes, one after another. Enter says yes. A number tags the chosen picture. "
        "Nothing has to be answered: space leaves it for later."
    )
    KEYS = SORT_KEYS

    class MoreAsked(Message):
        """A worker has carried a pin on to other pictures."""

    def __init__(self) -> None:
        super().__init__()
        self.queue = SortQueue()
        self.fixing = SpotFixing(self)
        self.items: Sequence[SortItem] = ()

    def body(self) -> ComposeResult:
        yield QuestionView(lambda: self.archive, self.session.opened, self.in_background)

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
        done, left = round(bar * self.queue.share_done), self.queue.later
        later = f", {left} for later" if left else ""
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
        at_once = len(bursts_of(self.items)) if isinstance(question, BurstProposal) else self.sure_count
        stands, sure = self.view.asked(question), sure_from(self.archive)
        return replace(stands, at_once=at_once, sure=sure, doubtful=self.queue.doubtful, later=self.queue.later)

    # Looking

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter and Tab belong to the number box and the question line while open; A and B only answer which end."""
        if action in ("accept", "mark_next") and self.is_mounted:
            return not (self.number_box.is_open or self.query_one(AskLine).is_open)
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

    def on_contact_sheet_picture_opened(self) -> None:
        self.action_large()

    # Yes

    def _write(self, answer: SortAnswer) -> None:
        self.queue.answered()
        self.act(answer.work, f"{answer.words} u takes it back.")

    def action_accept(self) -> None:
        question = self.question
        answer = None if question is None else yes_to(self.archive, question, self.view.picture_id)
        if answer is not None:
            self._write(answer)
        elif isinstance(question, NumberQuestion):
            self.say("Which end is it? Press capital A or B; n if neither, space to leave it for later.")

    def action_accept_one(self) -> None:
        if isinstance(self.question, PinsQuestion) and self.view.mark is not None:
            self._write(yes_to_pins(self.archive, (self.view.mark,)))
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
        self.show_again()

    # Yes to all that is sure

    @property
    def sure_count(self) -> int:
        """How many pins and pairs are as sure as a person wants."""
        pins, pairs = sure_ones(self.items, sure_from(self.archive))
        return len(pins) + len(pairs)

    def action_accept_sure(self) -> None:
        if self.question is None:
            self.post_message(AskForFolder())
            return
        if isinstance(self.question, BurstProposal):
            self._write(yes_to_bursts(self.archive, self.items))
            return
        sure = sure_from(self.archive)
        answer = yes_to_sure(self.archive, self.items, sure)
        if answer is not None:
            self._write(answer)
        else:
            self.say(f"No open pin or pair is {sure:.0%} sure. % sets how sure is sure enough.")

    def action_set_sure(self) -> None:
        self.ask("a accepts from how many % sure", self._set_sure, words=f"{sure_from(self.archive) * 100:.0f}")

    def _set_sure(self, words: str) -> None:
        sure = self.attempt(lambda: keep_sure(self.archive, words))
        if sure is not None:
            many = count(self.sure_count, "pin or pair", "pins and pairs")
            self.changed(f"{many} of {sure:.0%} or more: a accepts.")

    # No

    def action_reject(self) -> None:
        question = self.question
        answer = None if question is None else no_to(self.archive, question, self.view.mark)
        if answer is not None:
            self._write(answer)
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
        self.changed("" if self.queue.back() else "Nothing was left for later.")

    def coming_back(self) -> Callable[[], None]:
        return partial(self._ask_again, self.queue.parts())

    def _ask_again(self, before: dict[QueueKey, tuple[object, ...]]) -> None:
        """Ask again what a step had answered that is taken back, with the mark on what came back."""
        place = self.queue.ask_what_came_back(before, list_questions(self.archive))
        if place is not None:
            self.show_question()
            self.view.choose_part(place)
            self.show_question()
            self.refresh_lines()

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
