"""A terminal that takes 250 KB a second: no frame is drawn that the line has no room for.

Judged by bytes and frames, not by seconds, so that a busy machine changes nothing: it can only draw less.
"""

from __future__ import annotations

import os
import select
import time

import pytest

from tests.bench.slow_line import (
    ANSWER,
    FIRST_FRAME_BYTES,
    GIVEN_UP_S,
    QUESTION,
    STEPS,
    app_on_a_terminal,
    key_of_step,
    run_over,
)

LINE = 250_000.0
SETTLES_IN_S = 2.0
HELD_BACK_S = 0.2
"""Less than after what time a terminal that never answers is drawn on all the same."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a pseudo-terminal")


def test_what_is_still_to_come_after_sixty_steps_is_through_in_two_seconds() -> None:
    run = run_over(LINE, paced=True)
    assert run.bytes_after <= SETTLES_IN_S * LINE
    assert 2 <= run.frames < STEPS  # it moved meanwhile; what the line cannot take was left out


def test_no_frame_is_under_way_while_the_terminal_has_not_shown_the_last_one() -> None:
    with app_on_a_terminal(paced=True) as fd:
        seen = read_until_asked(fd)
        assert len(seen) >= FIRST_FRAME_BYTES
        answer_all(fd)
        held_back = 0
        for step in range(0, 12, 2):
            os.write(fd, key_of_step(step) + key_of_step(step + 1))
            frame = read_until_asked(fd)
            assert len(frame) >= FIRST_FRAME_BYTES / 3
            os.write(fd, b"-+-L")  # wanted meanwhile
            held_back += len(read_for(fd, HELD_BACK_S)) < len(frame) / 4
            answer_all(fd)
    # On a busy machine one may be drawn on for want of an answer; without pacing all six would be.
    assert held_back >= 3


def answer_all(fd: int) -> None:
    """Answer, and whatever is asked after that, until the picture stands still."""
    os.write(fd, ANSWER)
    while QUESTION in (more := read_for(fd, 0.6)):
        os.write(fd, ANSWER * more.count(QUESTION))


def read_until_asked(fd: int) -> bytes:
    """Everything up to the first question, and what came with it."""
    data = b""
    until = time.monotonic() + GIVEN_UP_S
    while QUESTION not in data and time.monotonic() < until:
        data += read_for(fd, 0.05)
    return data


def read_for(fd: int, seconds: float) -> bytes:
    data = b""
    until = time.monotonic() + seconds
    while (left := until - time.monotonic()) > 0:
        if select.select([fd], [], [], left)[0]:
            data += os.read(fd, 1 << 16)
    return data
