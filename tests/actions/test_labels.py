"""Which labels are printed: pairs of ends, those not printed before, spare numbers, bags, belts."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from asfound.actions.bags import BagWords, save_bag
from asfound.actions.job import new_job
from asfound.actions.labels import bag_labels, belt_labels, printed, tag_labels, write_labels
from asfound.actions.tag import TagWords, add_tag
from asfound.core.sheets.labels.content import GRIDS, Label, LabelOrder, TagLabel
from asfound.errors import Misused
from tests.small_archive import empty_archive


@pytest.fixture(name="archive")
def _archive(tmp_path: Path) -> Archive:
    archive = empty_archive(tmp_path / "archive")
    add_tag(archive, "10", TagWords(name="feed hose", kind="hose"))
    add_tag(archive, "6", TagWords(name="bracket", kind="bracket"))
    return archive


def big(labels: list[TagLabel]) -> list[str]:
    return [label.big for label in labels]


def order_of(labels: list[Label] | list[TagLabel]) -> LabelOrder:
    return LabelOrder("Sallow", tuple(labels), grid=GRIDS["A4"]["3x7"])


def test_both_ends_of_every_tag_in_order_of_number_and_one_label_for_a_thing_with_one_end(archive: Archive) -> None:
    labels = tag_labels(archive)

    assert big(labels) == ["6", "10A", "10B"]
    assert [label.has_bar for label in labels] == [True, True, True]
    assert labels[1].name == "feed hose"


def test_what_was_printed_is_not_printed_again_unless_it_is_asked_for(archive: Archive, tmp_path: Path) -> None:
    write_labels(archive, tmp_path / "one.pdf", order_of(tag_labels(archive)))
    add_tag(archive, "11", TagWords(name="return hose"))

    assert big(tag_labels(archive)) == ["11A", "11B"]
    assert big(tag_labels(archive, again=True)) == ["6", "10A", "10B", "11A", "11B"]
    assert big(tag_labels(archive, "10")) == ["10A", "10B"]


def test_another_job_has_printed_nothing(archive: Archive, tmp_path: Path) -> None:
    write_labels(archive, tmp_path / "one.pdf", order_of(tag_labels(archive)))
    new_job(archive, "Teal, gearbox out", zone="Europe/Amsterdam")

    assert printed(archive) == set()


def test_spare_numbers_follow_the_last_one_in_use_or_printed(archive: Archive, tmp_path: Path) -> None:
    first = tag_labels(archive, spare=2)
    write_labels(archive, tmp_path / "one.pdf", order_of(first))

    assert big(first) == ["11A", "11B", "12A", "12B"]
    assert big(tag_labels(archive, spare=1)) == ["13A", "13B"]


def test_numbers_are_printed_whether_or_not_a_thing_has_them(archive: Archive) -> None:
    assert big(tag_labels(archive, "5 - 7, 12x")) == ["5A", "5B", "6", "7A", "7B", "12xA", "12xB"]


def test_a_file_that_cannot_be_written_leaves_nothing_marked_as_printed(archive: Archive, tmp_path: Path) -> None:
    with pytest.raises(Misused, match="no folder"):
        write_labels(archive, tmp_path / "nowhere" / "one.pdf", order_of(tag_labels(archive)))

    assert printed(archive) == set()


def test_numbers_beyond_the_markers_are_printed_without_one_and_named(archive: Archive, tmp_path: Path) -> None:
    made = write_labels(archive, tmp_path / "one.pdf", order_of(tag_labels(archive, "293-294, 12x")))

    assert made.without_marker == ("294", "12x")
    assert [isinstance(one, TagLabel) and one.marker is not None for one in made.labels] == [True] * 2 + [False] * 4


@pytest.mark.parametrize(("numbers", "why"), [("20-10", "lower one first"), ("1-99999", "at most")])
def test_a_span_that_cannot_be_meant_is_refused(archive: Archive, numbers: str, why: str) -> None:
    with pytest.raises(Misused, match=why):
        tag_labels(archive, numbers)


def test_nothing_left_says_what_to_do(archive: Archive, tmp_path: Path) -> None:
    write_labels(archive, tmp_path / "one.pdf", order_of(tag_labels(archive)))

    with pytest.raises(Misused, match="--again"):
        tag_labels(archive)
    with pytest.raises(Misused, match="no bags yet"):
        bag_labels(archive)
    with pytest.raises(Misused, match="No belt"):
        belt_labels(archive)


def test_a_bag_says_what_it_is_for_what_is_in_it_and_where_it_lies(archive: Archive) -> None:
    save_bag(archive, "B4", BagWords(name="rear mounts", contents="bolts", place="bin 2", count_out=7))

    [label] = bag_labels(archive, "b4")

    assert label.big == "B4"
    assert label.lines == ("rear mounts", "bolts", "7 pieces", "kept in: bin 2")
    with pytest.raises(Misused, match="no bag b9"):
        bag_labels(archive, "b9")


def test_a_belt_says_which_way_its_arrow_goes(archive: Archive) -> None:
    add_tag(archive, "43", TagWords(name="alternator belt", kind="belt"))

    [label] = belt_labels(archive)

    assert (label.big, label.lines) == ("43", ("alternator belt", "The arrow shows the way it runs"))


def test_a_number_that_two_things_have_is_named(archive: Archive, tmp_path: Path) -> None:
    add_tag(archive, "10", TagWords(name="another hose"))

    made = write_labels(archive, tmp_path / "one.pdf", order_of(tag_labels(archive)))

    assert big([one for one in made.labels if isinstance(one, TagLabel)]) == ["6", "10A", "10B", "10A", "10B"]
    assert made.twice == ("10",)
