"""The place in the questions that wait, without any screen: next, answered, later, back."""

from __future__ import annotations

import pytest

from asfound.actions.questions import BurstProposal, Question, TimesQuestion, key_of
from asfound.actions.to_sort import SpotProposal
from asfound.model.pictures import Spot
from asfound.tui.sort_queue import SortQueue

BURST = BurstProposal((1, 2, 3))
FIRST, SECOND = (SpotProposal(Spot(number, 1, "", (number, number + 10)), (number,)) for number in (1, 2))
TIMES = TimesQuestion((), "only the file's own time is known")
ALL: list[Question] = [BURST, FIRST, SECOND, TIMES]


@pytest.fixture
def queue() -> SortQueue:
    made = SortQueue()
    made.renew(ALL)
    return made


def test_the_first_is_asked_and_what_is_answered_is_gone(queue: SortQueue) -> None:
    assert queue.question == BURST

    queue.answered()
    queue.renew(ALL[1:])

    assert queue.question == FIRST
    assert queue.share_done == 0.25


def test_what_is_left_for_later_is_passed_over_and_comes_back_last_first(queue: SortQueue) -> None:
    assert queue.leave() == 1
    assert queue.leave() == 1
    assert (queue.question, queue.later) == (SECOND, 2)

    assert queue.back()
    assert (queue.question, queue.later) == (FIRST, 1)
    assert queue.back()
    assert queue.question == BURST
    assert not queue.back()


def test_when_all_is_left_everything_is_asked_again(queue: SortQueue) -> None:
    for _ in ALL:
        queue.leave()
    assert queue.question is None

    assert queue.leave() == 0
    assert (queue.question, queue.later) == (BURST, 0)


def test_what_is_looked_at_stays_when_more_comes_in_before_it(queue: SortQueue) -> None:
    queue.renew([SECOND])
    queue.stay()
    queue.renew(ALL)
    assert queue.question == SECOND

    queue.answered()
    assert queue.question == BURST


def test_what_was_left_is_forgotten_when_it_is_asked_no_more(queue: SortQueue) -> None:
    queue.leave()
    queue.renew([FIRST])
    assert queue.later == 0

    queue.renew([])
    assert (queue.question, queue.most, queue.share_done) == (None, 0, 0.0)


def test_after_a_step_is_taken_back_its_question_is_asked_with_the_mark_on_what_came_back(queue: SortQueue) -> None:
    queue.renew([BURST, SpotProposal(FIRST.spot, (1,))])
    before = queue.parts()
    both = SpotProposal(FIRST.spot, (1, 11))

    assert queue.ask_what_came_back(before, [BURST, both]) == 1
    queue.renew([BURST, both])
    assert queue.question == both

    assert queue.ask_what_came_back(queue.parts(), [BURST, both]) is None
    assert queue.ask_what_came_back(queue.parts(), [BURST, both, TIMES, SECOND]) == 0
    queue.renew([BURST, both, SECOND])
    assert queue.question is not None
    assert key_of(queue.question) == key_of(SECOND)
