"""What a search finds besides things, in the words it is told with."""

from __future__ import annotations

import pytest

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.away import write_sent
from asfound.actions.bags import BagWords, GroupWords, save_bag
from asfound.actions.find import search
from asfound.actions.found_texts import FoundText, find_files, find_spots
from asfound.actions.known import known_pictures
from asfound.actions.pin import Box, pin_tag
from asfound.actions.resume import hand_over
from asfound.actions.snags import SnagTies
from asfound.actions.spots import list_spots, name_spot
from asfound.actions.to_buy import note_purchase
from asfound.actions.values import set_value
from asfound.core.find.texts import asked_terms, asked_words
from tests.four_pictures import four_pictures
from tests.small_changes import tag_of

archive = pytest.fixture(four_pictures)


def others(archive: Archive, typed: str) -> list[FoundText]:
    return list(search(archive, typed).others)


def test_bag_snag_and_line_are_told_with_all_that_was_written(archive: Archive):
    words = BagWords(name="flange", place="shelf 2", note="greasy")
    save_bag(archive, "B7", words, groups=[GroupWords("dowels", thread="M8")])
    snags.add_snag(archive, "paint chipped", SnagTies(place="port bearer", buy="primer"))
    line = log.write_drained(archive, log.Drained("coolant", "9 l", "drum C1", "rusty"))

    assert others(archive, "dowels") == [FoundText("bag", "B7", "flange, dowels, M8, shelf 2, greasy")]
    assert others(archive, "primer") == [FoundText("snag", "1", "port bearer, paint chipped, primer")]
    assert others(archive, "rusty") == [FoundText("line", str(line.event_id), "drained 9 l coolant drum C1 rusty")]


def test_what_was_sent_out_without_a_number_tells_to_whom(archive: Archive):
    write_sent(archive, "starter", to_whom="engine shop")

    (found,) = others(archive, "starter")

    assert (found.kind, found.words) == ("line", "sent out starter to engine shop")


def test_note_value_and_purchase_of_no_tag_are_found(archive: Archive):
    hand_over(archive, "seacock is shut")
    set_value(archive, "crankshaft", "end float", limits="0.05 to 0.30 mm", page="6-12")
    note_purchase(archive, "thread sealant", part_number="4711", shop="chandler")

    assert [(one.kind, one.words) for one in others(archive, "seacock")] == [("day", "seacock is shut")]
    (value,) = others(archive, "crankshaft")
    assert (value.kind, value.label, value.words) == ("value", "crankshaft", "end float, 0.05 to 0.30 mm, page 6-12")
    (bought,) = others(archive, "sealant")
    assert (bought.kind, bought.label, bought.words) == ("purchase", "thread sealant", "4711, chandler")


@pytest.mark.parametrize("typed", ["P1_0002.jpg", "p1_0002", " P1_0002.JPG "])
def test_picture_is_found_by_its_file_name(archive: Archive, typed: str):
    assert find_files(archive, typed) == [FoundText("picture", "P1_0002.jpg", "no tag is pinned in it")]

    pin_tag(archive, tag_of(archive, "17"), "B", known_pictures(archive)[2], Box(0.5, 0.5))
    assert find_files(archive, typed)[0].words == "shows 17B"


@pytest.mark.parametrize("typed", ["P1_000", "0002", "17", "hose", "jpg", ""])
def test_part_of_a_name_or_a_word_is_no_file_name(archive: Archive, typed: str):
    assert find_files(archive, typed) == []


def test_spot_is_found_by_every_word_of_its_name(archive: Archive):
    first, _second = list_spots(archive)
    name_spot(archive, first, "starter, lower port side")

    def spots(typed: str) -> list[FoundText]:
        return find_spots(archive, asked_terms(asked_words(typed)))

    assert spots("port starter") == [FoundText("spot", str(first.spot_id), "starter, lower port side")]
    assert spots("starter starboard") == spots("") == []
