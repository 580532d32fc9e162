"""How pictures are sorted: features and likenesses, then spots, then pairs, then carried pins and what was read.

Each stage writes down what it has as it goes, so that a stopped run goes on where it was. What was said by a person
(`placed`, `spot_name`, `pair_word`, `rejection`) is given to the core as facts and never changed here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from asfound.actions import matching
from asfound.actions.archive import Archive
from asfound.actions.carrying import carry_stale
from asfound.actions.carrying_across import pictures_of_one_place
from asfound.actions.lone import place_lone
from asfound.actions.progress import Progress
from asfound.actions.read_proposals import weigh_readings
from asfound.actions.sort_report import SortReport
from asfound.core.match import IN_USE
from asfound.core.match.pairs import SpotPicture, propose_pairs
from asfound.core.match.spots import Grouping, PictureEvidence, group_spots, with_left_where_they_were
from asfound.model.pictures import Pair, Picture
from asfound.store import pins, spots
from asfound.store.events import list_events
from asfound.store.pictures import list_pictures

ROUNDS = 3
"""Spots are formed and their pictures compared at most so often; twice nearly always suffices."""


def sort_pictures(archive: Archive, progress: Progress) -> SortReport:
    """Do whatever sorting, pairing and carrying is still open."""
    job_id = archive.job.job_id
    before = {spot.spot_id for spot in spots.list_spots(archive.store, job_id)}
    pairs_before = {(p.before_id, p.after_id) for p in spots.list_pairs(archive.store, job_id)}
    fresh = spots.unexamined_pictures(archive.store, job_id, IN_USE)
    examined = matching.examine_pictures(archive, progress)
    if examined or spots.are_spots_stale(archive.store):
        changed = _group(archive, progress, sees_new=examined > 0)
        progress("pairing", 0, 1)
        _pair(archive)
        pins.mark_stale(archive.store, job_id, changed | _seen_beside(archive, fresh))
        spots.mark_spots_fresh(archive.store)
    carried = carry_stale(archive, progress)
    weigh_readings(archive.store, job_id)
    _learn_places(archive, progress)
    after = {spot.spot_id for spot in spots.list_spots(archive.store, job_id)}
    pairs_after = {(p.before_id, p.after_id) for p in spots.list_pairs(archive.store, job_id)}
    return SortReport(examined, len(after - before), len(pairs_after - pairs_before), carried)


def _group(archive: Archive, progress: Progress, *, sees_new: bool) -> set[int]:
    """Group all pictures into spots; returns the pictures of spots whose members changed."""
    job_id = archive.job.job_id
    evidence = [PictureEvidence(p.picture_id, p.taken_utc_s, p.phash) for p in list_pictures(archive.store, job_id)]
    previous = spots.load_membership(archive.store, job_id)
    grouping = _compared_grouping(archive, evidence, spots.load_last_spots(archive.store, job_id), progress)
    grouped = place_lone(archive, grouping.spot_of, progress)
    if not sees_new:
        grouped = with_left_where_they_were(grouped, previous, spots.load_placed(archive.store, job_id))
    with archive.store.transaction():
        ids = {spot_id: spot_id for spot_id in grouped.values() if spot_id >= 0}
        for fresh in sorted({spot_id for spot_id in grouped.values() if spot_id < 0}, reverse=True):
            ids[fresh] = spots.new_spot(archive.store, job_id)
        spot_of = {picture_id: ids[spot_id] for picture_id, spot_id in grouped.items()}
        afar = {p: [ids[s] for s in seen if s in ids] for p, seen in grouping.overviews.items() if p not in spot_of}
        spots.save_membership(archive.store, job_id, spot_of, afar)
    return _changed_pictures(previous, spot_of)


def _compared_grouping(
    archive: Archive, evidence: Sequence[PictureEvidence], previous: dict[int, int], progress: Progress
) -> Grouping:
    """Spots whose pictures were all compared with each other: what was not compared cannot speak against a spot."""
    job_id = archive.job.job_id
    fixed = spots.load_placed(archive.store, job_id)
    named = {spot.spot_id for spot in spots.list_spots(archive.store, job_id) if spot.name}
    for done in range(ROUNDS):
        progress("comparing within spots", done, ROUNDS)
        grouping = group_spots(evidence, matching.load_summaries(archive), fixed=fixed, previous=previous, named=named)
        groups: dict[int, list[int]] = defaultdict(list)
        for picture_id, spot_id in grouping.spot_of.items():
            groups[spot_id].append(picture_id)
        if not matching.compare_within(archive, groups.values()):
            break
    return grouping


def _seen_beside(archive: Archive, fresh: Sequence[int]) -> set[int]:
    """Pictures whose pins belong on fresh ones too, though no spot holds both."""
    partners = pictures_of_one_place(archive, set(fresh))
    return {picture_id for others in partners.values() for picture_id in others}


def _changed_pictures(previous: dict[int, int], present: dict[int, int]) -> set[int]:
    moved = {p for p in {*previous, *present} if previous.get(p) != present.get(p)}
    touched = {previous[p] for p in moved if p in previous} | {present[p] for p in moved if p in present}
    return {p for p, spot_id in present.items() if spot_id in touched} | moved


def _learn_places(archive: Archive, progress: Progress) -> None:
    """Make what a photo asked about meets, so that nobody waits for it then."""
    found = [spot for spot in spots.list_spots(archive.store, archive.job.job_id) if len(spot.picture_ids) > 1]
    for done, spot in enumerate(found):
        progress("learning places", done, len(found))
        matching.landmarks_of(archive, spot.picture_ids)


def _pair(archive: Archive) -> None:
    """Propose pairs within every spot."""
    job_id = archive.job.job_id
    by_id = {p.picture_id: p for p in list_pictures(archive.store, job_id)}
    words = spots.load_pair_words(archive.store, job_id)
    refused = {pair for pair, word in words.items() if word == "not a pair"}
    times = _event_times(archive)
    proposed: list[Pair] = []
    for spot in spots.list_spots(archive.store, job_id):
        members = matching.with_originals(archive, (by_id[picture_id] for picture_id in spot.picture_ids))
        proposed += _pairs_of(archive, spot.spot_id, members, refused, times)
    with archive.store.transaction():
        spots.save_pairs(archive.store, job_id, proposed)


def _pairs_of(
    archive: Archive,
    spot_id: int,
    members: list[Picture],
    refused: set[tuple[int, int]],
    times: dict[str, dict[int, list[float]]],
) -> list[Pair]:
    if len(members) < 2:
        return []
    found = propose_pairs(
        [SpotPicture(p.picture_id, p.taken_utc_s) for p in members],
        matching.load_likenesses(archive, (p.picture_id for p in members)),
        load_gray=matching.gray_loader(archive, members),
        off_times_s=times["off"].get(spot_id, []),
        refit_times_s=times["refitted"].get(spot_id, []),
        not_pairs=refused,
    )
    return [Pair(spot_id, pair.before_id, pair.after_id, pair.kind, pair.score) for pair in found]


def _event_times(archive: Archive) -> dict[str, dict[int, list[float]]]:
    """Kind of event to spot to the moments at which something pinned there came off or went back."""
    job_id = archive.job.job_id
    spot_of = spots.load_membership(archive.store, job_id)
    spots_of_tag: dict[int, set[int]] = defaultdict(set)
    for pin in pins.list_pins(archive.store, job_id):
        if pin.picture_id in spot_of:
            spots_of_tag[pin.tag_id].add(spot_of[pin.picture_id])
    times: dict[str, dict[int, list[float]]] = {"off": defaultdict(list), "refitted": defaultdict(list)}
    for event in list_events(archive.store, job_id):
        for spot_id in spots_of_tag[event.tag_id]:
            times[event.kind][spot_id].append(event.at.timestamp())
    return times
