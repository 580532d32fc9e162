"""A question of the sort queue drawn: its words above a sheet, a picture with pins, or the two pictures of a pair."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from asfound.actions.archive import Archive
from asfound.actions.ends import find_end
from asfound.actions.pinned import PinEntry, ProposalEntry
from asfound.actions.questions import NumberQuestion, PinsQuestion, Question, SheetQuestion, key_of, sheet_ids
from asfound.actions.spot_list import read_spot
from asfound.actions.to_sort import BurstProposal, PairProposal, SpotProposal
from asfound.tui.opening import OpenPictures
from asfound.tui.sheets import in_front, sheet_items
from asfound.tui.sort_words import Asked
from asfound.tui.widgets.asked_pictures import AskedPictures, AskedPin
from asfound.tui.widgets.contact_sheet import ContactSheet

SIDE_BY_SIDE_FROM = 100


class QuestionView(Vertical):
    """Shows one question; which of its pins is marked and which of its pictures is looked at is kept here."""

    DEFAULT_CSS = """
    QuestionView { height: 1fr; }
    QuestionView > #question { height: auto; max-height: 4; min-height: 2; padding: 0 1; background: $surface; }
    QuestionView > #question { text-style: bold; }
    """

    def __init__(
        self,
        archive: Callable[[], Archive],
        opened: OpenPictures,
        in_background: Callable[[Callable[[], None], str], None],
    ) -> None:
        super().__init__()
        self._archive = archive
        self._words = Static(id="question", markup=False)
        self.sheet = ContactSheet(opened)
        self.pictures = AskedPictures(in_background, id="pictures")
        self.question: Question | None = None
        self.flipped = False
        """Whether the later picture of a pair, or the picture that a pin is held against, is shown."""
        self.marked = 0

    def compose(self) -> ComposeResult:
        yield self._words
        yield self.sheet
        yield self.pictures

    # How the question stands

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
            return self.sheet.chosen.picture_id if self.sheet.chosen else None
        if isinstance(question, PairProposal):
            return question.pair.after_id if self.flipped else question.pair.before_id
        return None if question is None else question.picture.picture_id

    @property
    def held_against(self) -> PinEntry | None:
        """The best pinned picture of the end that is marked, or of either where the end is asked, but this one."""
        for one in self.mark.both if self.mark is not None else ():
            entry = find_end(self._archive(), one.tag_id, one.end)
            for known in () if entry is None else (entry.as_found, *entry.pins):
                is_pin = known is not None and known.pin.pin_id and known.pin.end == one.end
                if known is not None and is_pin and known.pin.picture_id != one.picture_id:
                    return known
        return None

    @property
    def looked_at(self) -> int | None:
        """The picture that is shown: the one asked about, or the one that its pin is held against."""
        known = self.held_against if self.flipped else None
        return known.pin.picture_id if known is not None else self.picture_id

    @property
    def is_side_by_side(self) -> bool:
        return isinstance(self.question, PairProposal) and self.app.size.width >= SIDE_BY_SIDE_FROM

    def ids_on_sheet(self, question: SheetQuestion) -> tuple[int, ...]:
        """The pictures on the sheet: of look-alikes those in front, unless it is they that are asked about."""
        ids = sheet_ids(question)
        return ids if isinstance(question, BurstProposal) else in_front(self._archive(), ids)

    def asked(self, question: Question) -> Asked:
        """How a question stands here, for the words above it."""
        spot_id = question.spot.spot_id if isinstance(question, SpotProposal) else None
        spot_id = question.pair.spot_id if isinstance(question, PairProposal) else spot_id
        known = self.held_against if self.flipped else None
        return Asked(
            spot=None if spot_id is None else read_spot(self._archive(), spot_id).spot,
            marked=self.marked,
            flipped=self.flipped,
            side_by_side=self.is_side_by_side,
            held_against="" if known is None else f"{known.number} {known.pin.end} {known.tag_name}".strip(),
            places=self._places(question.entry) if isinstance(question, NumberQuestion) else (),
        )

    def _places(self, entry: ProposalEntry) -> tuple[str, ...]:
        """Where the ends are that a number may be of, as far as somebody has said."""
        found = [find_end(self._archive(), one.tag_id, one.end) for one in sorted(entry.both, key=lambda p: p.end)]
        return tuple(f"{one.end.end}: {one.end.place}" for one in found if one is not None and one.end.place)

    # Showing it

    def take(self, question: Question | None) -> bool:
        """Have a question in hand, a new one from its beginning; whether it is another one than before."""
        is_new = (self.question and key_of(self.question)) != (question and key_of(question))
        self.question = question
        if is_new:
            self.flipped, self.marked = False, 0
        if isinstance(question, PinsQuestion):
            self.marked = min(self.marked, len(question.entries) - 1)
        return is_new

    def show(self, words: str, *, is_new: bool, nothing: str) -> Widget:
        """Draw the question in hand under these words, or `nothing` where none is; what the keys are meant for."""
        question = self.question
        self._words.update(words)
        self.sheet.display = isinstance(question, SheetQuestion)
        self.pictures.display = not self.sheet.display
        self.pictures.beside.display = self.is_side_by_side
        if isinstance(question, SheetQuestion):
            if is_new:
                self.sheet.index = 0
            self.sheet.set_items(sheet_items(self._archive(), self.ids_on_sheet(question)))
        elif question is None:
            self.pictures.show_none(nothing)
        else:
            self.call_after_refresh(self._show_pictures)
        return self.sheet if self.sheet.display else self.pictures.front

    def choose_part(self, index: int) -> None:
        """Put the mark on a pin or a picture of the question in hand."""
        if isinstance(self.question, SheetQuestion):
            self.sheet.index = min(index, len(self.sheet.items) - 1)
        elif isinstance(self.question, PinsQuestion):
            self.marked = index

    def _show_pictures(self) -> None:
        question = self.question
        if isinstance(question, PairProposal) and self.is_side_by_side:
            self.pictures.show((question.pair.before_id, question.pair.after_id))
        elif isinstance(question, PairProposal | PinsQuestion | NumberQuestion):
            looked_at = self.looked_at
            assert looked_at is not None, "such a question is about a picture"
            known = self.held_against if self.flipped else None
            self.pictures.show((looked_at,), self._pins(question, known), keep_view=self.flipped)

    def _pins(self, question: Question, known: PinEntry | None) -> Sequence[AskedPin]:
        mark = self.mark
        if mark is None or (self.flipped and known is None):
            return ()
        if known is not None:
            at = known.pin
            return [AskedPin(f"{known.number}{at.end}", at.x_frac, at.y_frac, proposed=False, current=True)]
        entries = question.entries if isinstance(question, PinsQuestion) else (mark,)
        return [
            AskedPin(one.label, one.proposal.x_frac, one.proposal.y_frac, proposed=True, current=one is mark)
            for one in entries
        ]
