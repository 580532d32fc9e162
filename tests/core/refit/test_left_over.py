"""What is left over."""

from __future__ import annotations

from asfound.core.log.record import BagContents, Record
from asfound.core.refit.left_over import CountedOut, count_caps, find_left_over
from tests.core.log.makers import end, event, tag
from tests.scenario import load_sallow, read_rows


def test_things_still_off_bags_and_what_is_out_are_named_in_this_order() -> None:
    record = Record(
        tags=(tag(2), tag(1, name="earth lead"), tag(3)),
        events=(event(1, "off", 1), event(2, "off", 1), event(2, "refitted", 2)),
        bags=(
            BagContents("B1", count_out=4, count_back=4),
            BagContents("B2", count_out=4, count_back=3),
            BagContents("B3", count_out=4, count_back=5),
            BagContents("B4", count_out=4),
            BagContents("B5"),
            BagContents("B6", count_back=2),
            BagContents("Back in place"),
        ),
    )
    counts = [CountedOut("rags", 3, 3), CountedOut("caps and plugs", 5, 4), CountedOut("tools", 1, where="on the hull")]

    left = find_left_over(record, counts)

    assert [one.why for one in left] == [
        "1 (earth lead) is still off: refit it, or write down why it stays off.",
        "Bag B2 is 1 short (4 out, 3 back): look for what is missing.",
        "Bag B3 has 1 too many (4 out, 5 back): find where they belong.",
        "Bag B4 is not counted back (4 went in): count it.",
        "Bag B5 is not counted back (what went in was not counted): count it.",
        "5 caps and plugs went out, 4 counted back: look for each of them.",
        "1 tools went out, none counted back yet: look for each of them (on the hull).",
    ]
    assert [one.kind for one in left] == ["off", "short", "over", "not counted", "not counted", "out", "out"]


def test_caps_are_counted_from_the_ends() -> None:
    record = Record(tags=(tag(1), tag(2)), ends=(end(1, "A", capped=True), end(1, "B", capped=False), end(2, "B")))

    assert count_caps(record) == CountedOut("caps and plugs", 1, None, "1 (wire) end A")
    assert find_left_over(record, [count_caps(Record(tags=(tag(1),)))]) == []


def test_sallow_has_three_things_off_and_one_bag_short() -> None:
    record = load_sallow()

    left = find_left_over(record, [count_caps(record)])

    assert [record.by_id[one.tag_id].number for one in left if one.tag_id] == ["1", "29", "41"]
    assert [(one.bag, one.kind) for one in left if one.bag] == [("B9", "short")]
    capped = [row[column] for row in read_rows("scenario") for column in ("capped_a", "capped_b")].count("yes")
    assert left[-1].why.startswith(f"{capped} caps and plugs went out")
