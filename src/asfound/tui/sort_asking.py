"""The sort queue's question at hand: which one it is, how it stands, and what is said of it."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.tui.mending import SpotMending
from asfound.tui.pins import PinEntry, ProposalEntry
from asfound.tui.sort_items import BurstProposal, PairProposal, SortItem, SpotProposal
from asfound.tui.sort_queue import (
    NumberQuestion,
    PinsQuestion,
    Question,
    SheetQuestion,
    ask,
    bursts_of,
    is_doubtful,
    key_of,
    left_words,
    sure_ones,
)
from asfound.tui.sort_words import Asked, nothing_hints, question_hints
from asfound.tui.widgets.contact_sheet import ContactSheet
from asfound.tui.widgets.key_line import Hint

SURE_KEY = "sort sure"
SURE_AT_FIRST = 0.8
SIDE_BY_SIDE_FROM = 100


class SortAsking(SpotMending):
    """Holds the queue and knows which question is asked."""

    def __init__(self) -> None:
        super().__init__()
        self.items: list[SortItem] = []
        self.questions: list[Question] = []
        self.later: dict[object, None] = {}
        """Keys of the questions left for later, the last one last."""
        self.after_in_front = False
        self.marked = 0
        self.most = 0
        self._wanted: object = None

    def read_queue(self) -> None:
        """Read anew what waits."""
        self.items = self.service.sort_queue()
        self.questions = ask(self.items)
        keys = {key_of(one) for one in self.questions}
        self.most = max(self.most, len(self.questions)) if self.questions else 0
        self.later = {key: None for key in self.later if key in keys}

    @property
    def question(self) -> Question | None:
        """The one asked now: the one that was asked for, else the first not left for later."""
        open_ones = [one for one in self.questions if key_of(one) not in self.later]
        return next((one for one in open_ones if key_of(one) == self._wanted), next(iter(open_ones), None))

    @property
    def mark(self) -> ProposalEntry | None:
        """The proposed pin that is marked on the picture."""
        question = self.question
        if isinstance(question, NumberQuestion):
            return question.entry
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
        """The picture on the canvas: the one asked about, or the one that its pin is held against."""
        if self.mark is not None and self.after_in_front:
            known = self.held_against(self.mark)
            return known.pin.picture_id if known else self.picture_id
        return self.picture_id

    def held_against(self, mark: ProposalEntry) -> PinEntry | None:
        """The best pinned picture of the same end, or of either where the end is asked, other than the one at hand."""
        for one in mark.both:
            entry = self.service.find_end(one.tag_id, one.end)
            pinned = (
                [] if entry is None else [p for p in (entry.as_found, *entry.pins) if p is not None and p.pin.pin_id]
            )
            for known in pinned:
                if known.pin.picture_id != one.picture_id and known.pin.end == one.end:
                    return known
        return None

    @property
    def is_side_by_side(self) -> bool:
        return isinstance(self.question, PairProposal) and self.app.size.width >= SIDE_BY_SIDE_FROM

    # How sure is sure enough

    @property
    def sure(self) -> float:
        """From which confidence on `a` accepts, 0 to 1; a person's choice."""
        kept = self.service.remembered(SURE_KEY)
        return float(kept) if kept else SURE_AT_FIRST

    @property
    def sure_count(self) -> int:
        """How many pins and pairs are so sure."""
        pins, pairs = sure_ones(self.items, self.sure)
        return len(pins) + len(pairs)

    # What is said

    def where(self) -> str:
        left = len(self.questions)
        if not left:
            return "Sort: nothing is left to answer"
        bar = 10 if self.app.size.width >= 100 else 5
        done = round(bar * (1 - left / self.most)) if self.most else 0
        later = f", {len(self.later)} for later" if self.later else ""
        return f"Sort {'█' * done}{'░' * (bar - done)} {left_words(self.questions)}{later}"

    def hints(self) -> Sequence[Hint]:
        question = self.question
        return nothing_hints(len(self.later)) if question is None else question_hints(question, self.asked(question))

    def asked(self, question: Question) -> Asked:
        """How the question stands now."""
        if isinstance(question, SpotProposal):
            return Asked(spot=self.service.spot(question.spot.spot_id).spot, later=len(self.later))
        known = self.held_against(self.mark) if self.mark is not None and self.after_in_front else None
        return Asked(
            spot=self.service.spot(question.pair.spot_id).spot if isinstance(question, PairProposal) else None,
            marked=self.marked,
            flipped=self.after_in_front,
            side_by_side=self.is_side_by_side,
            at_once=len(bursts_of(self.items)) if isinstance(question, BurstProposal) else self.sure_count,
            sure=self.sure,
            doubtful=sum(is_doubtful(one) for one in self.questions),
            later=len(self.later),
            held_against="" if known is None else f"{known.number} {known.pin.end} {known.tag_name}".strip(),
            places=self._places(question.entry) if isinstance(question, NumberQuestion) else (),
        )

    def _places(self, entry: ProposalEntry) -> tuple[str, ...]:
        """Where the ends are that a number may be of, as far as somebody has said."""
        found = [self.service.find_end(one.tag_id, one.end) for one in sorted(entry.both, key=lambda p: p.end)]
        return tuple(f"{one.end.end}: {one.end.place}" for one in found if one is not None and one.end.place)
