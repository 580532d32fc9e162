"""Carry pins along pairs of pictures that surely show one place though a spot does not hold both.

Many a picture is in no spot: a close-up, a view from afar, the only one from its side. What it shares with another is
known all the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from asfound.actions import matching
from asfound.actions.archive import Archive
from asfound.core.match import IN_USE
from asfound.core.match.carry import LEAST_AGREEING, CarriedPin, HandPin, carry_pins
from asfound.core.match.scene import empty_scene
from asfound.model.pictures import Picture
from asfound.store import spots

SURE_PAIR = 0.9
"""Least probability that both pictures show one place."""
LEAST_SAID = 0.5
"""Least confidence of what is said, the pair's probability in it. With both, of 39 pins of rendered machines that fall
on a picture in no spot 6 are said, all of them right (docs/decisions/0046)."""
MOST_PARTNERS = 12
"""Pictures that pins of one are carried to, those that share most with it. Chosen by hand; not measured."""


def pictures_of_one_place(archive: Archive, picture_ids: Collection[int]) -> dict[int, dict[int, float]]:
    """By picture id, the pictures that surely show its place and the probability of that, surest to agree first.

    Only pairs of which a spot does not hold both, and of which one at least is in no spot: two spots are two places.
    """
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    job_id = archive.job.job_id
    stored = spots.load_likenesses(archive.store, job_id, least_agreeing=LEAST_AGREEING, method=IN_USE)
    found: dict[int, dict[int, float]] = defaultdict(dict)
    for pair in sorted(stored, key=lambda pair: -pair.agreeing):
        outside = pair.a_id not in spot_of or pair.b_id not in spot_of
        if pair.probability < SURE_PAIR or not outside:
            continue
        for here, there in ((pair.a_id, pair.b_id), (pair.b_id, pair.a_id)):
            if here in picture_ids and len(found[here]) < MOST_PARTNERS:
                found[here][there] = pair.probability
    return {here: partners for here, partners in found.items() if partners}


def carry_across(archive: Archive, by_id: dict[int, Picture], hand: Sequence[HandPin]) -> list[CarriedPin]:
    """Carry pins to the pictures that surely show the place of theirs.

    The probability that the pair shows one place multiplies into what is said of each pin.
    """
    partners = pictures_of_one_place(archive, {pin.picture_id for pin in hand})
    return [
        replace(pin, confidence=sure)
        for home, others in partners.items()
        for pin in _carried(archive, [by_id[i] for i in (home, *others) if i in by_id], hand, home)
        if pin.picture_id in others and (sure := pin.confidence * others[pin.picture_id]) >= LEAST_SAID
    ]


def _carried(archive: Archive, members: Iterable[Picture], hand: Sequence[HandPin], home: int) -> list[CarriedPin]:
    """The pins of one picture on the others, by the matches of each pair."""
    there = matching.with_originals(archive, members)
    shown = matching.scene_pictures(archive, there)
    pairs = matching.load_likenesses(archive, [picture.picture_id for picture in there])
    mine = {pair: likeness for pair, likeness in pairs.items() if home in pair}
    gray = matching.gray_loader(archive, there)
    return carry_pins([p for p in hand if p.picture_id == home], shown, mine, load_gray=gray, scene=empty_scene())
