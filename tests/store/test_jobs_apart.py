"""Two jobs in one archive: whatever is asked of one shows nothing of the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from asfound.core.read.reading import Reading
from asfound.model.pictures import Pair
from asfound.model.tags import PinProposal
from asfound.store import (
    answers,
    bags,
    bursts,
    events,
    fitting,
    jobs,
    pictures,
    pins,
    purchases,
    readings,
    snags,
    spots,
    tags,
    values,
)
from asfound.store.database import Store
from asfound.store.spots import StoredLikeness
from tests.built_once import copy_of
from tests.store.filled import NOW

ASKED: dict[str, Callable[[Store, int], object]] = {
    "aliases": tags.list_aliases,
    "accepted times": jobs.accepted_times,
    "answered gaps": answers.answered_gaps,
    "bags": bags.list_bags,
    "behind": bursts.load_behind,
    "belts": tags.list_belts,
    "cameras": jobs.list_cameras,
    "counts of cameras": jobs.count_taken,
    "clips": pictures.list_clips,
    "day notes": fitting.list_day_notes,
    "ends": tags.list_ends,
    "events": events.list_events,
    "holds": fitting.list_holds,
    "last spots": spots.load_last_spots,
    "likenesses": spots.load_likenesses,
    "lines": events.list_lines,
    "loose lines": events.list_loose_lines,
    "looks": fitting.list_looks,
    "membership": spots.load_membership,
    "members of sets": purchases.list_members,
    "moves": fitting.list_moves,
    "names of spots": spots.list_names,
    "note rows": fitting.list_note_rows,
    "own steps": fitting.list_steps,
    "pair words": spots.load_pair_words,
    "pairs": spots.list_pairs,
    "pictures": pictures.list_pictures,
    "pictures with pins": pins.pictures_with_pins,
    "pins": pins.list_pins,
    "placed": spots.load_placed,
    "proposals": pins.list_proposals,
    "purchases": purchases.list_purchases,
    "readings": readings.load_readings,
    "rejections": pins.list_rejections,
    "rules": fitting.list_rules,
    "seen afar": spots.load_seen_afar,
    "settled numbers": answers.settled_numbers,
    "snags": snags.list_snags,
    "spots": spots.list_spots,
    "tags": tags.list_tags,
    "values": values.list_values,
}
"""Everything that the store can be asked of one job."""


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """One job with something of everything, then a job with the same once more, then one with nothing."""
    with Store(copy_of(_make, tmp_path) / "asfound.sqlite") as opened:
        yield opened


def _make(folder: Path) -> None:
    with Store(folder / "asfound.sqlite") as store:
        for name in ("Sallow", "Osier", "Empty"):
            jobs.add_job(store, name, "Etc/UTC", NOW)
        for job_id in (1, 2):
            fill(store, job_id)


def fill(store: Store, job_id: int) -> None:
    """One row at least for each question of `ASKED`."""
    with store.transaction():
        dump_id = jobs.start_dump(store, job_id, "card", NOW)
        camera_id = jobs.save_camera(store, job_id, "P1")
        for kind in ("photo", "clip"):
            pictures.save_original(store, digest=f"{kind} {job_id}", suffix="", size_bytes=1, kind=kind, stored_at=NOW)  # type: ignore[arg-type]
        clip = pictures.NewClip(job_id, dump_id, "V.mp4", f"clip {job_id}", camera_id, None, 2.0, 4, 3, 0)
        pictures.save_clip(store, clip)
        one, other, third = (
            pictures.save_picture(
                store, pictures.NewPicture(job_id, dump_id, "photo", f"P1_{n}.jpg", None, camera_id, None, 4, 3)
            )
            for n in range(3)
        )
        tag_id, later_id = (
            tags.add_tag(store, job_id, number, NOW, kind="hose", name="", ends=2) for number in ("17", "18")
        )
        fill_spots(store, job_id, one, other, third)
        fill_words(store, job_id, tag_id, later_id)
        fill_pins(store, tag_id, one, other, third)


def fill_spots(store: Store, job_id: int, one: int, other: int, third: int) -> None:
    spot_id = spots.new_spot(store, job_id)
    spots.save_membership(store, job_id, {one: spot_id, other: spot_id}, {third: [spot_id]})
    spots.name_spot(store, spot_id, "starter")
    spots.save_likenesses(store, "own", [StoredLikeness(one, other, 20, 0.9, 0.1, 1.0, b"d")])
    spots.save_pairs(store, job_id, [Pair(spot_id, one, other, "removed", 0.5)])
    spots.say_pair(store, other, one, "not a pair")
    spots.place_picture(store, one, spot_id)
    bursts.put_behind(store, other, one)
    jobs.accept_time(store, one)
    readings.save_readings(store, one, "own", [Reading("17", None, "written", 0.5, 0.5, 0.1, 0.1, 0.9)])


def fill_words(store: Store, job_id: int, tag_id: int, later_id: int) -> None:
    tags.add_alias(store, tag_id, "17x")
    tags.save_belt(store, tag_id, path="crank, pump")
    events.add_event(store, tag_id, "off", NOW, NOW)
    events.add_event(store, None, "drained", NOW, NOW, job_id=job_id, what="oil")
    bags.link_tag(store, bags.save_bag(store, job_id, "B1"), tag_id)
    snags.add_snag(store, job_id, "1", NOW, is_day_only=False, what="rust")
    purchases.add_purchase(store, job_id, tag_id=tag_id)
    purchases.save_member(store, tag_id, "1")
    values.add_value(store, job_id, tag_id, "", "gap")
    answers.settle_number(store, job_id, "16", "never used")
    answers.answer_gap(store, job_id, "no bag", f"tag {tag_id}", "none needed")
    fitting.add_rule(store, later_id, tag_id)
    fitting.add_move(store, job_id, str(tag_id), "before", str(later_id))
    fitting.add_step(store, job_id, "bleed the fuel", is_hold=False)
    fitting.pass_hold(store, job_id, "before lift out", NOW + timedelta(hours=job_id), "Tine")
    fitting.save_day_note(store, job_id, "2025-10-18", f"note of job {job_id}")


def fill_pins(store: Store, tag_id: int, one: int, other: int, third: int) -> None:
    pins.save_pin(store, tag_id, "A", one, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)
    guess = PinProposal(tag_id, "A", other, 0.5, 0.5, None, None, "carried", 0.8, "depth", None)
    pins.replace_proposals(store, tag_id, "A", "carried", [guess])
    pins.reject(store, tag_id, "A", third)


@pytest.mark.parametrize("what", ASKED)
def test_what_is_asked_of_one_job_shows_nothing_of_another(store: Store, what: str):
    first, second = ASKED[what](store, 1), ASKED[what](store, 2)

    assert first, "a question with no answer would pass whatever it shows"
    assert len(first) == len(second)  # type: ignore[arg-type]
    assert not ASKED[what](store, 3)


def test_job_that_gets_more_leaves_the_others_as_they_were(store: Store):
    before = {what: ask(store, 1) for what, ask in ASKED.items()}

    fill(store, 3)

    assert {what: ask(store, 1) for what, ask in ASKED.items()} == before


def test_numbers_in_use_are_those_of_the_job(store: Store):
    tags.add_tag(store, 2, "41", NOW, kind="hose", name="", ends=1)

    assert tags.known_numbers(store, 1) == {"17", "17x", "18"}
    assert tags.numbers_among(store, 1, ["41", "17X"]) == {"17x"}
    assert tags.find_tags_by_number(store, 1, "41") == []
    assert tags.find_tags(store, 1, [tag.tag_id for tag in tags.list_tags(store, 2)]) == []
