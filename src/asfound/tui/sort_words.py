"""What the sort queue says of each question, in two lines, and the keys it names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from asfound.actions.questions import NumberQuestion, PinsQuestion, Question, TimesQuestion, is_doubtful
from asfound.actions.to_sort import BurstProposal, PairProposal, SpotProposal
from asfound.model.pictures import Spot
from asfound.tui.keys import UNDO, Key
from asfound.tui.words import count, moment_with_year, moment_words, spot_words

SORT_KEYS = (
    Key(
        "enter",
        "accept",
        "yes: the spot, the pair, all pins; the chosen look-alike goes in front",
        "yes",
        is_first=True,
    ),
    Key("n", "reject", "no: wrong spot, not a pair, wrong pin, or show all look-alikes", "no"),
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
        return f"All seen; {later} left for later.\nspace goes through them again."
    return (
        "Nothing waits for an answer; u takes back, step by step. s goes to the spots:\n"
        "open a picture there and type a tag's number on it. a brings in more pictures."
    )


def foot_order(question: Question | None) -> Sequence[str]:
    """The keys that answer a question, the most useful first."""
    if question is None:
        return ("space", "a", "u")
    if isinstance(question, BurstProposal):
        return ("enter", "n", "space", "u", "a", "v", "backspace")
    if isinstance(question, SpotProposal):
        return ("enter", "n", "space", "u", "v", "r", "backspace")
    if isinstance(question, TimesQuestion):
        return ("enter", "v", "space", "u", "backspace")
    if isinstance(question, NumberQuestion):
        return ("A", "B", "n", "space", "u", "x", "v", "backspace")
    return ("enter", "n", "space", "u", "a", "x", "v", "backspace")


def foot_words(key: Key, question: Question | None, asked: Asked) -> str | None:
    """What a key does to the question at hand; None for one that does nothing now."""
    if question is None:
        return {"space": "the ones for later" if asked.later else "", "a": "bring in"}.get(key.keys, key.short)
    if key.keys in ("A", "B"):
        is_asked = isinstance(question, NumberQuestion) and any(one.end == key.keys for one in question.entry.both)
        return key.short if is_asked else None
    if key.keys == "backspace":
        return key.short if asked.later else None
    if key.keys == "space":
        return "leave all doubtful" if is_doubtful(question) and asked.doubtful > 1 else "later"
    if key.keys == "a":
        least = 2 if isinstance(question, BurstProposal) else 1
        return ("all bursts" if isinstance(question, BurstProposal) else key.short) if asked.at_once >= least else None
    return _ANSWERS[type(question)].get(key.keys, key.short)


_ANSWERS: Mapping[type, Mapping[str, str]] = {
    BurstProposal: {"n": "show all"},
    SpotProposal: {"n": "elsewhere"},
    TimesQuestion: {"enter": "all right"},
    NumberQuestion: {"n": "not it", "x": "as found"},
    PairProposal: {},
    PinsQuestion: {"enter": "all right", "x": "as found"},
}
"""What keys do to each kind of question, where the table of the screen has other words."""


def _spot_words(question: SpotProposal, spot: Spot) -> str:
    many, name = len(question.picture_ids), spot_words(question.spot)
    new = f"Do these {many} new pictures" if many > 1 else "Does this new picture"
    known = len(spot.picture_ids) - many
    asked = f"show one place ({name})?" if known <= 0 else f"show more of {name} (it has {known})?"
    alike = "They look alike." if many > 1 else ""
    why = f"They look like the {question.known} pictures it has." if question.known else alike
    return (
        f"{new} {asked} {why}".rstrip()
        + "\nenter: yes. n: the chosen one belongs elsewhere. r names it. A number tags it."
    )


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
