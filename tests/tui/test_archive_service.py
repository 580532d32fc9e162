"""The screens' questions answered by a real archive: finding, one of two things of a number, swapped ends, spots."""

from __future__ import annotations

import pytest

from asfound.tui.archive_service import ArchiveService
from tests.four_pictures import four_pictures

service = pytest.fixture(four_pictures)


def found(service: ArchiveService, words: str) -> list[str]:
    return list(dict.fromkeys(f"{entry.tag.number}.{entry.tag.order}" for entry in service.find(words)))


def test_another_word_leaves_fewer_things(service: ArchiveService) -> None:
    assert found(service, "hose") == ["12.2", "17.1", "112.1"]
    assert found(service, "oil hose") == ["12.2"]
    assert found(service, "raw water hose") == ["17.1"]


def test_a_digit_finds_numbers_that_begin_so_and_not_sizes(service: ArchiveService) -> None:
    assert found(service, "1") == ["12.1", "12.2", "17.1", "112.1"]
    assert found(service, "12") == ["12.1", "12.2"]


def test_one_end_of_exactly_the_second_thing_of_a_number(service: ArchiveService) -> None:
    second = next(entry.tag for entry in service.tags() if entry.tag.order == 2)
    entry = service.find_end(second.tag_id, "B")
    assert entry is not None
    assert entry.tag == second
    assert service.card(second.tag_id).label == "12.2"


def test_both_ends_on_a_picture_are_swapped_in_one_step(service: ArchiveService) -> None:
    service.add_pin(1, "17", "A", 0.2, 0.3)
    service.add_pin(1, "17", "B", 0.8, 0.9)
    tag_id = service.pins(1)[0].pin.tag_id
    service.swap_ends(1, tag_id)
    assert [(one.pin.end, one.pin.x_frac) for one in service.pins(1)] == [("A", 0.8), ("B", 0.2)]
    service.undo()
    assert [(one.pin.end, one.pin.x_frac) for one in service.pins(1)] == [("A", 0.2), ("B", 0.8)]


def test_the_only_pin_of_a_thing_gets_the_other_letter(service: ArchiveService) -> None:
    service.add_pin(1, "17", "A", 0.2, 0.3)
    assert service.swap_ends(1, service.pins(1)[0].pin.tag_id) == "This is now end B of 17."
    assert [one.pin.end for one in service.pins(1)] == ["B"]


def test_pictures_move_between_spots_and_a_lone_one_begins_a_spot(service: ArchiveService) -> None:
    first, second = (entry.spot.spot_id for entry in service.spots())
    service.move_pictures([1], None)
    made = service.split_spot(None, [1])
    assert made.picture_ids == (1,)
    service.join_spots(second, made.spot_id)
    assert service.spot(second).spot.picture_ids == (1, 3, 4)
    assert service.spot(first).spot.picture_ids == (2,)


def test_the_log_is_told_in_words_and_a_line_struck_out_stays(service: ArchiveService) -> None:
    tag_id = service.find("17")[0].tag.tag_id
    service.mark_off(tag_id, bag="B4")
    (line,) = service.log_lines()
    assert (line.label, line.happened, line.words) == ("17", "off", "raw water hose, bag B4")
    service.strike(line.line)
    struck = service.log_lines()
    assert [(one.is_struck, one.can_be_struck) for one in struck] == [(False, False), (True, False)]
    assert [bag.labels_of_tags for bag in service.bags()] == [("17",)]


def test_a_gap_that_is_answered_is_gone_and_comes_back_with_undo(service: ArchiveService) -> None:
    gap = next(entry.gap for entry in service.gaps() if entry.gap.number == "17")
    assert service.answer_gap(gap, "the cable was cut away") >= 1
    assert gap not in [entry.gap for entry in service.gaps()]
    service.undo()
    assert gap in [entry.gap for entry in service.gaps()]
