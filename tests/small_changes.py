"""Small changes to an archive, before a test begins: by the person, by the machine, and to what can be taken back."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np
from PIL import Image

from asfound.actions import log, resolve
from asfound.actions.archive import Archive
from asfound.core.read.reading import Reading
from asfound.model.tags import EndLetter, PinProposal, Tag
from asfound.store import pins, spots
from asfound.store.pictures import get_picture
from asfound.store.readings import save_readings

ZONE = timezone(timedelta(hours=2))
FIRST_DAY = datetime(2025, 10, 18, 9, 42, tzinfo=ZONE)


def tag_of(archive: Archive, number: str) -> Tag:
    """The tag with a number: "112", or "12.2" for the second thing of one."""
    return resolve.get_tag(archive, number).tag


def come_off(archive: Archive, *numbers: str) -> None:
    """Write down that things came off, one after another."""
    for number in numbers:
        log.mark_off(archive, tag_of(archive, number))


def go_back_on(archive: Archive, *numbers: str) -> None:
    """Write down that things are back."""
    for number in numbers:
        log.mark_refitted(archive, tag_of(archive, number))


def off_and_on(archive: Archive, *numbers: str) -> None:
    """Write down that things came off after the first picture, and were back before the third was taken."""
    for number in numbers:
        log.mark_off(archive, tag_of(archive, number), at=FIRST_DAY + timedelta(minutes=10))
        log.mark_refitted(archive, tag_of(archive, number), at=FIRST_DAY + timedelta(minutes=18))


def propose_pin(
    archive: Archive,
    number: str,
    end: EndLetter,
    picture_id: int,
    at: tuple[float, float] = (0.62, 0.33),
    *,
    confidence: float = 0.82,
) -> None:
    """Let the machine have carried a pin to a picture, beside what it has carried already."""
    tag_id, store = tag_of(archive, number).tag_id, archive.store
    others = [one for one in pins.find_proposals(store, tag_id, end) if one.source == "carried"]
    new = PinProposal(tag_id, end, picture_id, *at, None, None, "carried", confidence, "from picture 1", None)
    with store.transaction():
        pins.replace_proposals(store, tag_id, end, "carried", [*others, new])


def forget_proposals(archive: Archive) -> None:
    """Nothing is proposed for any pin."""
    with archive.store.transaction():
        for one in pins.list_proposals(archive.store, archive.job.job_id):
            pins.replace_proposals(archive.store, one.tag_id, one.end, one.source, [])


def let_read(
    archive: Archive, picture_id: int, *readings: tuple[str, float], at: tuple[float, float] = (0.5, 0.5)
) -> None:
    """Let numbers have been read in a picture, each so surely, and proposed."""
    found = [Reading(number, None, "written", *at, 0.1, 0.1, confidence) for number, confidence in readings]
    with archive.store.transaction():
        save_readings(archive.store, picture_id, "own", found)
    archive.follow_words()


def make_burst(archive: Archive, *picture_ids: int) -> None:
    """Let pictures have been taken within seconds, alike, the first of them the sharpest."""
    first = get_picture(archive.store, picture_ids[0])
    assert first.taken_local is not None
    with archive.store.transaction():
        for behind, picture_id in enumerate(picture_ids):
            taken = first.taken_local + timedelta(seconds=behind)
            archive.store.run(
                "UPDATE picture SET phash = ?, sharpness = ?, taken_local = ?, written_utc_s = ? WHERE picture_id = ?",
                *(first.phash, 1000.0 - behind, taken.isoformat(), (first.taken_utc_s or 0.0) + behind, picture_id),
            )


def lose_original(archive: Archive, picture_id: int) -> None:
    """Let a picture's file be gone from the disk, and with it what was made of it to be looked at."""
    digest = get_picture(archive.store, picture_id).digest
    assert digest is not None
    for file in archive.folder.rglob(f"{digest}*"):
        file.unlink()


def card_of(folder: Path, count: int) -> Path:
    """A folder with so many new photos, small ones."""
    folder.mkdir(parents=True)
    for number, dots in enumerate(np.random.default_rng(11).integers(0, 255, (count, 6, 8, 3)).astype(np.uint8), 1):
        Image.fromarray(dots).resize((80, 60)).save(folder / f"N{number}.jpg")
    return folder


def settle_sorting(archive: Archive) -> None:
    """What was said so far is what the machine knows: nothing waits for the next sort."""
    store = archive.store
    with store.transaction():
        spots.mark_spots_fresh(store)
        for tag_id, end in pins.stale_ends(store):
            pins.mark_carried(store, tag_id, end)


def forget_steps(archive: Archive) -> None:
    """As if what was entered so far had been entered long ago: it cannot be taken back."""
    with archive.store.transaction():
        archive.store.run("DELETE FROM undo_line")
        archive.store.run("DELETE FROM step")
