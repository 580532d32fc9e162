"""A typed line is read as it is meant, or asked back."""

from __future__ import annotations

import pytest

from asfound.core.typed.reader import said_of
from asfound.core.typed.said import Said
from tests.core.typed.lines import NOW, read, sure


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("took 17 off", Said("off", ("17",))),
        ("unplugged 4, 5 & 6", Said("off", ("4", "5", "6"))),
        ("17-19 off", Said("off", ("17", "18", "19"))),
        ("removed 17 to 19", Said("off", ("17", "18", "19"))),
        ("17/18 off", Said("off", ("17", "18"))),
        ("17a and b off", Said("off", ("17a", "17b"))),
        ("end b of 17 off", Said("off", ("17b",))),
        ("second 12 off", Said("off", ("12.2",))),
        ("disconected 4", Said("off", ("4",))),
        ("o/s fuel line 31 removed", Said("off", ("31",))),
        ("20 off, 4 bolts in bag B4", Said("off", ("20",), bag="B4", note="4 bolts")),
        ("20 unbolted, bolts back in their holes", Said("off", ("20",), bag="back in place")),
        ("17 off, rubbing on 18", Said("off", ("17",), note="rubbing on 18")),
        ("17 off, 18 still on", Said("off", ("17",), note="18 still on")),
        ("17 back on hand tight", Said("refitted", ("17",), how="by hand")),
        ("hooked 14 back up", Said("refitted", ("14",))),
        ("36 tightened 45nm + 90°", Said("torque", ("36",), amount="45nm + 90°")),
        ("snapped stud on 36", Said("broken", ("36",), note="stud")),
        ("had to cut 47", Said("cut", ("47",))),
        ("plugged 18 with a cork", Said("capped", ("18",), note="cork")),
        ("took the rag out of 28", Said("uncapped", ("28",), note="rag")),
        ("41 gap 0,3 mm", Said("measured", ("41",), what="gap", amount="0,3 mm")),
        ("let the oil out, 7 l, black", Said("drained", what="oil", amount="7 l", looks="black")),
        ("6,5 l oil drained", Said("drained", what="oil", amount="6,5 l")),
        ("new oil in, 7 l 15W40", Said("filled", what="oil", amount="7 l", grade="15W40")),
        ("bled the fuel system", Said("bled", what="fuel system")),
        ("got 38 back from the shop", Said("came back", ("38",), by="shop")),
        ("38 sent to injector shop, back friday", Said("sent out", ("38",), by="injector shop", promised="2025-11-07")),
        ("swapped 28 for a new one", Said("new part", ("28",))),
        ("17 needs a new clamp", Said("buy", ("17",), what="clamp")),
        ("can't get 36 off", Said("snag", ("36",), what="can't get 36 off")),
        ("two washers short in B1", Said("snag", bag="B1", what="two washers short")),
        ("B9 short 1", Said("snag", bag="B9", what="short 1")),
        ("31 thread stripped", Said("snag", ("31",), what="thread stripped")),
        ("17 clamp needed", Said("buy", ("17",), what="clamp")),
        ("20 out, bolts B4", Said("off", ("20",), bag="B4", note="bolts")),
        ("20 off, left the bolts in the holes", Said("off", ("20",), bag="back in place")),
        ("all three 17 18 19 off", Said("off", ("17", "18", "19"))),
        ("all of 17-19 off", Said("off", ("17", "18", "19"))),
        ("4 pulled off and 5 also", Said("off", ("4", "5"))),
        ("took off 17a and b", Said("off", ("17a", "17b"))),
        ("took off 17b and a", Said("off", ("17b", "17a"))),
        ("36 25 Nm then 45 Nm", Said("torque", ("36",), amount="25 Nm then 45 Nm")),
        ("36 45 Nm dry", Said("torque", ("36",), amount="45 Nm", note="dry")),
        ("36 nipped up", Said("refitted", ("36",), how="tight")),
        ("17b without tape", Said("tape lost", ("17b",))),
        ("cap fell off 18", Said("uncapped", ("18",), note="cap")),
        ("B9 6 of 7 back", Said("counted back", bag="B9", amount="6")),
        ("put 7 bolts in B9", Said("counted out", bag="B9", what="bolts", amount="7")),
        ("17b lost its tape", Said("tape lost", ("17b",))),
        ("retaped 17b", Said("tape back", ("17b",))),
        ("17 note ring the shop monday", Said("note", ("17",), note="ring the shop monday")),
        ("engine lifted out", Said("lifted out", what="engine")),
        ("checked for leaks, none", Said("leaks looked at", note="none")),
        ("mk: 17 off", Said("off", ("17",), by="mk")),
        ("17 off by the yard engineer", Said("off", ("17",), by="yard engineer")),
        ("Piet removed 17", Said("off", ("17",), by="Piet")),
    ],
)
def test_one_thing_is_said(line: str, said: Said):
    assert sure(line) == (said,)


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("17 off and back on", "off refitted"),
        ("coolant back in 9 l, bled, no leaks", "filled bled leaks looked at"),
        ("17 off; 18 capped; drained 2 l fuel", "off capped drained"),
        ("drained 9 l coolant and 7 l oil", "drained drained"),
        ("17 fitted and torqued to 45 Nm", "refitted torque"),
        ("B4 bolts 4 back, washers 8 back", "counted back counted back"),
    ],
)
def test_several_things_are_said_in_one_line(line: str, kinds: str):
    assert " ".join(said.kind for said in sure(line)) == kinds


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("17 off yesterday evening", "2025-11-04 23:59"),
        ("sat: 17, 18 off", "2025-11-01 23:59"),
        ("17 back on 31/5", "2025-05-31 23:59"),
        ("yesterday 17 off at 14:20", "2025-11-04 14:20"),
        ("30 oct 17 off", "2025-10-30 23:59"),
        ("17 off last evening", "2025-11-04 23:59"),
        ("17 off since yesterday", "2025-11-04 23:59"),
        ("17 off at 9 this morning", "2025-11-05 09:00"),
        ("yesterday at two thirty pm 17 off", "2025-11-04 14:30"),
    ],
)
def test_the_time_stands_anywhere(line: str, when: str):
    (said,) = sure(line)

    assert said.when is not None
    assert f"{said.when.at:%Y-%m-%d %H:%M}" == when


@pytest.mark.parametrize(
    "line",
    [
        "",
        "17",
        "off",
        "it is off",
        "17 of",
        "17 not off yet",
        "17 off?",
        "17 or 18 off",
        "need to take 17 off",
        "take 17 off tomorrow",
        "17 off, 18",
        "17 off 18",
        "17 off with 18",
        "switched 17 off",
        "17 off to the shop",
        "17 back",
        "17 back monday",
        "17 on the bench",
        "17 on 18",
        "17 clamp off",
        "injector 3 off",
        "everything off",
        "17 and 18 swapped",
        "17 off 31/11",
        "17 off at 9",
        "17 off 14.20",
        "17 off half nine",
        "17 off yesterday at half past three",
        "all 17 off",
        "took 17 off but",
        "17 off a",
        "took 17 off and b",
        "drained 6 coolant",
        "B9 more 7 back",
        "all four of 17 and 18 off",
        "filled 4 of 9 l coolant",
        "17 moved to get 18 off",
        "17 off last week",
        "17 off by 14:20",
        "17 off, 18 off yesterday",
        "20 bolts in B4",
        "17 off, bolts in B2, washers in B4",
        "water in the oil",
        "plugged 52",
    ],
)
def test_what_is_not_clear_is_asked_back_and_nothing_is_taken(line: str):
    answer = read(line)

    assert answer.sure is None
    assert answer.why.endswith("Nothing was written.")


def test_two_readings_are_both_told():
    answer = read("17 off 3/11")

    assert [reading[0].when.at.month for reading in answer.readings if reading[0].when] == [11, 3]
    assert [reading[0].tags for reading in read("12 off").readings] == [("12.1",), ("12.2",)]
    assert [reading[0].tags for reading in read("17 tape lost").readings] == [("17a",), ("17b",)]
    assert len(read("17 off, snapped").readings) == 2


def test_numbers_nobody_has_are_named_and_the_others_offered():
    answer = read("30-36 off")

    assert "no 33 and 34" in answer.why
    assert answer.readings[0][0].tags == ("30", "31", "32", "35", "36")


def test_no_date_is_left_in_a_note():
    for line in ("17 off, stiff 31/5", "17 off stiff, yesterday", "17 off, 14:20, stiff", "17 off stiff 30 oct"):
        (said,) = sure(line)
        assert said.note == "stiff", line
        assert said.when is not None


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("off", "17 off"),
        ("off, stiff, bag 4", "17 off, stiff, bag 4"),
        ("14:20 off", "14:20 17 off"),
        ("yesterday 14:20 off bag 4", "yesterday 14:20 17 off bag 4"),
        ("note 12 mm spanner", "17 note 12 mm spanner"),
        ("", "17"),
        ("12 off", "12 off"),
        ("W12 off", "W12 off"),
        ("yesterday 14:20 12 off", "yesterday 14:20 12 off"),
    ],
)
def test_a_line_is_of_the_thing_in_hand_unless_a_number_stands_first(typed: str, line: str):
    assert said_of("17", typed, NOW) == line
