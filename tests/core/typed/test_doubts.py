"""A line that denies, asks, plans or doubts is never written as done."""

from __future__ import annotations

import pytest

from asfound.core.typed.doubts import refuse_open_line, refuse_turned
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import split_line
from tests.core.typed.lines import read, sure

DONE = (
    "17 off",
    "took 17 off",
    "17 back on",
    "17 torqued 45 Nm",
    "capped 18",
    "drained 6 l coolant",
    "coolant drained",
    "filled 9 l coolant",
    "engine lifted out",
    "38 sent out to the shop",
    "36 snapped",
    "17 new part",
    "B9 7 back",
    "gap 0.3 mm on 40",
    "bled the fuel system",
    "17 off, bolts in B4",
)
BEFORE = (
    "maybe, i think, not, never, was, is, are, have i, did you, has, should have, will, going to have, if, when, once, "
    "before, plan:, next:, not true:, wrong:, apparently, i hope, he says, nobody, who, why, where, what if, "
    "in case of, looks like, seems like, let's say, forgot, almost, nearly, please, tomorrow, someone"
).split(", ")
BEHIND = (
    "?| ?| maybe|, maybe| i think|, i think| not|, not yet|, or not| soon| later| tomorrow| needed| if possible|"
    " in theory|, i hope| hopefully|, he says|, MK says|, no|, nope| - no|, wrong|, almost| half way|"
    ", only one end| to be done|, to be done| pending| in progress|, started|, failed|, gave up|, no luck|"
    ", could not|, wasnt|, is not| instead of 18| before 18| unless 18 is off|, or was it 18|, actually 18|"
    ", no 18|, should be|, will do|, doing it now|, not sure|, cant remember|, scratch that|, ignore that|, undo|"
    ", mistake|, wait|, skip that|, why|, isnt it|, forget it"
).split("|")


@pytest.mark.parametrize("done", DONE)
def test_a_done_thing_is_read_and_with_a_doubt_before_it_is_not(done: str):
    assert sure(done)

    taken = [word for word in BEFORE if read(f"{word} {done}").sure]

    assert taken == []


@pytest.mark.parametrize("done", [one for one in DONE if not one.startswith(("38", "17 off, bolts"))])
def test_with_a_doubt_behind_it_nothing_is_taken(done: str):
    taken = [word for word in BEHIND if (said := read(f"{done}{word}").sure) and said[0].kind != "buy"]

    assert taken == []


@pytest.mark.parametrize(
    "line",
    [
        "17 off, 17 not",
        "17 off, still on",
        "17 off at one end",
        "17 off, the other end only",
        "17 off limits",
        "17 off centre",
        "41 out by 2 mm",
        "40 gap 0.3 mm max",
        "45 Nm for 36",
        "36 torqued 45 Nm then loosened",
        "took 17 off until friday",
        "17 to come off",
        "coolant about to be drained",
        "drained oil and filled 2 l",
        "plan: 17 off",
        "please take 17 off",
    ],
)
def test_what_only_sounds_done_is_asked_back(line: str):
    assert read(line).sure is None


def test_what_is_wanted_done_is_not_bought():
    taken = [done for done in DONE if done != "17 new part" and read(f"want {done}").sure]

    assert taken == []
    assert sure("need split pins for 17")[0].what == "split pins"


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("17 off, not 18", "not 18"),
        ("17a off, 17b still on", "17b still on"),
        ("17 off, next to the pump", "next to the pump"),
        ("17 off, clip to be replaced", "clip to be replaced"),
        ("17 off, could not find the clip", "could not find the clip"),
        ("4 reconnected, click heard", "click heard"),
        ("17 back on, still weeping a little", "still weeping a little"),
    ],
)
def test_a_remark_of_something_else_stays_a_remark(line: str, note: str):
    assert sure(line)[0].note == note


@pytest.mark.parametrize("line", ["was 17 off", "have we capped 18", "who took 17 off", "17 to be capped"])
def test_questions_and_what_is_to_come(line: str):
    with pytest.raises(Unread):
        refuse_open_line(split_line(line))


@pytest.mark.parametrize("line", ["had to be cut", "have 17 demounted", "isolator 17 off", "sent 38 to be skimmed"])
def test_what_only_begins_like_a_question_is_let_through(line: str):
    refuse_open_line(split_line(line))


def test_words_turn_a_line_over_only_where_nothing_else_stands_beside_them():
    refuse_turned(split_line("not the long one"))
    refuse_turned(split_line("stiff"))
    with pytest.raises(Unread):
        refuse_turned(split_line("not really"))
