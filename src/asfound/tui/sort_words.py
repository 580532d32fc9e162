"""What the sort queue says of each question, in two lines, and the keys it names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.actions.questions import NumberQuestion, PinsQuestion, Question, TimesQuestion, is_doubtful
from asfound.actions.to_sort import BurstProposal, PairProposal, SpotProposal
from asfound.model.pictures import Spot
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.words import count, moment_with_year, moment_words, spot_words

PAIR_WORDS = {"removed": "before and after something came off", "refitted": "off and back on again"}


@dataclass(frozen=True, slots=True)
class Asked:
    """How a question stands on the screen.

    Attributes
    ----------
    spot : Spot or None
        The spot that a question about a spot or a pair is of, as it is known now.
    marked : int
        Which of the proposed pins is marked.
    flipped : bool
        Whether the later picture of a pair, or the picture that a pin is held against, is shown.
    side_by_side : bool
        Whether both pictures of a pair are shown.
    at_once : int
        How many `a` would answer, bursts or sure pins and pairs.
    sure : float
        From which confidence on, 0 to 1.
    doubtful : int
        How many doubtful questions wait.
    later : int
        How many questions were left for later.
    held_against : str
        Which tag end the picture shows that a pin is held against.
    places : tuple of str
        Where the ends of the thing are that a number was read of, by the person's word: ``A: fuel rail``.
    """

    spot: Spot | None = None
    marked: int = 0
    flipped: bool = False
    side_by_side: bool = False
    at_once: int = 0
    sure: float = 0.0
    doubtful: int = 0
    later: int = 0
    held_against: str = ""
    places: tuple[str, ...] = ()


def left_words(questions: Sequence[Question]) -> str:
    """What is left, in words: ``5 left (2 spots, 9 pins)``."""
    kinds = {
        "burst": sum(isinstance(one, BurstProposal) for one in questions),
        "spot": sum(isinstance(one, SpotProposal) for one in questions),
        "pair": sum(isinstance(one, PairProposal) for one in questions),
        "number": sum(isinstance(one, NumberQuestion) for one in questions),
        "pin": sum(len(one.entries) for one in questions if isinstance(one, PinsQuestion)),
        "time": sum(len(one.pictures) for one in questions if isinstance(one, TimesQuestion)),
    }
    return f"{len(questions)} left ({', '.join(count(many, kind) for kind, many in kinds.items() if many)})"


def question_words(question: Question, asked: Asked) -> str:
    """A question and what answers it, a line each."""
    if isinstance(question, BurstProposal):
        many = f" a: so for all {asked.at_once} bursts." if asked.at_once > 1 else ""
        what = f"{count(len(question.picture_ids), 'look-alike')} taken within seconds: show the chosen one in front?"
        return f"{what}\nenter: yes, the others stay behind it. n: show all.{many}"
    if isinstance(question, SpotProposal):
        return _spot_words(question, asked.spot or question.spot)
    if isinstance(question, PairProposal):
        name = question.spot_name or (spot_words(asked.spot) if asked.spot else "")
        what = PAIR_WORDS.get(question.pair.kind, "before and after a change")
        shown = f"This is {'AFTER' if asked.flipped else 'BEFORE'}; x flips."
        side = "Before is left, after is right." if asked.side_by_side else shown
        return f"{name}: {what}? {question.pair.score:.0%} sure.\n{side} enter: yes, n: no.{_sure_words(asked)}"
    if isinstance(question, NumberQuestion):
        return _number_words(question, asked)
    if isinstance(question, PinsQuestion):
        return _pins_words(question, asked)
    return _times_words(question)


def nothing_words(later: int) -> str:
    """What is said when no question is left, or only those left for later."""
    if later:
        return f"Everything was looked at; {later} left for later.\nspace goes through them again."
    return (
        "Nothing waits for an answer; u takes back, step by step. s goes to the spots:\n"
        "open a picture there and type a tag's number on it. a brings in more pictures."
    )


def question_hints(question: Question, asked: Asked) -> Sequence[Hint]:
    """The keys that answer a question, the most useful first."""
    all_later = is_doubtful(question) and asked.doubtful > 1
    later = Hint("space", "space", "leave all doubtful" if all_later else "later")
    undo, large = Hint("u", "u", "undo"), Hint("v", "v", "open")
    back = [Hint("backspace", "⌫", "the one left")] if asked.later else []
    return [*_answer_hints(question, asked, later, undo, large), *back]


def _answer_hints(question: Question, asked: Asked, later: Hint, undo: Hint, large: Hint) -> Sequence[Hint]:
    all_sure = Hint("a", "a", "all sure ones")
    if isinstance(question, BurstProposal):
        all_bursts = [Hint("a", "a", "all bursts")] if asked.at_once > 1 else []
        return [Hint("enter", "enter", "yes"), Hint("n", "n", "show all"), later, undo, *all_bursts, large]
    if isinstance(question, SpotProposal):
        yes = Hint("enter", "enter", "yes")
        return [yes, Hint("n", "n", "elsewhere"), later, undo, large, Hint("r", "r", "call it")]
    if isinstance(question, TimesQuestion):
        return [Hint("enter", "enter", "all right"), large, later, undo]
    if isinstance(question, NumberQuestion):
        ends = [Hint(one.end, one.end, f"end {one.end}") for one in sorted(question.entry.both, key=lambda p: p.end)]
        return [*ends, Hint("n", "n", "not it"), later, undo, Hint("x", "x", "as found"), large]
    if isinstance(question, PairProposal):
        yes, flip = Hint("enter", "enter", "yes"), Hint("x", "x", "flip")
    else:
        yes, flip = Hint("enter", "enter", "all right"), Hint("x", "x", "as found")
    return [yes, Hint("n", "n", "no"), later, undo, *([all_sure] if asked.at_once else []), flip, large]


def nothing_hints(later: int) -> Sequence[Hint]:
    """The keys when no question is left."""
    again = [Hint("space", "space", "the ones for later")] if later else []
    return [*again, Hint("a", "a", "bring in"), Hint("u", "u", "undo"), ESCAPE]


def _spot_words(question: SpotProposal, spot: Spot) -> str:
    new = count(len(question.picture_ids), "new picture")
    name = spot_words(question.spot)
    known = len(spot.picture_ids) - len(question.picture_ids)
    asked = f"one place, {name}?" if known <= 0 else f"more of {name} (it has {known})?"
    why = f"They look like the {question.known} pictures it has." if question.known else "They look alike."
    return f"{new}: {asked} {why}\nenter: yes. n: the chosen one belongs elsewhere. r names it. A number tags it."


def _times_words(question: TimesQuestion) -> str:
    taken = [one.taken_at or one.taken_local for one in question.pictures]
    if len(taken) > 1:
        first = f"{count(len(taken), 'picture')}, {moment_words(taken[0])} and on"
    else:
        first = f"Taken {moment_with_year(taken[0])}"
    return f"{first}: is the time right? Doubtful: {question.why}\nenter: right. Else leave it and set the clock."


def _number_words(question: NumberQuestion, asked: Asked) -> str:
    entry = question.entry
    what = f"{entry.number} {entry.tag_name}".strip()
    if asked.flipped:
        return f"This is {asked.held_against}, where it was pinned.\nx goes back to the question."
    also = f", in {count(question.also, 'more picture')} too" if question.also else ""
    doubt = "Doubtful: " if question.doubtful else ""
    lines = [f"{doubt}{what} is read here{also}, {entry.confidence:.0%} sure: which end?"]
    if asked.places:
        lines.append(", ".join(asked.places))
    ends = ", ".join(f"{one.end}: end {one.end}" for one in sorted(entry.both, key=lambda p: p.end))
    return "\n".join((*lines, f"{ends}, n: not {entry.number}, {_later_words(question, asked)}"))


def _pins_words(question: PinsQuestion, asked: Asked) -> str:
    mark = question.entries[asked.marked]
    what = f"{mark.called} {mark.tag_name}".strip()
    if asked.flipped:
        return f"This is {asked.held_against}, where it was pinned.\nx goes back to the question."
    sure = f"{'read' if mark.proposal.source == 'read' else 'carried here'}, {mark.confidence:.0%} sure"
    doubt = "Doubtful: " if question.doubtful else ""
    rest = f" {_later_words(question, asked)}" if question.doubtful else _sure_words(asked)
    if len(question.entries) == 1:
        return f"{doubt}{'is' if doubt else 'Is'} this {what}? {sure}\nenter: yes, n: no, x: as found.{rest}"
    first = f"{doubt}{len(question.entries)} pins: all right? Marked: {what}, {sure}"
    return f"{first}\nenter: all, n: not the marked one, tab: next.{rest}"


def _later_words(question: Question, asked: Asked) -> str:
    if is_doubtful(question) and asked.doubtful > 1:
        return f"space: leave all {asked.doubtful} doubtful ones."
    return "space: later."


def _sure_words(asked: Asked) -> str:
    return f" a: all {asked.at_once} of {asked.sure:.0%} or more." if asked.at_once > 1 else ""
