"""From what a person types to the one picture, clip or thing that is meant; what is not sure is asked back."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords, add_tag, also_number, remove_tag
from asfound.actions.undo import undo
from asfound.errors import Ambiguous, NotFound
from asfound.store.pictures import NewPicture, save_picture
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


def copy_named(archive: Archive, file: str) -> int:
    """Another photo with a file name that is there already."""
    with archive.store.transaction():
        return save_picture(archive.store, NewPicture(archive.job.job_id, 1, "photo", file, None, None, None, 4, 3))


@pytest.mark.parametrize("words", ["2", "P1_0002.jpg", "p1_0002.JPG", "P1_0002", "/media/card/DCIM/P1_0002.jpg"])
def test_picture_is_known_by_id_name_or_path(archive: Archive, words: str):
    assert resolve.get_picture(archive, words).picture_id == 2


@pytest.mark.parametrize("words", ["P1_0009.jpg", "99", "", "P1", "2.5", "9" * 30])
def test_unknown_picture_is_told_and_is_none_where_that_will_do(archive: Archive, words: str):
    with pytest.raises(NotFound):
        resolve.get_picture(archive, words)
    assert resolve.find_picture(archive, words) is None


def test_name_of_two_pictures_is_asked_back_with_their_ids(archive: Archive):
    other = copy_named(archive, "P1_0002.jpg")

    with pytest.raises(Ambiguous, match=rf"2 \(P1_0002.jpg.*{other} \(P1_0002.jpg, time unknown"):
        resolve.get_picture(archive, "P1_0002.jpg")
    assert resolve.get_picture(archive, str(other)).picture_id == other


def test_exact_name_goes_before_one_in_other_capitals(archive: Archive):
    other = copy_named(archive, "p1_0002.jpg")

    assert resolve.get_picture(archive, "p1_0002.jpg").picture_id == other
    assert resolve.get_picture(archive, "P1_0002.jpg").picture_id == 2
    with pytest.raises(Ambiguous):
        resolve.get_picture(archive, "P1_0002.JPG")


def test_file_that_is_not_in_yet_says_how_to_bring_it_in(archive: Archive, tmp_path: Path):
    (tmp_path / "new one.jpg").touch()

    with pytest.raises(NotFound, match=r"asfound add '.*new one\.jpg'"):
        resolve.get_picture(archive, str(tmp_path / "new one.jpg"))


def test_picture_of_another_job_says_which(archive: Archive):
    new_job(archive, "Tractor", zone="UTC")

    with pytest.raises(NotFound, match="belongs to job 1; name that job: asfound --job 1"):
        resolve.get_picture(archive, "2")
    with pytest.raises(NotFound, match="no picture"):
        resolve.get_picture(archive, "P1_0002.jpg")


@pytest.mark.parametrize(
    ("words", "name", "end"),
    [
        ("17", "raw water hose", None),
        ("17b", "raw water hose", "B"),
        (" 17 A ", "raw water hose", "A"),
        ("12.1", "oil alarm switch wire", None),
        ("12.2b", "gear oil cooler hose", "B"),
        ("112", "fuel return hose", None),
    ],
)
def test_thing_is_known_by_number_and_end(archive: Archive, words: str, name: str, end: str | None):
    found = resolve.get_tag(archive, words)

    assert (found.tag.name, found.end, found.end_or_default()) == (name, end, end or "A")


def test_number_on_two_things_is_asked_back_with_both(archive: Archive):
    with pytest.raises(Ambiguous, match=r"12\.1 oil alarm switch wire; 12\.2 gear oil cooler hose"):
        resolve.get_tag(archive, "12")

    assert len(resolve.find_tags(archive, "12")) == 2
    assert resolve.find_only_tag(archive, "12") is None


def test_unknown_number_says_how_to_add_it(archive: Archive):
    with pytest.raises(NotFound, match="asfound tag 99 --kind KIND"):
        resolve.get_tag(archive, "99")

    assert resolve.find_tags(archive, "99") == []
    assert resolve.find_only_tag(archive, "99") is resolve.find_only_tag(archive, "  ") is None


def test_tape_that_says_17b_goes_before_end_b_of_17(archive: Archive):
    own = add_tag(archive, "17b", TagWords())

    assert resolve.get_tag(archive, "17b").tag == own
    assert resolve.get_tag(archive, "17 b").end == "B"
    remove_tag(archive, own)
    assert resolve.get_tag(archive, "17b").end == "B"


def test_other_number_of_a_thing_names_it_too(archive: Archive):
    hose = resolve.get_tag(archive, "17").tag
    also_number(archive, hose, "917")

    assert resolve.find_only_tag(archive, "917") == hose
    assert resolve.get_tag(archive, "917b").end == "B"
    undo(archive)
    assert resolve.find_tags(archive, "917") == []


def test_end_that_was_read_says_how_a_whole_thing_is_named(archive: Archive):
    for words, told in (("17b", "17b is end B of 17"), ("12.2a", "12.2a is end A of 12.2")):
        assert resolve.get_tag(archive, words).as_read(words).startswith(told)


@pytest.mark.parametrize(
    ("words", "is_id"), [("7", True), ("9" * 18, True), ("9" * 19, False), ("", False), ("-1", False)]
)
def test_more_digits_than_the_database_holds_are_no_id(words: str, is_id: bool):
    assert resolve.is_id(words) is is_id
