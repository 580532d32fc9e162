"""A small archive for the screens' tests: six drawn photos of two places, sorted, with tags, pins, bags and snags.

Everything is there as a person and the machine would have left it: files come in as a dump, words through the actions.
Only what the machine proposes is written down as a test wants to find it, for what it makes of drawings is its own
affair. `tests/drawn_places.py` draws the photos.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from PIL import Image

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.bags import BagWords, save_bag
from asfound.actions.job import new_job
from asfound.actions.pin import Box, pin_tag
from asfound.actions.snags import SnagTies, add_snag
from asfound.actions.sort import finish_pending
from asfound.actions.spots import accept_spot, list_spots, name_spot
from asfound.actions.tag import EndWords, TagWords, add_tag, change_end
from asfound.core.match import IN_USE
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter
from asfound.store import spots
from asfound.store.pictures import get_picture, list_pictures
from tests.built_once import copy_of
from tests.drawn_places import both_from_afar, photo_of
from tests.small_changes import FIRST_DAY, forget_steps, propose_pin, settle_sorting, tag_of

RAIL, FILTER = 1, 2
"""The two spots; the first has a name, the second is still to be looked at."""


def small_archive(folder: Path) -> Archive:
    """A fresh copy of the archive, open; in its job nothing can be taken back yet."""
    return open_archive(copy_of(_make_small, folder), now=now)


def archive_with_overview(folder: Path) -> Archive:
    """The small archive with a seventh picture, which shows both places from afar."""
    return open_archive(copy_of(_make_with_overview, folder), now=now)


def many_pictures(folder: Path) -> Archive:
    """Forty pictures of two spots and nothing else."""
    return open_archive(copy_of(_make_many, folder), now=now)


def archive_of(folder: Path, photos: Sequence[Image.Image]) -> Archive:
    """An archive of these photos, as taken for sorted, and nothing else."""
    archive = empty_archive(folder)
    _bring_in(archive, photos)
    with archive.store.transaction():
        for picture_id in range(1, len(photos) + 1):
            spots.save_examined(archive.store, picture_id, IN_USE, b"")
    return archive


def empty_archive(folder: Path) -> Archive:
    """A job and nothing in it."""
    return open_archive(copy_of(_make_empty, folder), now=now)


def now() -> datetime:
    """The second day after the first photo."""
    return FIRST_DAY.replace(day=20, hour=14, minute=0)


# What is made once


def _make_empty(folder: Path) -> None:
    with open_archive(folder, create=True, now=now) as archive:
        new_job(archive, "Work boat, port engine", zone="Europe/Amsterdam")


def _make_small(folder: Path) -> None:
    _make_empty(folder)
    with open_archive(folder, now=now) as archive:
        _bring_in(archive, [photo_of(number) for number in range(1, 7)])
        finish_pending(archive)
        _sort_as_wanted(archive, {RAIL: (1, 2, 3), FILTER: (4, 5, 6)})
        _write_down(archive)
        propose_pin(archive, "31", "A", 2)
        settle_sorting(archive)
        forget_steps(archive)


def _make_with_overview(folder: Path) -> None:
    with small_archive(folder) as archive, tempfile.TemporaryDirectory() as card:
        both_from_afar().save(Path(card) / "P0007.jpg", quality=92)
        add_dump(archive, [Path(card)], workers=0)
        finish_pending(archive)


def _make_many(folder: Path) -> None:
    _make_empty(folder)
    with open_archive(folder, now=now) as archive:
        noise = np.random.default_rng(7).integers(0, 255, (40, 6, 8, 3)).astype(np.uint8)
        _bring_in(archive, [Image.fromarray(one).resize((80, 60)) for one in noise])
        with archive.store.transaction():
            for picture_id in range(1, 41):
                spots.save_examined(archive.store, picture_id, IN_USE, b"")
        _sort_as_wanted(archive, {RAIL: range(1, 21), FILTER: range(21, 41)})
        settle_sorting(archive)
        forget_steps(archive)


def _bring_in(archive: Archive, photos: Iterable[Image.Image]) -> None:
    with tempfile.TemporaryDirectory() as card:
        for number, photo in enumerate(photos, 1):
            taken = FIRST_DAY + timedelta(minutes=7 * number, days=number // 4)
            file, exif = Path(card) / f"P{number:04}.jpg", Image.Exif()
            # Of the third only the file's own time is known.
            if number != 3:
                exif.get_ifd(0x8769).update({0x9003: f"{taken:%Y:%m:%d %H:%M:%S}", 0x9011: "+02:00"})
            exif[0x0110] = "Pocket P1"
            photo.save(file, quality=92, exif=exif)
            os.utime(file, (taken.timestamp(),) * 2)
        report = add_dump(archive, [Path(card)], workers=0)
    assert [one.file for one in report.added] == [one.file for one in list_pictures(archive.store, archive.job.job_id)]


def _sort_as_wanted(archive: Archive, members: dict[int, Iterable[int]]) -> None:
    store, job_id = archive.store, archive.job.job_id
    of = {picture_id: spot_id for spot_id, some in members.items() for picture_id in some}
    with store.transaction():
        while len(list(store.rows("SELECT spot_id FROM spot"))) < len(members):
            spots.new_spot(store, job_id)
        spots.save_membership(store, job_id, of, {})
        spots.save_pairs(store, job_id, [Pair(RAIL, 1, max(members[RAIL]), "removed", 0.8)])
    rail = next(one for one in list_spots(archive) if one.spot_id == RAIL)
    accept_spot(archive, rail)
    name_spot(archive, rail, "Fuel rail")


def _write_down(archive: Archive) -> None:
    for number, kind, name, hazard, places in (
        ("112", "hose", "fuel return hose", "fuel", ("rail, front", "filter head")),
        ("31", "harness plug", "injector plug, cylinder 1", "", ("head, port side", "loom, branch 2")),
        ("110", "wire", "glow plug wire", "", ("glow plug 3", "")),
    ):
        tag = add_tag(archive, number, TagWords(kind=kind, name=name, ends=2, hazard=hazard))
        ends: tuple[EndLetter, EndLetter] = ("A", "B")
        for end, place in zip(ends, places, strict=True):
            if place:
                change_end(archive, tag, end, EndWords(place=place))
    for number, end, picture_id, x, y in (
        ("112", "A", 1, 0.30, 0.40),
        ("112", "A", 2, 0.35, 0.42),
        ("112", "B", 2, 0.70, 0.55),
        ("31", "A", 1, 0.60, 0.30),
    ):
        letter: EndLetter = "A" if end == "A" else "B"
        pin_tag(archive, tag_of(archive, number), letter, get_picture(archive.store, picture_id), Box(x, y))
    words = BagWords(name="union bolts", place="shelf 2", count_out=4, contents="2 copper washers")
    bag = save_bag(archive, "B1", words, tags=[tag_of(archive, "112")])
    save_bag(archive, "B8")
    ties = SnagTies(tag=tag_of(archive, "31"), picture=get_picture(archive.store, 2), buy="paint")
    add_snag(archive, "rust under mount", ties)
    add_snag(archive, "two washers short", SnagTies(bag=bag))
