"""No number, time, verb or doubt is swallowed into a remark."""

from __future__ import annotations

import pytest

from asfound.core.typed.remarks import check_remark
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import read_numbers, split_line
from tests.core.typed.lines import KNOWN


def check(text: str, *, is_head: bool = False) -> None:
    check_remark(read_numbers(split_line(text), KNOWN), is_head=is_head)


@pytest.mark.parametrize("text", ["stiff", "rubbing on 18", "gap 0.25", "clip was never there", "4 bolts", "no clip"])
def test_what_only_describes_stays(text: str):
    check(text)


@pytest.mark.parametrize("text", ["18", "stiff 31/5", "14.20", "yesterday", "fri", "at", "maybe", "not yet", "one end"])
def test_what_may_mean_more_is_refused(text: str):
    with pytest.raises(Unread):
        check(text)


def test_a_verb_or_an_only_directly_behind_the_verb_is_refused():
    check("snapped clip could not be found")
    for text in ("capped", "only just", "needed"):
        with pytest.raises(Unread):
            check(text, is_head=True)
