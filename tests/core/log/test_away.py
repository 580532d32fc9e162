"""What is away, what is broken, what is to be bought, and sets."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.core.log.away import find_away, find_broken
from asfound.core.log.sets import join_positions, read_positions, set_words
from asfound.core.log.to_buy import find_to_buy, name_items
from asfound.errors import Misused
from asfound.model.log import LogLine, Snag
from asfound.model.purchases import Purchase, SetMember
from asfound.model.tags import Tag
from tests.core.log.makers import START, tag


def line(kind: str, hour: int, tag_id: int | None = None, what: str = "", *, is_struck: bool = False) -> LogLine:
    return LogLine(
        event_id=hour, tag_id=tag_id, end="", kind=kind, at=START + timedelta(hours=hour), is_day_only=False, how="",
        bag="", what=what, amount="", container="", looks="", by_whom="", note="", strikes=None, entered_at=START,
        is_struck=is_struck,
    )  # fmt: skip


def part(tag_id: int, condition: str = "") -> Tag:
    return tag(tag_id, kind="hose", name=f"hose {tag_id}", condition=condition)


def snag(label: str, tag_id: int | None, buy: str, *, bought: str = "", closed: str = "") -> Snag:
    return Snag(int(label[1:]), 1, label, START, False, tag_id, None, None, "", "worn", buy, bought, closed, "")


def bought(tag_id: int | None = None, snag_id: int | None = None, **said: str) -> Purchase:
    words = {name: "" for name in ("what", "part_number", "price", "shop", "ordered_on", "arrived_on")} | said
    return Purchase(1, tag_id, snag_id, **words)


def test_away_is_what_no_later_line_brings_back_with_or_without_a_number() -> None:
    lines = [
        line("sent out", 1, 17), line("sent out", 2, what="Cylinder  head"), line("came back", 3, 17),
        line("sent out", 4, 18), line("came back", 5, 18, is_struck=True), line("came back", 0, what="cylinder head"),
    ]  # fmt: skip

    assert [one.tag_id or one.what for one in find_away(lines)] == ["Cylinder  head", 18]
    assert [one.tag_id for one in find_away([*lines, line("came back", 6, what="cylinder head")])] == [18]
    assert [one.tag_id for one in find_away([*lines, line("sent out", 7, 17)])][-1] == 17


def test_broken_is_what_was_not_put_right_since() -> None:
    lines = [line("cut", 1, 1), line("broken", 1, 2), line("repaired", 2, 1), line("broken", 1, 3)]

    assert set(find_broken(lines)) == {2, 3}
    assert set(find_broken([*lines, line("new part", 2, 2), line("broken", 3, 1)])) == {1, 3}


def test_what_is_to_be_replaced_or_broken_puts_itself_on_the_list_until_there_is_a_new_part() -> None:
    tags = [part(1, "replace"), part(2, "reuse"), part(3), part(4, "replace"), part(5, "replaced by a new one")]
    lines = [line("broken", 1, 3), line("new part", 2, 4), line("cut", 1, 2)]

    items = find_to_buy(tags, lines, [], [])

    assert [(one.tag_id, one.why, one.state) for one in items] == [
        (1, "condition replace", "to order"), (3, "broken 2025-10-11", "to order"),
    ]  # fmt: skip


def test_list_is_one_with_what_snags_ask_for_and_what_was_put_there() -> None:
    """A snag that says what to buy for a tag stands for the tag too; a closed one asks for nothing."""
    snags = [
        snag("N1", 1, "hose 22 mm"),
        snag("N2", None, "washers"),
        snag(
            "N3",
            2,
            "",
        ),
        snag("N4", 2, "x", closed="y"),
    ]
    own = bought(what="gasket set", price="12 EUR")

    items = find_to_buy([part(1, "replace"), part(2, "replace")], [], snags, [own])

    assert [words for _item, words in name_items(items, {1: "1 (hose 1)", 2: "2 (hose 2)"})] == [
        "2 (hose 2) (condition replace)",
        "hose 22 mm, for 1 (hose 1) (snag N1, condition replace)",
        "washers (snag N2)",
        "gasket set, 12 EUR",
    ]


def test_ordered_and_arrived_are_told_from_to_order() -> None:
    tags, snags = [part(1, "replace"), part(2, "replace")], [snag("N1", None, "nut", bought="2026")]
    items = find_to_buy(tags, [], snags, [bought(1, ordered_on="2026-01-02"), bought(2, arrived_on="2026-02-03")])

    assert [one.state for one in items] == ["ordered", "arrived", "arrived"]
    assert items[0].buying_words == "ordered 2026-01-02"


@pytest.mark.parametrize(
    ("text", "positions"),
    [("1-3", "1 2 3"), ("1 to 3, 5", "1 2 3 5"), ("front, rear", "front rear"), ("2,2", "2"), ("7", "7")],
)
def test_positions_are_read(text: str, positions: str) -> None:
    assert read_positions(text) == tuple(positions.split())


@pytest.mark.parametrize("text", ["", "5-1", "1-9999"])
def test_positions_that_cannot_be_are_refused(text: str) -> None:
    with pytest.raises(Misused):
        read_positions(text)


def test_set_is_told_in_one_line_with_like_positions_together() -> None:
    members = [SetMember(1, str(at), "forward", "scored" if at == 3 else "") for at in (10, *range(1, 6))]

    assert set_words(members) == (
        "6, each back in its own position: 1 to 5, 10; 1, 2, 4, 5, 10 faced forward; 3 faced forward, scored"
    )
    assert set_words(members[1:3]) == "2, each back in its own position: 1, 2, all faced forward"
    assert set_words([SetMember(1, "7", "", "")]) == "1, each back in its own position: 7"
    assert set_words([]) == ""
    assert join_positions(["front", "1", "2", "4"]) == "front, 1, 2, 4"
