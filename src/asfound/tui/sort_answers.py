"""What answers the sort queue's questions: one action for each key, and back again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from textual.message import Message

from asfound.model.tags import EndLetter
from asfound.tui.pins import ProposalEntry
from asfound.tui.sort_asking import SURE_KEY
from asfound.tui.sort_items import BurstProposal, PairProposal, SpotProposal
from asfound.tui.sort_queue import (
    NumberQuestion,
    PinsQuestion,
    SheetQuestion,
    TimesQuestion,
    ask,
    bursts_of,
    is_doubtful,
    key_of,
    parts_of,
    sure_ones,
)
from asfound.tui.sort_showing import SortShowing
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.words import count, spot_words


class SortAnswers(SortShowing):
    """Writes down a person's answers."""

    class Carried(Message):
        """A worker has carried a pin on to other pictures."""

    def _answer(self, work: Callable[[], object], words: str) -> None:
        self._wanted = None
        self.act(work, f"{words} u takes it back.")

    # Yes

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
        elif isinstance(question, NumberQuestion):
            self.say("Which end is it? A or B says so, as capitals; n if it is neither, space leaves it.")
        elif isinstance(question, TimesQuestion):
            ids = [picture.picture_id for picture in question.pictures]
            self._answer(lambda: self.service.accept_times(ids), f"{count(len(ids), 'time')} accepted.")

    def action_accept_one(self) -> None:
        if isinstance(self.question, PinsQuestion) and self.mark is not None:
            self._accept_pins((self.mark,))
        else:
            self.action_accept()

    def action_say_end(self, end: EndLetter) -> None:
        question = self.question
        if not isinstance(question, NumberQuestion):
            return
        proposal = question.entry.of_end(end)
        if proposal is None:
            self.say(f"{question.entry.number} {end} was refused here already. u takes that back.")
            return
        made = self.attempt(lambda: self.service.confirm_proposal(proposal))
        if made is not None:
            self._wanted = None
            self.changed(f"{made.number} {end} is pinned. u takes it back.")
            self.in_background(partial(self._carry, made.pin.pin_id), "carry", exclusive=False)

    def _carry(self, pin_id: int) -> None:
        if self.service.carry_pin(pin_id):
            self.post_message(self.Carried())

    def on_sort_answers_carried(self) -> None:
        """More is asked now; what is being looked at stays."""
        self.stay_here()
        self.reload()
        self.refresh_lines()

    def _fold(self, question: BurstProposal) -> None:
        """The chosen picture in front, the others behind it."""
        front = self.picture_id
        others = [one for one in question.picture_ids if one != front]
        if front is not None:
            words = f"{count(len(others), 'look-alike')} behind this one; b shows them on its spot."
            self._answer(lambda: self.service.fold_bursts([(front, *others)]), words)

    def _accept_pins(self, entries: Sequence[ProposalEntry]) -> None:
        proposals = [entry.proposal for entry in entries]
        verb = "is" if len(entries) == 1 else "are"
        words = f"{', '.join(entry.called for entry in entries)} {verb} pinned."
        self._answer(lambda: self.service.accept_many(proposals, []), words)

    # Yes to all that is sure

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
            self.say(f'"{words}" is not a number from 1 to 100. Nothing changed.')
            return
        self.service.remember(SURE_KEY, str(int(digits) / 100))
        self.changed(f"{count(self.sure_count, 'pin or pair', 'pins and pairs')} of {digits}% or more: a accepts.")

    # No

    def action_reject(self) -> None:
        question = self.question
        if isinstance(question, PairProposal):
            pair = question.pair
            self._answer(lambda: self.service.reject_pair(pair.before_id, pair.after_id), "Not a pair.")
        elif self.mark is not None:
            entry = self.mark
            self._answer(lambda: self.service.reject_many(entry.both), f"{entry.called} is not there.")
        elif isinstance(question, BurstProposal):
            self._answer(lambda: self.service.let_stand(question.picture_ids), "All are shown.")
        elif isinstance(question, SpotProposal):
            self.action_elsewhere()
        elif question is not None:
            self.say("Leave it with space. A camera's clock is set with: asfound clock")

    def action_elsewhere(self) -> None:
        question, picture_id = self.question, self.picture_id
        if isinstance(question, SpotProposal) and picture_id is not None:
            self.ask_where_they_belong([picture_id], question.spot.spot_id)
        else:
            self.say("First choose a picture of a spot.")

    # A name

    def action_name(self) -> None:
        question = self.question
        if isinstance(question, SpotProposal):
            words = question.suggested_name or question.spot.name
            self.ask("Call this spot", self._give_name, words=words)

    def _give_name(self, words: str) -> None:
        question = self.question
        if isinstance(question, SpotProposal):
            self._answer(lambda: self.service.name_spot(question.spot.spot_id, words), f"Named {words}.")

    # Later, and back

    def action_later(self) -> None:
        """Leave the question; with a doubtful one all that are doubtful. When none is left, go through them again."""
        question = self.question
        self._wanted = None
        if question is None:
            self.later.clear()
            self.changed("")
            return
        left = [one for one in self.questions if is_doubtful(one)] if is_doubtful(question) else [question]
        for one in left:
            self.later.pop(key_of(one), None)
            self.later[key_of(one)] = None
        more = f"{count(len(left), 'doubtful question')} left for later" if len(left) > 1 else "Left for later"
        self.changed(f"{more}; backspace goes back.")

    def action_back_to_left(self) -> None:
        """Ask again what was left for later last."""
        if not self.later:
            self.say("Nothing was left for later.")
            return
        self._wanted, _ = self.later.popitem()
        self.changed("")

    def undo_last(self) -> None:
        """Take the last step back and ask again what it had answered, with the mark on what came back."""
        before = {key_of(one): parts_of(one) for one in self.questions}
        words = self.take_back()
        if words is None:
            return
        for question in ask(self.service.sort_queue()):
            key = key_of(question)
            back = [part for part in parts_of(question) if part not in before.get(key, ())]
            if back:
                self._wanted = key
                self.later.pop(key, None)
                self.changed(f"Taken back: {words}")
                self._mark_part(parts_of(question).index(back[0]) if key in before else 0)
                break
        else:
            self.changed(f"Taken back: {words}")
        self.in_background(self._settle, "settle")

    def _mark_part(self, index: int) -> None:
        if isinstance(self.question, SheetQuestion):
            sheet = self.query_one(ContactSheet)
            sheet.index = min(index, len(sheet.items) - 1)
        elif isinstance(self.question, PinsQuestion):
            self.marked = index
            self.show_question()
