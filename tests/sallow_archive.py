"""The demo scenario as a real archive, filled by the commands a person types; pictures are rows without pixels."""

from __future__ import annotations

import hashlib
import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from click.testing import CliRunner, Result

from asfound.actions import resolve
from asfound.actions.archive import open_archive
from asfound.actions.pin import Box
from asfound.cli.main import Chosen, main
from asfound.model.capture import Taken, TimeSource
from asfound.model.tags import EndLetter
from asfound.store import jobs, pins
from asfound.store.pictures import NewPicture, save_original, save_picture
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
    bench = Bench(folder)
    bench.run("job", "new", "Sallow", "--zone", "Europe/Amsterdam")
    return bench


def bench_with_sallow(folder: Path) -> Bench:
    """Tags, bags and snags brought in by command, and pins on the pictures that the scenario's photos stand for."""
    bench = bench_with_job(folder)
    for what, name in (("tags", "scenario"), ("bags", "bags"), ("snags", "snags")):
        done = bench.run(what, "import", str(FOLDER / f"demo-{name}.csv"))
        assert "refused" not in done.output
    _pin_photos(folder)
    return bench


def _pin_photos(folder: Path) -> None:
    with open_archive(folder) as archive:
        store, job_id = archive.store, archive.job.job_id
        dump_id = jobs.start_dump(store, job_id, "card", archive.now())
        for row in read_rows("photos"):
            if row["kind"] != "photo":
                continue
            camera_id = jobs.save_camera(store, job_id, row["camera"])
            digest = hashlib.sha256(row["file"].encode()).hexdigest()
            save_original(store, digest=digest, suffix=".jpg", size_bytes=1, kind="photo", stored_at=archive.now())
            picture = NewPicture(job_id, dump_id, "photo", row["file"], digest, camera_id, _taken(row), 400, 300)
            picture_id = save_picture(store, picture)
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


def _taken(row: dict[str, str]) -> Taken:
    local = datetime.strptime(row["exif_datetime"], "%Y:%m:%d %H:%M:%S")
    offset = local.replace(tzinfo=ZONE).utcoffset()
    assert offset is not None
    return Taken(local, int(offset.total_seconds() // 60), TimeSource.EXIF_ORIGINAL, None, not row["exif_offset"])
