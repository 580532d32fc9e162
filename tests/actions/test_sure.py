"""How sure is sure enough: a person's choice, kept with the archive."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.actions.questions import SURE_AT_FIRST, keep_sure, sure_from
from asfound.errors import Misused
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


@pytest.mark.parametrize(("written", "share"), [("85", 0.85), (" 7 % ", 0.07), ("1", 0.01), ("100%", 1.0)])
def test_a_choice_is_kept_as_a_share(archive: Archive, written: str, share: float) -> None:
    assert keep_sure(archive, written) == pytest.approx(share)
    assert sure_from(archive) == pytest.approx(share)


@pytest.mark.parametrize("written", ["", "0", "101", "many", "8.5", "-3", "%"])
def test_what_is_no_whole_percent_is_refused_and_nothing_changes(archive: Archive, written: str) -> None:
    keep_sure(archive, "60")
    with pytest.raises(Misused, match="1 to 100"):
        keep_sure(archive, written)
    assert sure_from(archive) == 0.6


def test_while_nobody_chose_it_is_the_first_one(archive: Archive) -> None:
    assert sure_from(archive) == SURE_AT_FIRST
