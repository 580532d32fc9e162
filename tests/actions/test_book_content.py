"""What the book tells, before it is laid out on paper: everything that was written down, and nothing that was not."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from asfound.actions import log, snags
from asfound.actions.archive import Archive
from asfound.actions.away import write_back, write_sent
from asfound.actions.bags import BagWords, GroupWords, save_bag
from asfound.actions.book import check_target, read_content
from asfound.actions.book_tags import counts_in_words
from asfound.actions.fit import pass_hold
from asfound.actions.fitting import fit_after
from asfound.actions.fluids import FluidWords, write_fluid
from asfound.actions.known import known_pictures
from asfound.actions.pin import Box, pin_tag
from asfound.actions.resume import hand_over
from asfound.actions.snags import SnagTies
from asfound.actions.tag import EndWords, TagWords, change_end, change_tag, note_belt
from asfound.actions.to_buy import note_purchase
from asfound.core.refit.steps import HoldPoint
from asfound.core.sheets.book.content import BookContent, TagEntry
from asfound.errors import Misused, NotFound
from asfound.model.log import BLED, FILLED, LEFT_OUT, Bag
from tests.four_pictures import NOON, four_pictures
from tests.small_changes import propose_pin, tag_of

archive = pytest.fixture(four_pictures)
DAY = timedelta(days=1)


def content(archive: Archive, numbers: str = "") -> BookContent:
    return read_content(archive, numbers)[0]


def entry(archive: Archive, label: str) -> TagEntry:
    return next(one for one in content(archive).tags if one.label == label)


def test_every_thing_is_in_the_book_whether_it_came_off_or_not(archive: Archive):
    log.mark_off(archive, tag_of(archive, "17"))

    book = content(archive)

    assert sorted(one.label for one in book.tags) == ["112", "12.1", "12.2", "17"]
    assert [one.label for one in book.steps if isinstance(one, TagEntry)] == ["17"]
    assert {one.standing for one in book.not_off} == {"not written down as off"}
    assert dict(book.counts)["tags"].startswith("4: 1 off")


def test_where_a_thing_stands_is_told_with_its_day(archive: Archive):
    hose = tag_of(archive, "17")
    log.mark_off(archive, hose, at=NOON - DAY)
    assert entry(archive, "17").standing == "off since 2025-10-17"

    log.mark_refitted(archive, hose, how="by hand")
    assert entry(archive, "17").standing == "refitted by hand 2025-10-18"


def test_day_is_that_of_the_machine_and_not_of_universal_time(archive: Archive):
    """23:30 in universal time is half past one the next day in Amsterdam, in October."""
    log.mark_off(archive, tag_of(archive, "17"), at=NOON.replace(day=16, hour=23, minute=30))

    assert entry(archive, "17").standing == "off since 2025-10-17"
    assert [day.day for day in content(archive).days] == ["2025-10-17"]


def test_ends_come_with_their_places_and_the_picture_of_how_each_was(archive: Archive):
    hose = tag_of(archive, "17")
    change_end(archive, hose, "A", EndWords(place="pump", side="engine", colour="RD/BK"))
    pin_tag(archive, hose, "A", known_pictures(archive)[1], Box(0.25, 0.5, 0.1, 0.2))

    end, other = entry(archive, "17").ends

    assert (end.letter, end.place, end.side, other.letter) == ("A", "pump", "engine side", "B")
    assert ("colour", "RD/BK") in [(label, words.split(" ")[0]) for label, words in end.fields]
    assert end.picture is not None
    assert end.pin is not None
    assert (end.picture.file, end.picture.taken) == ("P1_0001.jpg", "2025-10-18 12:01")
    assert (end.pin.label, end.pin.x_frac, end.pin.box_frac, end.pin.is_said) == ("17A", 0.25, (0.1, 0.2), True)
    assert (other.picture, other.pin) == (None, None)


def test_guess_of_the_machine_is_marked_as_one(archive: Archive):
    propose_pin(archive, "17", "B", 2)

    pin = entry(archive, "17").ends[1].pin

    assert pin is not None
    assert not pin.is_said


def test_picture_from_after_it_came_off_is_no_picture_of_how_it_was(archive: Archive):
    hose = tag_of(archive, "17")
    log.mark_off(archive, hose, at=NOON - DAY)
    pin_tag(archive, hose, "A", known_pictures(archive)[1], Box(0.25, 0.5))

    assert entry(archive, "17").ends[0].picture is None
    assert all(not spot.pins for spot in content(archive).spots)


def test_bag_and_snags_stand_with_their_thing_and_closed_ones_do_not(archive: Archive):
    hose = tag_of(archive, "17")
    save_bag(archive, "B4", BagWords(place="shelf 2", count_out=8, count_back=7, contents="studs"), tags=[hose])
    snags.add_snag(archive, "clamp rusted", SnagTies(tag=hose, buy="clamp 32 mm"))
    snags.close_snag(archive, snags.add_snag(archive, "was dirty", SnagTies(tag=hose)))

    one = entry(archive, "17")

    assert one.bags == ("B4: 8 out, 7 back, 1 short; shelf 2; studs",)
    assert one.snags == ("1, open: clamp rusted; buy clamp 32 mm",)
    assert [snag.is_open for snag in content(archive).snags] == [True, False]


def test_things_of_one_word_are_not_to_be_swapped(archive: Archive):
    for number in ("17", "112"):
        change_tag(archive, tag_of(archive, number), TagWords(look_alike="fuel pair"))

    assert ("looks like", "112: not to be swapped") in [
        (label.casefold(), words) for label, words in entry(archive, "17").fields
    ]


def test_what_it_waits_for_and_loops_are_told(archive: Archive):
    hose, other = tag_of(archive, "17"), tag_of(archive, "112")
    for tag in (hose, other):
        log.mark_off(archive, tag)
    pass_hold(archive, HoldPoint.LIFT_IN, "Tine")
    fit_after(archive, hose, [other])
    assert "112" in entry(archive, "17").waits_for

    fit_after(archive, other, [hose])
    assert any("wait for each other" in words for words in entry(archive, "17").loops)


def test_fluids_tell_what_became_of_them(archive: Archive):
    for what in ("engine oil", "coolant", "gear oil"):
        log.write_drained(archive, log.Drained(what, "2 l", "drum", "clear"), at=NOON - DAY)
    write_fluid(archive, FILLED, FluidWords("engine oil", "2.1 l"))
    write_fluid(archive, BLED, FluidWords("engine oil"))
    write_fluid(archive, LEFT_OUT, FluidWords("coolant", note="goes dry"))

    rows = {row[1]: row[-1] for row in content(archive).fluids}

    assert rows["2 l engine oil"].startswith("filled: 2.1 l")
    assert rows["2 l coolant"] == "left out: goes dry"
    assert rows["2 l gear oil"] == "NOT FILLED"


def test_what_is_away_says_so_until_it_is_back(archive: Archive):
    write_sent(archive, "starter", to_whom="shop", promised="2025-11-01", note="brushes", at=NOON - 2 * DAY)
    write_sent(archive, tag_of(archive, "17"), at=NOON - 2 * DAY)
    assert [row[3] for row in content(archive).sent_out] == ["NOT BACK, promised for 2025-11-01", "NOT BACK"]

    write_back(archive, "Starter", with_what="new brushes", at=NOON - DAY)
    (starter, _hose) = content(archive).sent_out
    assert starter == ("starter", "shop", "2025-10-16", "2025-10-17", "brushes; new brushes")


def test_struck_line_stands_in_the_log_as_not_so_and_nowhere_else(archive: Archive):
    line = log.write_drained(archive, log.Drained("coolant"))
    log.strike(archive, line)

    book = content(archive)

    assert list(book.fluids) == []
    assert any(words.endswith("[not so]") for day in book.days for *_rest, words in day.lines)


def test_bags_belts_and_the_list_to_buy(archive: Archive):
    save_bag(archive, "B9", BagWords(name="cover"), groups=[GroupWords("bolts", thread="M6", count_out=4)])
    note_belt(archive, tag_of(archive, "112"), path="crank, pump", arrow="left")
    note_purchase(archive, "paint", price="8 EUR")

    book = content(archive)

    (bag,) = book.bags
    assert (bag.label, bag.inside, bag.out, bag.back) == ("B9", ("bolts, M6 (4 out)",), "4", "")
    assert [(label, fields[:2]) for label, _name, fields in book.belts] == [
        ("112", (("size", "1 mm2"), ("path", "crank, pump")))
    ]
    assert list(book.to_buy) == ["paint, 8 EUR"]


def test_last_note_is_on_the_first_page(archive: Archive):
    hand_over(archive, "fuel is off", date(2025, 10, 17))
    hand_over(archive, "battery is on the bench", date(2025, 10, 18))

    book = content(archive)

    assert (book.note, book.note_day) == ("battery is on the bench", "2025-10-18")
    assert [(day.day, day.note) for day in book.days] == [
        ("2025-10-17", "fuel is off"),
        ("2025-10-18", "battery is on the bench"),
    ]


def test_chosen_tags_bring_their_own_and_no_one_elses(archive: Archive):
    hose, other = tag_of(archive, "17"), tag_of(archive, "112")
    for tag in (hose, other):
        log.mark_off(archive, tag)
        save_bag(archive, f"B{tag.number}", tags=[tag])
        snags.add_snag(archive, f"rust on {tag.number}", SnagTies(tag=tag))
        note_purchase(archive, tag)

    book = content(archive, "17")

    assert book.chosen == "Only tags 17 and what belongs to them."
    assert [one.label for one in book.tags] == ["17"]
    assert [bag.label for bag in book.bags] == ["B17"]
    assert [snag.what for snag in book.snags] == ["rust on 17"]
    assert len(book.to_buy) == 1
    assert all(label == "17" for day in book.days for _time, label, *_rest in day.lines)
    with pytest.raises(NotFound):
        content(archive, "999")


@pytest.mark.parametrize(
    ("out", "back", "words"),
    [
        (None, None, "not counted"),
        (8, None, "8 out"),
        (8, 8, "8 out, 8 back"),
        (8, 6, "8 out, 6 back, 2 short"),
        (8, 9, "8 out, 9 back"),
        (None, 3, "3 back"),
    ],
)
def test_counts_of_a_bag_are_said_as_far_as_they_are_known(out: int | None, back: int | None, words: str):
    assert counts_in_words(Bag(1, 1, "B4", "", "", "", out, back, "")) == words


def test_target_is_looked_at_before_the_work_is_done(tmp_path: Path):
    (tmp_path / "there.pdf").write_bytes(b"x")

    for path, told in (
        (tmp_path, "is a folder"),
        (tmp_path / "none" / "book.pdf", "there is no folder"),
        (tmp_path / "there.pdf", "--replace"),
    ):
        with pytest.raises(Misused, match=told):
            check_target(path, "book", replace=False)
    check_target(tmp_path / "there.pdf", "book", replace=True)
    check_target(tmp_path / "new.pdf", "book", replace=False)
    assert (tmp_path / "there.pdf").read_bytes() == b"x"
