"""Where a person is in the questions that wait: which one is asked, and which were left for later."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.actions.questions import Question, is_doubtful, key_of, parts_of

QueueKey = tuple[object, ...]


class SortQueue:
    """The questions in their order, and the place in them; it knows no archive and no screen."""

    def __init__(self) -> None:
        self.questions: Sequence[Question] = ()
        self.most = 0
        """The most questions that waited at once since none did."""
        self._later: dict[QueueKey, None] = {}
        self._wanted: QueueKey | None = None

    def renew(self, questions: Sequence[Question]) -> None:
        """Take what waits now; what was left for later stays so while it is still asked."""
        self.questions = questions
        keys = {key_of(one) for one in questions}
        self.most = max(self.most, len(questions)) if questions else 0
        self._later = {key: None for key in self._later if key in keys}

    @property
    def question(self) -> Question | None:
        """The one asked now: the one that was asked for, else the first not left for later."""
        open_ones = [one for one in self.questions if key_of(one) not in self._later]
        return next((one for one in open_ones if key_of(one) == self._wanted), next(iter(open_ones), None))

    @property
    def later(self) -> int:
        """How many questions were left for later."""
        return len(self._later)

    @property
    def doubtful(self) -> int:
        """How many doubtful questions wait."""
        return sum(is_doubtful(one) for one in self.questions)

    @property
    def share_done(self) -> float:
        """How much of the most that waited is answered, 0 to 1."""
        return 1 - len(self.questions) / self.most if self.most else 0.0

    def stay(self) -> None:
        """Keep asking what is asked now, whatever comes in before it."""
        self._wanted = None if self.question is None else key_of(self.question)

    def answered(self) -> None:
        """The question is answered: what comes first is asked next."""
        self._wanted = None

    def leave(self) -> int:
        """Leave the question for later, with a doubtful one all that are doubtful; how many that are.

        When every question was left, all of them are asked again, and 0 is given.
        """
        question = self.question
        self._wanted = None
        if question is None:
            self._later.clear()
            return 0
        left = [one for one in self.questions if is_doubtful(one)] if is_doubtful(question) else [question]
        for one in left:
            self._later.pop(key_of(one), None)  # it counts as left last
            self._later[key_of(one)] = None
        return len(left)

    def back(self) -> bool:
        """Ask again what was left for later last; False when nothing was."""
        if not self._later:
            return False
        self._wanted, _ = self._later.popitem()
        return True

    def parts(self) -> dict[QueueKey, tuple[object, ...]]:
        """What each question asks about one by one, to be compared after a step is taken back."""
        return {key_of(one): parts_of(one) for one in self.questions}

    def ask_what_came_back(self, before: dict[QueueKey, tuple[object, ...]], now: Iterable[Question]) -> int | None:
        """Ask next the first question that asks about more than before; the place of what came back in it.

        None when nothing came back. A question that is asked as a whole again begins at its beginning.
        """
        for question in now:
            key = key_of(question)
            back = [part for part in parts_of(question) if part not in before.get(key, ())]
            if back:
                self._wanted = key
                self._later.pop(key, None)
                return parts_of(question).index(back[0]) if key in before else 0
        return None
