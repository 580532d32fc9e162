"""A small archive for the screens' tests: six drawn photos of two places, sorted, with tags, pins, bags and snags.

Everything is there as a person and the machine would have left it: files come in as a dump, words through the actions.
Only what the machine proposes is written down as a test wants to find it, for what it makes of drawings is its own
affair. The photos are 400 x 300. The last of the first place shows it from nearer, with its hose gone.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from asfound.actions import log, resolve
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
from asfound.core.read.reading import Reading
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, PinProposal, Tag
from asfound.store import pins, spots
from asfound.store.pictures import get_picture, list_pictures
from asfound.store.readings import save_readings
from tests.built_once import copy_of

ZONE = timezone(timedelta(hours=2))
FIRST_DAY = datetime(2025, 10, 18, 9, 42, tzinfo=ZONE)
SIZE = 400, 300
HOSE = 0.32, 0.66
"""Where the middle of the hose lies that is gone in the last picture of the first place, in fractions of the first."""

CLOSER = 1.25
"""How much larger that picture shows the place."""

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


def in_third(x: float, y: float) -> tuple[float, float]:
    """Where a point of picture 1 lies in picture 3, as it was drawn."""
    return (x - 0.5) * CLOSER + 0.6, (y - 0.5) * CLOSER + 0.5


def now() -> datetime:
    """The second day after the first photo."""
    return FIRST_DAY.replace(day=20, hour=14, minute=0)


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
    """Let numbers have been read in a picture, each so surely."""
    found = [Reading(number, None, "written", *at, 0.1, 0.1, confidence) for number, confidence in readings]
    with archive.store.transaction():
        save_readings(archive.store, picture_id, "own", found)


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


# What is made once


def _make_empty(folder: Path) -> None:
    with open_archive(folder, create=True, now=now) as archive:
        new_job(archive, "Work boat, port engine", zone="Europe/Amsterdam")


def _make_small(folder: Path) -> None:
    _make_empty(folder)
    with open_archive(folder, now=now) as archive:
        _bring_in(archive, [_draw(number) for number in range(1, 7)])
        finish_pending(archive)
        _sort_as_wanted(archive, {RAIL: (1, 2, 3), FILTER: (4, 5, 6)})
        _write_down(archive)
        propose_pin(archive, "31", "A", 2)
        settle_sorting(archive)
        forget_steps(archive)


def _make_with_overview(folder: Path) -> None:
    with small_archive(folder) as archive, tempfile.TemporaryDirectory() as card:
        both = Image.new("RGB", SIZE)
        for side, place in enumerate((_place(1, with_hose=True), _place(2, with_hose=False))):
            both.paste(_view(place, (800, 600), 800, 0.0).resize((200, 150), Image.Resampling.BOX), (side * 200, 75))
        both.save(Path(card) / "P0007.jpg", quality=92)
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


# Drawing

MARKS = 300


def _draw(number: int) -> Image.Image:
    """One photo: a view of its place, each from somewhat elsewhere."""
    place = _place(1 if number <= 3 else 2, with_hose=number != 3)
    middle, width, turned = {
        1: ((800, 600), 800, 0.0),
        2: ((820, 612), 800, 2.0),
        3: ((800 - 80 / CLOSER, 600), 800 / CLOSER, 0.0),
        4: ((800, 600), 800, 0.0),
        5: ((784, 608), 800, -2.0),
        6: ((812, 592), 780, 1.0),
    }[number]
    if number == 2:
        place = place.filter(ImageFilter.GaussianBlur(2))  # so that the first is the better picture of what both show
    return _view(place, middle, width, turned)


def _view(place: Image.Image, middle: tuple[float, float], width: float, turned_deg: float) -> Image.Image:
    """A part of a place, so wide, around a middle; drawn twice as large first, so that nothing of it is ragged."""
    scale, angle = width / SIZE[0] / 2, np.deg2rad(turned_deg)
    cos, sin = scale * np.cos(angle), scale * np.sin(angle)
    left, top = middle[0] - cos * SIZE[0] + sin * SIZE[1], middle[1] - sin * SIZE[0] - cos * SIZE[1]
    matrix = (cos, -sin, left, sin, cos, top)
    large = place.transform((2 * SIZE[0], 2 * SIZE[1]), Image.Transform.AFFINE, matrix, Image.Resampling.BICUBIC)
    return large.resize(SIZE, Image.Resampling.BOX)


def _place(seed: int, *, with_hose: bool) -> Image.Image:
    """1600 x 1200 pixels with marks that a matcher holds on to; a hose lies across it, or does not."""
    rng = np.random.default_rng(seed)
    drawn = Image.new("RGB", (1600, 1200), (90, 88, 84))
    pen = ImageDraw.Draw(drawn)
    for _ in range(MARKS):
        x, y = rng.uniform(0, 1600), rng.uniform(0, 1200)
        w, h = rng.uniform(12, 60, 2)
        shade = tuple(int(part) for part in rng.integers(20, 235, 3))
        (pen.ellipse if rng.random() < 0.5 else pen.rectangle)((x, y, x + w, y + h), fill=shade)
    if seed == 1 and with_hose:
        x, y = 400 + HOSE[0] * 800, 300 + HOSE[1] * 600
        pen.line((x - 90, y - 16, x + 90, y + 16), fill=(15, 15, 15), width=48)
        pen.line((x - 90, y - 24, x + 90, y + 8), fill=(60, 60, 66), width=8)
    return drawn
