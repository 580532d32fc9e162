"""Jobs: made with a name and a zone that exist, changed in one step, and each with its own record."""

from __future__ import annotations

import pytest

from asfound.actions import job
from asfound.actions.archive import Archive, open_archive
from asfound.actions.tag import TagWords, add_tag, list_tags
from asfound.actions.undo import undo
from asfound.errors import Misused, NotFound


def test_job_is_made_with_all_that_was_said_in_one_line_each(archive: Archive):
    made = job.new_job(
        archive,
        "  Tractor ",
        zone="UTC",
        front_means="radiator  end",
        left_means="as\nsat",
        turning_means="clockwise seen from the flywheel end",
    )

    assert (made.name, made.zone) == ("Tractor", "UTC")
    assert (made.front_means, made.left_means, made.turning_means) == (
        "radiator end",
        "as sat",
        "clockwise seen from the flywheel end",
    )
    assert archive.job == made, "later commands mean the new one"


@pytest.mark.parametrize("name", ["", "   ", "\n"])
def test_job_without_a_name_is_refused(archive: Archive, name: str):
    with pytest.raises(Misused, match="needs a name"):
        job.new_job(archive, name)
    with pytest.raises(Misused, match="needs a name"):
        job.change_job(archive, name=name)

    assert [one.name for one in job.list_jobs(archive)] == ["Work boat, port engine"]


@pytest.mark.parametrize("zone", ["Europe/Nowhere", "CEST+2", "../../etc/passwd", "/etc/localtime", "a\0b"])
def test_zone_that_nobody_knows_is_refused(archive: Archive, zone: str):
    with pytest.raises(Misused, match="is not a time zone"):
        job.new_job(archive, "Tractor", zone=zone)
    with pytest.raises(Misused, match="is not a time zone"):
        job.change_job(archive, zone=zone)

    assert archive.job.zone == "Europe/Amsterdam"


def test_only_what_is_said_changes_and_undo_takes_it_back(archive: Archive):
    was = archive.job
    now = job.change_job(archive, front_means="propeller end")

    assert (now.front_means, now.name, now.zone, now.left_means) == (
        "propeller end", was.name, was.zone, was.left_means,
    )  # fmt: skip
    assert job.change_job(archive) == now
    undo(archive)
    assert archive.job == was


def test_each_job_has_its_own_tags_and_the_one_in_use_can_be_named(archive: Archive):
    first = archive.job
    add_tag(archive, "17", TagWords())
    second = job.new_job(archive, "Tractor", zone="UTC")
    assert list_tags(archive) == []

    assert job.use_job(archive, first.job_id) == first
    assert [tag.number for tag in list_tags(archive)] == ["17"]
    with open_archive(archive.folder, job_id=second.job_id) as other:
        assert other.job == second
        assert list_tags(other) == []


def test_unknown_job_is_told(archive: Archive):
    with pytest.raises(NotFound):
        job.use_job(archive, 99)

    assert archive.job.name == "Work boat, port engine"


@pytest.mark.parametrize(
    ("said", "asked"), [("clockwise", True), ("clockwise seen from the belt end", False), ("", False)]
)
def test_direction_without_the_end_it_is_seen_from_is_asked_back(archive: Archive, said: str, asked: bool):
    changed = job.change_job(archive, turning_means=said)

    assert bool(job.turning_to_ask(changed)) is asked
