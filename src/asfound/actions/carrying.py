"""Carry pins to the other pictures of their spots, and of their places, as proposals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import cast

from asfound.actions import matching
from asfound.actions.archive import Archive
from asfound.actions.carrying_across import carry_across
from asfound.actions.progress import Progress
from asfound.core.find.shown_scale import ScaleRatio, chain_scales
from asfound.core.match.carry import CarriedPin, HandPin, carry_pins
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal
from asfound.store import pins, spots
from asfound.store.pictures import list_pictures

Key = tuple[int, EndLetter]


def carry_stale(archive: Archive, progress: Progress) -> int:
    """Carry the pins of every tag end whose pins or spots changed; returns how many ends that were."""
    stale = pins.stale_ends(archive.store)
    if not stale:
        return 0
    by_id = {picture.picture_id: picture for picture in list_pictures(archive.store, archive.job.job_id)}
    hand = {key: [pin for pin in pins.find_pins(archive.store, *key) if pin.picture_id in by_id] for key in stale}
    found: dict[Key, list[PinProposal]] = {key: [] for key in stale}
    ratios: dict[Key, list[ScaleRatio]] = {key: [] for key in stale}
    families = _families(archive, by_id, [pin for mine in hand.values() for pin in mine])
    for done, (members, mine) in enumerate(families):
        progress("carrying pins", done, len(families))
        for carried in _carry(archive, members, mine):
            key = cast(Key, carried.key)
            ratios[key] += _scale_ratio(carried)
            if all(pin.picture_id != carried.picture_id for pin in hand[key]):
                found[key].append(_proposal(carried))
    for carried in carry_across(archive, by_id, hand_pins(pin for mine in hand.values() for pin in mine)):
        key = cast(Key, carried.key)
        if all(pin.picture_id != carried.picture_id for pin in hand[key]):
            found[key].append(_proposal(carried))
    with archive.store.transaction():
        for (tag_id, end), proposals in found.items():
            if pins.find_pins(archive.store, tag_id, end) != hand[tag_id, end]:
                continue  # A pin was set or undone meanwhile: this end stays stale and is carried again.
            pins.replace_proposals(archive.store, tag_id, end, "carried", _best_each(proposals))
            pins.replace_scales(archive.store, tag_id, end, chain_scales(ratios[tag_id, end]))
            pins.mark_carried(archive.store, tag_id, end)
    return len(stale)


def hand_pins(pins_: Iterable[Pin]) -> list[HandPin]:
    """Pins as geometry takes them, keyed by tag and end."""
    return [
        HandPin((pin.tag_id, pin.end), pin.picture_id, pin.x_frac, pin.y_frac, pin.w_frac, pin.h_frac) for pin in pins_
    ]


def family_of(archive: Archive, by_id: dict[int, Picture], spot_ids: Iterable[int]) -> list[Picture]:
    """The pictures of some spots, in order of time."""
    wanted = set(spot_ids)
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    return [picture for picture_id, picture in by_id.items() if spot_of.get(picture_id) in wanted]


def _families(archive: Archive, by_id: dict[int, Picture], mine: list[Pin]) -> list[tuple[list[Picture], list[Pin]]]:
    """Pins by the spot of their picture, each with the spot's pictures."""
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    by_spot: dict[int, list[Pin]] = defaultdict(list)
    for pin in mine:
        if pin.picture_id in spot_of:
            by_spot[spot_of[pin.picture_id]].append(pin)
    return [(family_of(archive, by_id, [spot_id]), pins_) for spot_id, pins_ in by_spot.items()]


def _carry(archive: Archive, members: list[Picture], mine: list[Pin]) -> list[CarriedPin]:
    members = matching.with_originals(archive, members)
    if len(members) < 2:
        return []
    shown = matching.scene_pictures(archive, members)
    likenesses = matching.load_likenesses(archive, (picture.picture_id for picture in members))
    return carry_pins(
        hand_pins(mine),
        shown,
        likenesses,
        load_gray=matching.gray_loader(archive, members),
        scene=matching.scene_of(archive, members, shown, likenesses),
        onto_pinned=True,
    )


def _scale_ratio(carried: CarriedPin) -> list[ScaleRatio]:
    """What carrying says of how large the end shows; nothing where it lies outside the picture."""
    if carried.from_id is None or carried.scale is None or not carried.inside:
        return []
    return [ScaleRatio(carried.from_id, carried.picture_id, carried.scale, carried.confidence)]


def _proposal(carried: CarriedPin) -> PinProposal:
    tag_id, end = cast(Key, carried.key)
    return PinProposal(
        tag_id=tag_id,
        end=end,
        picture_id=carried.picture_id,
        x_frac=carried.x_frac,
        y_frac=carried.y_frac,
        w_frac=carried.w_frac,
        h_frac=carried.h_frac,
        source="carried",
        confidence=carried.confidence,
        how=carried.how,
        gone=carried.gone,
        hidden=carried.hidden,
    )


def _best_each(proposals: list[PinProposal]) -> list[PinProposal]:
    """The surest proposal for each picture, those that fall outside it left out."""
    best: dict[int, PinProposal] = {}
    for proposal in sorted(proposals, key=lambda p: p.confidence):
        if 0 <= proposal.x_frac <= 1 and 0 <= proposal.y_frac <= 1:
            best[proposal.picture_id] = proposal
    return list(best.values())
