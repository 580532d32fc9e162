"""The sort queue's question drawn: its words above a sheet, a picture with pins, or the two pictures of a pair."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.widgets import Static

from asfound.tui.screens.pictures import in_front, sheet_items
from asfound.tui.sort_asking import SortAsking
from asfound.tui.sort_items import BurstProposal, PairProposal
from asfound.tui.sort_queue import NumberQuestion, PinsQuestion, Question, SheetQuestion, key_of, sheet_ids
from asfound.tui.sort_words import nothing_words, question_words
from asfound.tui.widgets.asked_pictures import AskedPictures, AskedPin
from asfound.tui.widgets.contact_sheet import ContactSheet


class SortShowing(SortAsking):
    """Shows the question at hand."""

    DEFAULT_CSS = """
    SortShowing > #question { height: auto; max-height: 4; min-height: 2; padding: 0 1; background: $surface; }
    SortShowing > #question { text-style: bold; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._shown: object = None

    def body(self) -> ComposeResult:
        yield Static(id="question", markup=False)
        yield ContactSheet(self.opened)
        yield AskedPictures(id="pictures")

    def reload(self) -> None:
        self.read_queue()
        self.show_question()

    def show_question(self) -> None:
        """Draw the question at hand; a new one from its beginning."""
        question = self.question
        key = None if question is None else key_of(question)
        is_new = key != self._shown
        self._shown = key
        if is_new:
            self.after_in_front, self.marked = False, 0
        if isinstance(question, PinsQuestion):
            self.marked = min(self.marked, len(question.entries) - 1)
        words = nothing_words(len(self.later)) if question is None else question_words(question, self.asked(question))
        self.query_one("#question", Static).update(words)
        sheet, pictures = self.query_one(ContactSheet), self.query_one(AskedPictures)
        sheet.display = isinstance(question, SheetQuestion)
        pictures.display = not sheet.display
        pictures.beside.display = self.is_side_by_side
        self.set_focus(sheet if sheet.display else pictures.front)
        if isinstance(question, SheetQuestion):
            if is_new:
                sheet.index = 0
            sheet.set_items(sheet_items(self.service, self.ids_on_sheet(question)))
        elif question is None:
            pictures.show_none("Nothing waits." if not self.later else "The rest was left for later.")
        else:
            self.call_after_refresh(self._show_pictures)

    def stay_here(self) -> None:
        """Keep asking what is asked now, whatever comes in before it."""
        self._wanted = self._shown

    def ids_on_sheet(self, question: SheetQuestion) -> tuple[int, ...]:
        """The pictures on the sheet: of look-alikes those in front, unless it is they that are asked about."""
        ids = sheet_ids(question)
        return ids if isinstance(question, BurstProposal) else in_front(self.service, ids)

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        if self.is_mounted and self.questions:
            self.show_question()

    def _show_pictures(self) -> None:
        question, pictures = self.question, self.query_one(AskedPictures)
        if isinstance(question, PairProposal) and self.is_side_by_side:
            pictures.show((question.pair.before_id, question.pair.after_id))
        elif isinstance(question, PairProposal | PinsQuestion | NumberQuestion) and self.looked_at is not None:
            pictures.show((self.looked_at,), self._pins(question), keep_view=self.after_in_front)

    def _pins(self, question: Question) -> list[AskedPin]:
        mark = self.mark
        if mark is None:
            return []
        if self.after_in_front:
            known = self.held_against(mark)
            if known is None:
                return []
            name = f"{known.number}{known.pin.end}"
            return [AskedPin(name, known.pin.x_frac, known.pin.y_frac, proposed=False, current=True)]
        entries = question.entries if isinstance(question, PinsQuestion) else (mark,)
        return [
            AskedPin(one.label, one.proposal.x_frac, one.proposal.y_frac, proposed=True, current=one is mark)
            for one in entries
        ]
