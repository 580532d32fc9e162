"""One list to buy: what is worn or broken, what snags ask for, what a person put on it; nothing drops off unasked."""

from __future__ import annotations

import pytest

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.snags import SnagTies
from asfound.actions.tag import TagWords, add_tag, change_tag
from asfound.actions.to_buy import drop_purchase, list_not_renewed, list_to_buy, note_purchase
from asfound.actions.undo import undo
from asfound.errors import NotFound


def told(archive: Archive, *, arrived: bool = False) -> list[str]:
    return [words for _item, words in list_to_buy(archive, arrived=arrived)]


def states(archive: Archive) -> list[str]:
    return [item.state for item, _words in list_to_buy(archive, arrived=True)]


def test_part_with_the_condition_replace_is_on_the_list_until_a_new_one_is_written_down(archive: Archive):
    hose = add_tag(archive, "17", TagWords(kind="hose", name="bypass hose", condition="replace, cracked"))
    add_tag(archive, "18", TagWords(kind="hose", condition="reuse"))

    (words,) = told(archive)
    assert words == "17 (bypass hose) (condition replace)"
    assert list_not_renewed(archive) == {hose.tag_id: "to be replaced"}

    log.write_line(archive, hose, "new part")
    assert told(archive) == []
    assert list_not_renewed(archive) == {}


def test_broken_part_is_on_the_list_and_a_repair_takes_it_off(archive: Archive):
    clip, wire = (add_tag(archive, number, TagWords()) for number in ("17", "18"))
    line = log.write_line(archive, clip, "broken", note="lug snapped")
    log.write_line(archive, wire, "cut")

    assert [item.why for item, _words in list_to_buy(archive)] == [f"broken {line.at:%Y-%m-%d}"]
    assert list_not_renewed(archive) == {
        clip.tag_id: f"broken on {line.at:%Y-%m-%d}",
        wire.tag_id: f"cut on {line.at:%Y-%m-%d}",
    }
    log.write_line(archive, clip, "repaired")
    assert told(archive) == []
    assert list(list_not_renewed(archive)) == [wire.tag_id]


def test_what_is_said_of_buying_adds_up_and_what_arrived_is_shown_when_asked_for(archive: Archive):
    hose = add_tag(archive, "17", TagWords(name="bypass hose", condition="replace"))
    note_purchase(archive, hose, part_number=" 4711 ", price="12 EUR")
    note_purchase(archive, hose, shop="chandler", ordered_on="2025-10-20", price=None)

    (words,) = told(archive)
    assert words.endswith("part number 4711, 12 EUR, from chandler, ordered 2025-10-20")
    assert states(archive) == ["ordered"]

    note_purchase(archive, hose, arrived_on="2025-10-28")
    assert told(archive) == []
    assert told(archive, arrived=True)[0].endswith("ordered 2025-10-20, arrived 2025-10-28")
    assert list_not_renewed(archive), "a part on the shelf is not yet a part on the machine"


def test_snag_and_its_tag_are_one_line_in_the_words_of_the_snag(archive: Archive):
    hose = add_tag(archive, "17", TagWords(name="bypass hose", condition="replace"))
    snag = snags.add_snag(archive, "clamp rusted through", SnagTies(tag=hose, buy="hose 32 mm"))

    assert told(archive) == ["hose 32 mm, for 17 (bypass hose) (snag 1, condition replace)"]

    snags.close_snag(archive, snag, "bent back")
    assert told(archive) == ["17 (bypass hose) (condition replace)"], "the tag still asks when the snag is closed"


def test_what_arrived_for_a_snag_is_bought_there_and_the_snag_stays_open(archive: Archive):
    snag = snags.add_snag(archive, "washers short", SnagTies(buy="2 washers"))

    note_purchase(archive, snag, arrived_on="2025-10-28")

    (after,) = snags.list_snags(archive)
    assert after.bought_at
    assert after.is_open
    assert told(archive) == []


def test_other_words_for_what_to_buy_are_the_snags_words_too(archive: Archive):
    snag = snags.add_snag(archive, "washers short", SnagTies(buy="washers"))

    note_purchase(archive, snag, what="copper washers 10x14")

    assert [one.buy for one in snags.list_snags(archive)] == ["copper washers 10x14"]
    assert told(archive)[0].startswith("copper washers 10x14 (snag 1)")


def test_own_words_are_one_line_whatever_their_capitals(archive: Archive):
    note_purchase(archive, "thread  sealant")
    note_purchase(archive, "Thread sealant", price="8 EUR")

    assert told(archive) == ["thread sealant, 8 EUR"]


def test_what_is_dropped_comes_back_where_something_else_still_asks_for_it(archive: Archive):
    hose = add_tag(archive, "17", TagWords(name="bypass hose", condition="replace"))
    note_purchase(archive, hose, price="12 EUR")
    note_purchase(archive, "paint")

    drop_purchase(archive, hose)
    drop_purchase(archive, "PAINT")

    assert told(archive) == ["17 (bypass hose) (condition replace)"]
    for gone in (hose, "paint"):
        with pytest.raises(NotFound, match="nothing about that"):
            drop_purchase(archive, gone)


def test_tag_that_was_put_on_the_list_without_being_worn_goes_with_its_new_part(archive: Archive):
    tag = add_tag(archive, "17", TagWords(name="impeller"))
    note_purchase(archive, tag, what="impeller with gasket")
    assert told(archive) == ["impeller with gasket, for 17 (impeller)"]

    log.write_line(archive, tag, "new part")

    assert told(archive) == []


def test_condition_is_read_by_its_first_word_only(archive: Archive):
    tag = add_tag(archive, "17", TagWords(condition="do not replace"))
    assert told(archive) == []

    change_tag(archive, tag, TagWords(condition="REPLACE"))

    assert len(told(archive)) == 1


def test_purchase_is_one_step_to_take_back(archive: Archive):
    snag = snags.add_snag(archive, "washers short", SnagTies(buy="2 washers"))
    note_purchase(archive, snag, arrived_on="2025-10-28", price="1 EUR")

    assert undo(archive) == ["1 on the list to buy"]

    (after,) = snags.list_snags(archive)
    assert not after.bought_at
    assert told(archive) == ["2 washers (snag 1)"]
