"""Other spellings of what was asked for."""

from __future__ import annotations

import pytest

from asfound.core.find.scoring import TagText, find_tags
from asfound.core.find.terms import ALSO_WRITTEN, is_trade_word, terms_of
from asfound.core.words import query_words


@pytest.mark.parametrize(
    ("asked", "written"),
    [
        ("accelerator cable", "throttle cable"),
        ("dynamo", "alternator bracket"),
        ("aircon", "air conditioning belt"),
        ("a/c belt", "air conditioning belt"),
        ("driveshaft", "propeller shaft bolts"),
        ("bell housing bolts", "bellhousing bolts"),
        ("tail pipe", "exhaust, rear"),
        ("fan belt", "alternator belt"),
        ("kill cable", "stop cable"),
        ("heater plugs", "glow plug feed"),
        ("preheat relay", "glow plug relay"),
        ("gas line", "fuel line"),
        ("spill pipe", "leak-off line"),
        ("left mount", "port mount"),
        ("stbd mount aft", "rear starboard mount"),
    ],
)
def test_words_of_another_trade_find_it_after_its_own(asked: str, written: str) -> None:
    """From memory of both coasts' usage; no source."""
    tags = [TagText(1, "1", name="oil dipstick"), TagText(2, "2", name=written), TagText(3, "3", name=asked)]

    assert [found.tag_id for found in find_tags(asked, tags)][:2] == [3, 2]


@pytest.mark.parametrize("group", ALSO_WRITTEN, ids=lambda group: group[0])
def test_each_spelling_asks_for_all_of_its_group_and_for_what_was_typed_first(group: tuple[str, ...]) -> None:
    for one in group:
        (term,) = terms_of(query_words(one))
        assert term.typed == query_words(one)
        assert {query_words(other) for other in group} <= set(term.spellings)


def test_words_that_nobody_writes_otherwise_stay_alone() -> None:
    assert [term.spellings for term in terms_of(("strange", "17"))] == [(("strange",),), (("17",),)]
    assert terms_of(()) == ()
    assert is_trade_word("light")
    assert not is_trade_word("lihgt")


def test_phrase_with_two_other_words_in_between_is_no_phrase() -> None:
    assert [term.typed for term in terms_of(("check", "old", "valve"))] == [("check",), ("old",), ("valve",)]


def test_name_of_nothing_else_goes_before_one_that_mentions_it() -> None:
    tags = [TagText(1, "1", name="raw water hose, loop to exhaust elbow"), TagText(2, "2", name="wet exhaust hose")]

    assert [found.tag_id for found in find_tags("exhaust hose", tags)] == [2, 1]


def test_rare_other_spelling_does_not_go_before_what_was_typed() -> None:
    shims = [TagText(number, str(number), name="mount", how_it_sat=("shim under it",)) for number in range(2, 6)]
    spacer = TagText(1, "1", name="bracket", how_it_sat=("spacer under it",))

    assert [found.tag_id for found in find_tags("shims", [spacer, *shims])] == [2, 3, 4, 5, 1]
