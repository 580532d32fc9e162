"""The demo scenario as a real archive, filled by the commands a person types.

Pictures are rows without pixels; what a camera and a reader of tape would make of them is worked out here: a
fingerprint of a drawing of what each shows, and the number on a loose tape.
"""

from __future__ import annotations

import hashlib
import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from click.testing import CliRunner, Result
from PIL import Image

from asfound.actions import resolve
from asfound.actions.archive import Archive, open_archive
from asfound.actions.pin import Box
from asfound.cli.main import Chosen, main
from asfound.core.capture.fingerprint import compute_fingerprint
from asfound.core.read.reading import Reading
from asfound.model.capture import Taken, TimeSource
from asfound.model.tags import EndLetter
from asfound.store import jobs, pins, readings
from asfound.store.pictures import NewClip, NewPicture, save_clip, save_original, save_picture
from tests.built_once import copy_of
from tests.scenario import FOLDER, read_rows

ZONE = ZoneInfo("Europe/Amsterdam")


class Bench:
    """A person's terminal on one archive."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def run(self, *words: str) -> Result:
        """One command; faults come through as they are raised."""
        return CliRunner().invoke(
            main, ["--archive", str(self.folder), *words], obj=Chosen(), standalone_mode=False, catch_exceptions=False
        )

    def json(self, *words: str) -> Any:
        """The document of one command."""
        return json.loads(self.run(*words, "--json").stdout)


def bench_with_job(folder: Path) -> Bench:
    """An archive with a job and nothing else."""
    return Bench(copy_of(_make_job, folder))


def bench_with_sallow(folder: Path) -> Bench:
    """Tags, bags and snags brought in by command, and pins on the pictures that the scenario's photos stand for."""
    return Bench(copy_of(_make_sallow, folder))


def _make_job(folder: Path) -> None:
    Bench(folder).run("job", "new", "Sallow", "--zone", "Europe/Amsterdam")


def _make_sallow(folder: Path) -> None:
    bench = bench_with_job(folder)
    for what, name in (("tags", "scenario"), ("bags", "bags"), ("snags", "snags")):
        done = bench.run(what, "import", str(FOLDER / f"demo-{name}.csv"))
        assert "refused" not in done.output
    with open_archive(folder) as archive, archive.store.transaction():
        _pin_photos(archive)


def _pin_photos(archive: Archive) -> None:
    store, job_id = archive.store, archive.job.job_id
    dump_id = jobs.start_dump(store, job_id, "card", archive.now())
    for row in read_rows("photos"):
        camera_id = jobs.save_camera(store, job_id, row["camera"])
        digest = hashlib.sha256(row["file"].encode()).hexdigest()
        if row["kind"] != "photo":
            clip = NewClip(job_id, dump_id, row["file"], digest, camera_id, _clip_taken(row), 5.0, 640, 480, 0)
            save_original(store, digest=digest, suffix=".mov", size_bytes=1, kind="clip", stored_at=archive.now())
            save_clip(store, clip)
            continue
        save_original(store, digest=digest, suffix=".jpg", size_bytes=1, kind="photo", stored_at=archive.now())
        picture = NewPicture(
            *(job_id, dump_id, "photo", row["file"], digest, camera_id, _taken(row), 400, 300),
            phash=_fingerprint(row),
            sharpness=100.0,
        )
        picture_id = save_picture(store, picture)
        if loose := re.search(r"loose tape .* reads (\d+)", row["shows"]):
            reading = Reading(loose[1], None, "written", 0.5, 0.5, 0.1, 0.1, 0.9)
            readings.save_readings(store, picture_id, "own", [reading])
        for number, letter in re.findall(r"(\w+?)([AB])(?:;|$)", row["tags"]):
            end: EndLetter = "A" if letter == "A" else "B"
            tagged = [ref.tag for ref in resolve.find_tags(archive, number)]
            day = row["exif_datetime"][:10].replace(":", "-")
            # A number used twice is the thing that was tagged last when the picture was taken.
            tag = [one for one in tagged if f"{one.created_at:%Y-%m-%d}" <= day][-1]
            box = Box(0.5, 0.5)
            pins.save_pin(
                store, tag.tag_id, end, picture_id, archive.now(),
                x_frac=box.x_frac, y_frac=box.y_frac, w_frac=None, h_frac=None,
            )  # fmt: skip


def _fingerprint(row: dict[str, str]) -> int:
    """Of a drawing of its own for each photo; a second press of the shutter draws the same, held a little otherwise."""
    again = row["note"].startswith("near-duplicate of the photo before")
    drawn = row["file"] if not again else f"P1_{int(row['file'][3:7]) - 1:04d}.jpg"
    noise = np.random.default_rng(int.from_bytes(drawn.encode(), "big")).random((12, 16))
    sheet = Image.fromarray((noise * 255).astype(np.uint8)).resize((330, 250), Image.Resampling.BICUBIC)
    held = 2 if again else 0
    return compute_fingerprint(np.asarray(sheet.crop((held, held, held + 320, held + 240))))


def _clip_taken(row: dict[str, str]) -> Taken:
    if row["clip_local_key"]:
        at = datetime.strptime(row["clip_local_key"], "%Y-%m-%dT%H:%M:%S%z")
        source = TimeSource.CLIP_KEY
    else:
        at = datetime.fromtimestamp(int(row["clip_utc_1904"]) - 2_082_844_800, ZONE)
        source = TimeSource.CLIP_HEADER
    offset = at.utcoffset()
    assert offset is not None
    minutes = int(offset.total_seconds() // 60)
    return Taken(at.replace(tzinfo=None), minutes, source, None, source is TimeSource.CLIP_HEADER)


def _taken(row: dict[str, str]) -> Taken:
    local = datetime.strptime(row["exif_datetime"], "%Y:%m:%d %H:%M:%S")
    offset = local.replace(tzinfo=ZONE).utcoffset()
    assert offset is not None
    return Taken(local, int(offset.total_seconds() // 60), TimeSource.EXIF_ORIGINAL, None, not row["exif_offset"])
