"""`tui.places.Places` over the actions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from asfound.actions import bursts, spots
from asfound.actions.tag_card import read_cards
from asfound.model.pictures import Spot
from asfound.store import pins as pin_store
from asfound.store import spots as spot_store
from asfound.store.pictures import get_picture
from asfound.tui.archive_base import KeptArchive
from asfound.tui.places import DifferenceBox, Link, OverviewEntry, SpotMark, WhatDiffers
from asfound.tui.words import count, spot_words


class ArchivePlaces(KeptArchive):
    """Answers about places from one archive."""

    def move_pictures(self, picture_ids: Sequence[int], spot_id: int | None) -> None:
        spot = None if spot_id is None else spot_store.get_spot(self.archive.store, spot_id)
        spots.move_pictures(self.archive, picture_ids, spot)

    def likely_spots(self, picture_ids: Sequence[int]) -> list[int]:
        archive = self.archive
        store, job_id = archive.store, archive.job.job_id
        spot_of = spot_store.load_membership(store, job_id)
        agreeing: dict[int, int] = defaultdict(int)
        for like in archive.kept("likenesses", lambda: spot_store.load_likenesses(store, job_id)):
            for here, there in ((like.a_id, like.b_id), (like.b_id, like.a_id)):
                if here in picture_ids and there not in picture_ids and there in spot_of:
                    agreeing[spot_of[there]] += like.agreeing
        return sorted(agreeing, key=lambda spot_id: -agreeing[spot_id])

    def split_spot(self, spot_id: int | None, picture_ids: Sequence[int]) -> Spot:
        archive = self.archive
        if spot_id is not None:
            return spots.split_spot(archive, spot_store.get_spot(archive.store, spot_id), picture_ids)
        with archive.step("a new spot made"):
            made = spot_store.new_spot(archive.store, archive.job.job_id)
            for picture_id in picture_ids:
                spot_store.place_picture(archive.store, picture_id, made)
        return spot_store.get_spot(archive.store, made)

    def join_spots(self, keep_id: int, other_id: int) -> None:
        keep, other = (spot_store.get_spot(self.archive.store, one) for one in (keep_id, other_id))
        spots.join_spots(self.archive, keep, other)

    def settle_spots(self) -> bool:
        from asfound.actions.sort import finish_pending

        stale = spot_store.are_spots_stale(self.archive.store) or bool(pin_store.stale_ends(self.archive.store))
        if stale:
            finish_pending(self.archive)
        return stale

    def fold_bursts(self, folded: Sequence[Sequence[int]]) -> None:
        with self.archive.step(f"{count(sum(len(one) - 1 for one in folded), 'look-alike')} put behind another"):
            for front, *others in folded:
                bursts.fold(self.archive, front, others)

    def let_stand(self, picture_ids: Sequence[int]) -> None:
        bursts.let_stand(self.archive, picture_ids)

    def link(self, here_id: int, there_id: int) -> Link | None:
        from asfound.actions.link import link_pictures

        here, there = (get_picture(self.archive.store, one) for one in (here_id, there_id))
        return link_pictures(self.archive, here, there)

    def differences(self, before_id: int, after_id: int) -> WhatDiffers | None:
        from asfound.actions.compare import compare

        before, after = (get_picture(self.archive.store, one) for one in (before_id, after_id))
        compared = compare(self.archive, before, after)
        if not compared.comparison.registered:
            return None
        cards = read_cards(self.archive)
        names = {
            key: f"{cards[mine.tag_id].label}{end if mine.ends == 2 else ''}"
            for key, (mine, end) in compared.named.items()
        }
        boxes = [
            DifferenceBox(
                *_centred(one.x_frac, one.y_frac, one.w_frac, one.h_frac),
                one.score,
                tuple(names[key] for key in one.near_keys if key in names),
                None if one.in_before is None else _centred(*one.in_before),
            )
            for one in compared.comparison.differences
        ]
        swapped = [(names[one.first], names[one.second]) for one in compared.swapped]
        return WhatDiffers(tuple(boxes), tuple(swapped))

    def make_pair(self, before_id: int, after_id: int) -> None:
        before, after = (get_picture(self.archive.store, one) for one in (before_id, after_id))
        spots.make_pair(self.archive, before, after)

    def overviews(self) -> list[OverviewEntry]:
        from asfound.actions.overviews import list_overviews

        archive = self.archive

        def make() -> list[OverviewEntry]:
            names = {one.spot_id: spot_words(one) for one in spots.list_spots(archive)}
            return [
                OverviewEntry(
                    one.picture.picture_id,
                    tuple(
                        SpotMark(m.spot_id, names.get(m.spot_id, ""), m.x_frac, m.y_frac, m.w_frac, m.h_frac)
                        for m in one.spots
                    ),
                )
                for one in list_overviews(archive)
            ]

        return archive.kept("overviews", make)


def _centred(x: float, y: float, w: float, h: float) -> tuple[float, float, float, float]:
    """Centre and size of a box that is told from its top left corner."""
    return x + w / 2, y + h / 2, w, h
