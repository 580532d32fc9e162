"""An archive as it stands after a dump of `sample_media`: real rows and steps, the sorting taken from the truth.

The truth is `sample_media/manifest.json`, bursts too. As the machine errs, one picture is put into a wrong spot and
every twelfth carried pin is put beside its place; pixels are not read.
"""

from __future__ import annotations

import csv
import json
import random
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from unittest.mock import patch
from zlib import crc32

import numpy as np

from asfound.actions.archive import Archive, open_archive
from asfound.actions.known import known_pictures, known_tags, spot_of
from asfound.actions.read_proposals import weigh_readings
from asfound.actions.tag import TagWords, add_tag
from asfound.core.match import IN_USE
from asfound.core.read.reading import Reading
from asfound.model.capture import Taken, TimeSource
from asfound.model.pictures import Pair, Picture
from asfound.model.tags import Pin, PinProposal
from asfound.store import jobs, pins, spots
from asfound.store.pictures import NewPicture, list_pictures, save_picture
from asfound.store.readings import save_readings
from tests.sallow_archive import bench_with_job

MANIFEST = Path(__file__).parents[2] / "sample_media" / "manifest.json"
STRAY = "P2_0009.jpg"
"""The picture that the machine puts into a wrong spot."""


def load_images() -> dict[str, dict[str, Any]]:
    """What each picture truly shows, by file."""
    return {image["file"]: image for image in json.loads(MANIFEST.read_text())["images"]}


READINGS = Path(__file__).with_name("readings.csv")
"""What `asfound read` with its own network read in these photos, 2026-11-25."""


def add_readings(archive: Archive) -> None:
    """The numbers of the job as a list that was brought in, and what was read: pins of it are proposed."""
    for number in sorted({end["tag"] for image in load_images().values() for end in image["connectors"]}):
        add_tag(archive, str(number), TagWords())
    ids = {picture.file: picture.picture_id for picture in list_pictures(archive.store, archive.job.job_id)}
    found: dict[int, list[Reading]] = defaultdict(list)
    with READINGS.open(newline="") as file:
        for row in csv.DictReader(file):
            at = (float(row[name]) for name in ("x", "y", "w", "h", "confidence"))
            found[ids[row["file"]]].append(Reading(row["number"], None, "written", *at))
    with archive.store.transaction():
        for picture_id, some in found.items():
            save_readings(archive.store, picture_id, "own", some)
    weigh_readings(archive.store, archive.job.job_id)


def make_archive(folder: Path) -> Archive:
    """Pictures, spots and pairs as they are proposed, and no tag yet."""
    bench_with_job(folder)
    archive = open_archive(folder)
    store, job_id = archive.store, archive.job.job_id
    images = load_images()
    with store.transaction():
        dump_id = jobs.start_dump(store, job_id, "card", archive.now())
        rng, print_of = random.Random(7), 0
        members: dict[str, list[int]] = defaultdict(list)
        for file, image in images.items():
            camera_id = jobs.save_camera(store, job_id, image["camera"])
            size = image["width"], image["height"]
            print_of = print_of if image.get("role") == "burst" else rng.getrandbits(62)
            new = NewPicture(job_id, dump_id, "photo", file, None, camera_id, _taken(image), *size, phash=print_of)
            picture_id = save_picture(store, replace(new, sharpness=rng.random()))
            spots.save_examined(store, picture_id, IN_USE, b"")
            if image["spot"] is not None:
                members[image["spot"]].append(picture_id)
                if file == STRAY:
                    stray = picture_id
        names = sorted(members)
        wrong = next(name for name in names if stray not in members[name])
        for name in names:
            members[name] = [one for one in members[name] if one != stray] + ([stray] if name == wrong else [])
        ids = {name: spots.new_spot(store, job_id) for name in names}
        spots.save_membership(store, job_id, {one: ids[name] for name in names for one in members[name]}, {})
        # What shows that it is from elsewhere is seen too, only less clearly.
        alike = [(one, 40) for one in members[wrong]] + [(one, 25) for one in members[images[STRAY]["spot"]]]
        spots.save_likenesses(
            store,
            IN_USE,
            [
                spots.StoredLikeness(min(stray, one), max(stray, one), many, 0.5, None, 1.0, None)
                for one, many in alike
                if one != stray
            ],
        )
        pairs = [Pair(ids[name], members[name][0], members[name][-1], "removed", 0.7) for name in names[::2]]
        spots.save_pairs(store, job_id, pairs)
    return archive


@contextmanager
def made_up() -> Iterator[None]:
    """Pixels are made up, and pins are carried by what is true instead of by sight."""
    with (
        patch("asfound.tui.opening.load_pixels", _flat_pixels),
        patch("asfound.actions.pinned.carry_on", carry_by_truth),
    ):
        yield


def _flat_pixels(archive: Archive, picture: Picture, longest_px: int | None) -> Any:
    return np.full((75, 100, 3), 60 + picture.picture_id, dtype=np.uint8)


def carry_by_truth(archive: Archive, pin_id: int) -> int:
    """Stands in for `actions.pinned.carry_on`."""
    store = archive.store
    made = pins.get_pin(store, pin_id)
    number, places, images = known_tags(archive)[made.tag_id].number, spot_of(archive), load_images()
    found = []
    for picture in known_pictures(archive).values():
        if picture.picture_id == made.picture_id or places.get(picture.picture_id) != places[made.picture_id]:
            continue
        found += [
            _carried(number, made, picture.picture_id, seen["x"], seen["y"])
            for seen in images[picture.file]["connectors"]
            if seen["id"] == f"{number}{made.end}" and seen["visible"]
        ]
    with store.transaction():
        pins.replace_proposals(store, made.tag_id, made.end, "carried", found)
        pins.mark_carried(store, made.tag_id, made.end)
    archive.follow_words()
    return len(found)


def _carried(number: str, made: Pin, picture_id: int, x: float, y: float) -> PinProposal:
    """A proposal: mostly right and sure; every twelfth wrong, none of those over 0.75; some right but unsure.

    Which ones hangs on number, end and picture alone, so that two ways of sorting meet the same errors.
    """
    chance = crc32(f"{number}{made.end} {picture_id}".encode()) % 12
    at, sure = ((x, y), 0.6 if chance == 1 else 0.85 + chance / 100) if chance else (((x + 0.3) % 1, y), 0.7)
    return PinProposal(made.tag_id, made.end, picture_id, *at, None, None, "carried", sure, "", None)


def _taken(image: dict[str, Any]) -> Taken:
    moment = datetime.fromisoformat(image["time"])
    offset = moment.utcoffset()
    assert offset is not None
    return Taken(moment.replace(tzinfo=None), int(offset.total_seconds() // 60), TimeSource.EXIF_ORIGINAL, None, False)
