"""Bags, snags, holds and the log as screens, commands and the book list them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import bags, fit, fitting, log, snags
from asfound.actions.archive import Archive, open_archive
from asfound.actions.bag_list import list_bags_by_label
from asfound.actions.bags import BagWords, GroupWords
from asfound.actions.fit_list import list_fit_steps
from asfound.actions.hold_list import list_open_at_holds, read_hold
from asfound.actions.job import new_job
from asfound.actions.log_list import list_log
from asfound.actions.snag_list import list_ties
from asfound.actions.snags import SnagTies
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.tag_list import list_tags_by_number
from asfound.core.refit.steps import HoldPoint
from asfound.model.tags import Tag

NOW = datetime(2026, 4, 26, 18, tzinfo=UTC)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path / "archive", create=True, now=lambda: NOW) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        yield opened


@pytest.fixture
def things(archive: Archive) -> tuple[Tag, Tag, Tag]:
    """A wire and a hose that are both numbered 12, and a bracket without a name."""
    wire = add_tag(archive, "12", TagWords(kind="wire", name="oil alarm switch wire"))
    hose = add_tag(archive, "12", TagWords(kind="hose", name="gear oil cooler hose"))
    return wire, hose, add_tag(archive, "30", TagWords(kind="bracket"))


def test_bags_stand_in_order_of_their_labels_with_their_things(archive: Archive, things: tuple[Tag, Tag, Tag]):
    bags.save_bag(archive, "B10", BagWords(name="mount bolts", count_out=4, count_back=4), tags=things[2:])
    bags.save_bag(archive, "B9", groups=[GroupWords("bolts", thread="M8", count_out=6)], tags=things[:2])

    found = list_bags_by_label(archive)

    assert [(one.bag.label, one.labels, one.words) for one in found] == [
        ("B9", ("12.1", "12.2"), "bolts, M8"),
        ("B10", ("30",), "mount bolts"),
    ]
    assert [one.bag.label for one in list_bags_by_label(archive, to_count=True)] == ["B9"]


def test_a_bag_that_came_back_short_is_still_to_be_counted(archive: Archive):
    bags.save_bag(archive, "B1", BagWords(count_out=4, count_back=3))
    bags.save_bag(archive, "B2", BagWords(count_back=3))

    assert [one.bag.label for one in list_bags_by_label(archive, to_count=True)] == ["B1", "B2"]


def test_snags_name_what_they_are_tied_to_and_closed_ones_come_last(archive: Archive, things: tuple[Tag, Tag, Tag]):
    bag = bags.save_bag(archive, "B4")
    closed = snags.add_snag(archive, "boot torn", SnagTies(tag=things[0]))
    snags.add_snag(archive, "two washers short", SnagTies(bag=bag, place="bin 3", buy="washer M8"))
    snags.close_snag(archive, closed, "new boot")

    found = list_ties(archive)

    assert [(one.snag.what, one.tie, one.to_buy) for one in found] == [
        ("two washers short", "bag B4, bin 3", "washer M8"),
        ("boot torn", "12.1", ""),
    ]
    assert found[0].card is None
    assert found[1].card is not None
    assert found[1].bag is None
    assert found[1].picture is None


def test_what_was_bought_or_dealt_with_is_not_to_be_bought(archive: Archive):
    bought = snags.add_snag(archive, "clamp rusted", SnagTies(buy="clamp 32 mm"))
    closed = snags.add_snag(archive, "hose hard", SnagTies(buy="hose 19 mm"))

    snags.mark_bought(archive, bought)
    snags.close_snag(archive, closed, "will do")

    assert [one.to_buy for one in list_ties(archive)] == ["", ""]


def test_lines_of_the_log_name_the_thing_its_end_and_what_is_struck(archive: Archive, things: tuple[Tag, Tag, Tag]):
    log.mark_off(archive, things[1], bag="B4", note="clip rusted")
    log.write_line(archive, things[2], "capped", end="A")
    log.write_drained(archive, log.Drained("engine oil", "7.5 l", "C2"))
    log.strike(archive, log.list_lines(archive, things[2])[0])

    found = list_log(archive)

    assert [(one.label, one.name, one.happened, one.words) for one in found] == [
        ("12.2", "gear oil cooler hose", "off", ["bag B4", "clip rusted"]),
        ("30a", "bracket", "capped", []),
        ("", "", "drained", ["7.5 l engine oil", "into C2"]),
        ("30", "bracket", f"takes line {found[1].line.event_id} back", []),
    ]
    assert [one.can_be_struck for one in found] == [True, False, True, False]
    assert [one.line for one in list_log(archive, things[1])] == [found[0].line]


def test_a_hold_lists_what_is_open_and_who_looked(archive: Archive, things: tuple[Tag, Tag, Tag]):
    log.mark_off(archive, things[0])
    before = read_hold(archive, HoldPoint.FIRST_START)

    fit.pass_hold(archive, HoldPoint.FIRST_START, "yard engineer")
    found = list_open_at_holds(archive)

    assert [hold.point for hold in found] == list(HoldPoint)
    assert any(line.tag_id == things[0].tag_id for line in before.lines)
    assert (before.looked, before.looked_at) == ("", None)
    assert found[2].looked == "2026-04-26 20:00 by yard engineer", "18:00 UTC, in the zone of the job"
    assert found[0].looked == ""
    assert found[2].cautions


def test_a_listed_tag_says_how_it_went_back(archive: Archive) -> None:
    tag = add_tag(archive, "90", TagWords(kind="wire", name="earth lead"))

    def said() -> list[str]:
        return [one.said for one in list_tags_by_number(archive) if one.tag.tag_id == tag.tag_id]

    assert said() == [""]
    log.mark_off(archive, tag)
    assert said() == ["off"]
    log.mark_refitted(archive, tag, how="by hand")
    assert said() == ["refitted, by hand"]


def test_a_step_of_the_way_back_names_first_what_it_waits_for_itself(archive: Archive) -> None:
    """91 waits for 92 and 92 for 93: for the start it is enough to name 91."""
    tags = [add_tag(archive, number, TagWords(kind="hose")) for number in ("91", "92", "93")]
    for tag in tags:
        log.mark_off(archive, tag)
    fitting.fit_after(archive, tags[0], tags[1:2])
    fitting.fit_after(archive, tags[1], tags[2:])

    steps = {one.step: one for one in list_fit_steps(archive)}

    first, start = steps[tags[0].tag_id], steps[HoldPoint.FIRST_START]
    assert (first.missing, first.nearest, first.title) == (("92",), ("92",), "91 (hose)")
    assert {"91", "92", "93"} <= {*start.missing}
    assert {*start.nearest} & {"91", "92", "93"} == {"91"}
