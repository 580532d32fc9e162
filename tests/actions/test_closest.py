"""The picture of how it was is the closest one, by the scale that carrying a pin works out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import cv2
import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.find import find_tags
from asfound.actions.found_end import FoundEnd
from asfound.actions.pin import Box, confirm_proposal, pin_tag
from asfound.actions.sort import finish_pending
from asfound.actions.tag import TagWords, add_tag, remove_tag
from asfound.model.pictures import Picture
from asfound.model.tags import Tag
from asfound.store import jobs, pins
from asfound.store.pictures import list_pictures
from tests.built_once import copy_of
from tests.core.match.pictures import textured
from tests.media import samples

ZOOMS = (1.0, 1.25, 1.6)
"""How much larger each of the three photos shows the one plane, about its middle; the first is the earliest."""

CENTRE = Box(0.5, 0.5)


def _make(folder: Path) -> None:
    whole = cv2.cvtColor(textured(3, (960, 720)), cv2.COLOR_GRAY2RGB)
    card = folder / "card"
    card.mkdir()
    for minute, zoom in enumerate(ZOOMS):
        height, width = round(720 / zoom), round(960 / zoom)
        top, left = (720 - height) // 2, (960 - width) // 2
        shot = cv2.resize(whole[top : top + height, left : left + width], (960, 720), interpolation=cv2.INTER_LINEAR)
        exif = samples.exif_bytes(time=f"2025:10:18 09:0{minute}:00", offset="+02:00")
        (card / f"P1_000{minute + 1}.jpg").write_bytes(samples.jpeg(shot, exif=exif))
    with open_archive(folder / "archive", create=True) as archive:
        jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
        add_dump(archive, [card], workers=0)
        finish_pending(archive)
        # One sharpness for all, so that it is how close they are that decides.
        with archive.store.transaction():
            archive.store.run("UPDATE picture SET sharpness = 100")


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(copy_of(_make, tmp_path) / "archive") as opened:
        yield opened


@pytest.fixture
def mine(archive: Archive) -> Tag:
    return add_tag(archive, "17", TagWords(kind="hose"))


def photos(archive: Archive) -> list[Picture]:
    return list_pictures(archive.store, archive.job.job_id)


def end_a(archive: Archive) -> FoundEnd:
    finish_pending(archive)
    return next(one for one in find_tags(archive, "17") if one.end.end == "A")


def order(archive: Archive) -> list[str]:
    found = end_a(archive)
    assert found.as_found is not None
    return [one.picture.file for one in (found.as_found, *found.others)]


def test_scales_are_those_of_the_zooms(archive: Archive, mine: Tag) -> None:
    first, second, third = photos(archive)
    pin_tag(archive, mine, "A", second, CENTRE)
    finish_pending(archive)

    scales = pins.find_scales(archive.store, mine.tag_id, "A")

    assert set(scales) == {first.picture_id, second.picture_id, third.picture_id}
    unit = scales[first.picture_id]
    assert [scales[one.picture_id] / unit for one in (first, second, third)] == pytest.approx(ZOOMS, rel=0.02)


def test_closest_of_the_pinned_pictures_is_the_one_as_found(archive: Archive, mine: Tag) -> None:
    for picture in photos(archive):
        pin_tag(archive, mine, "A", picture, CENTRE)

    assert order(archive) == ["P1_0003.jpg", "P1_0002.jpg", "P1_0001.jpg"]


def test_closest_stays_first_when_carried_pins_are_confirmed(archive: Archive, mine: Tag) -> None:
    """The place is a person's word then; the scale is still worked out."""
    first, second, third = photos(archive)
    pin_tag(archive, mine, "A", first, CENTRE)
    assert order(archive)[0] == "P1_0001.jpg", "a pin goes before the machine's proposals, however close"
    for picture in (second, third):
        confirm_proposal(archive, mine, "A", picture)

    assert order(archive) == ["P1_0003.jpg", "P1_0002.jpg", "P1_0001.jpg"]


def test_scales_go_with_their_tag(archive: Archive, mine: Tag) -> None:
    pin_tag(archive, mine, "A", photos(archive)[0], CENTRE)
    finish_pending(archive)

    remove_tag(archive, mine)

    assert pins.find_scales(archive.store, mine.tag_id, "A") == {}
