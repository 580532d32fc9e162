"""Spots are named by a person so that each can be told by its number or its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions import spots as actions
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Spot
from asfound.store import jobs, spots
from asfound.store.pictures import list_pictures
from tests.media import samples


@pytest.fixture
def archive(tmp_path: Path):
    """An archive with two pictures, each in a spot of its own."""
    card = tmp_path / "card"
    card.mkdir()
    for number in (1, 2):
        (card / f"P1_000{number}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number)))
    with open_archive(tmp_path / "archive", create=True) as opened:
        job = jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        add_dump(opened, [card], workers=0)
        for picture in list_pictures(opened.store, job.job_id):
            spots.place_picture(opened.store, picture.picture_id, spots.new_spot(opened.store, job.job_id))
            opened.store.run("INSERT OR REPLACE INTO member SELECT picture_id, spot_id FROM placed")
        yield opened


def both(archive: Archive) -> list[Spot]:
    found = actions.list_spots(archive)
    assert len(found) == 2
    return found


@pytest.mark.parametrize("name", ["2", " 17 ", "none", "NONE"])
def test_spot_is_not_called_what_would_be_taken_for_another(archive: Archive, name: str):
    with pytest.raises(Misused, match="would be read as"):
        actions.name_spot(archive, both(archive)[0], name)

    assert both(archive)[0].name == ""


def test_two_spots_cannot_have_one_name(archive: Archive):
    first, second = both(archive)
    actions.name_spot(archive, first, "Starter")

    with pytest.raises(Misused, match=f"asfound spot join {first.spot_id} {second.spot_id}"):
        actions.name_spot(archive, second, "starter")

    actions.name_spot(archive, first, "Starter")
    assert actions.get_spot(archive, "STARTER").spot_id == first.spot_id
    assert both(archive)[1].name == ""


def test_name_that_no_spot_has_is_missing(archive: Archive):
    """Unnamed spots do not answer to no name."""
    for words in ("starter", "", " "):
        with pytest.raises(NotFound):
            actions.get_spot(archive, words)


def test_steps_name_pictures_as_a_person_knows_them(archive: Archive):
    first, second = both(archive)

    actions.move_pictures(archive, first.picture_ids, second)

    assert archive.store.steps(1) == [f"P1_0001.jpg moved to spot {second.spot_id}"]


def test_picture_of_another_spot_is_named_when_a_split_is_refused(archive: Archive):
    first, second = both(archive)

    with pytest.raises(Misused, match=r"P1_0002\.jpg \(picture"):
        actions.split_spot(archive, first, second.picture_ids)
