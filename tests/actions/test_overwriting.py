"""Words that are there already are never lost without a question that shows both."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.actions.overwriting import HOW, ask_before_overwriting
from asfound.core.log.tag_fields import BY_KEY
from asfound.errors import AskFirst

KEYS = sorted(set(BY_KEY) - {"number", "ends"})
words = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=8)


def test_other_words_are_asked_about_with_both_versions_and_the_way_on():
    with pytest.raises(AskFirst) as asked:
        ask_before_overwriting("17", {"name": "hose", "note": "old"}, {"name": "pipe", "note": "old"})

    assert 'name: "hose" -> "pipe"' in str(asked.value)
    assert "note" not in str(asked.value)
    assert str(asked.value).startswith("17 is written down already")
    assert asked.value.how == HOW
    assert "--change" in HOW


def test_field_of_an_end_is_named_with_its_end():
    key = next(key for key, field in BY_KEY.items() if field.end == "B" and field.title == "Place")

    with pytest.raises(AskFirst, match='B place: "pump" -> "head"'):
        ask_before_overwriting("17", {key: "pump"}, {key: "head"})


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ({"name": ""}, {"name": "hose"}),
        ({"note": "greasy"}, {"note": "greasy, replaced"}),
        ({"note": "greasy"}, {"note": "Greasy and wet"}),
        ({"note": "greasy"}, {"note": ""}),
        ({"note": "greasy"}, {}),
        ({"number": "17", "ends": "2"}, {"number": "17b", "ends": "1"}),
    ],
    ids=["new", "grew", "other capitals", "emptied", "not said", "number and ends"],
)
def test_what_loses_nobody_words_is_no_question(before: dict[str, str], after: dict[str, str]):
    ask_before_overwriting("17", before, after)


@settings(max_examples=40, deadline=None)
@given(st.dictionaries(st.sampled_from(KEYS), words), st.dictionaries(st.sampled_from(KEYS), words))
def test_it_asks_just_when_some_word_would_be_gone(before: dict[str, str], after: dict[str, str]):
    lost = [key for key in before if key in after and before[key].casefold() not in after[key].casefold()]

    if lost:
        with pytest.raises(AskFirst) as asked:
            ask_before_overwriting("17", before, after)
        assert all(f'"{before[key]}" -> "{after[key]}"' in str(asked.value) for key in lost)
    else:
        ask_before_overwriting("17", before, after)
