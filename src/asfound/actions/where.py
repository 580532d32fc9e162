"""Where is this? Find the originals of any photo and draw the known pins on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import cast

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.carrying import Key
from asfound.actions.views import PictureSource, naming_refused
from asfound.core.match import IN_USE
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.drawn_pins import DrawnPin, PinSighting, draw_pins
from asfound.core.match.landmarks import Landmarks, landmarks_of_picture
from asfound.core.match.place import describe_place, rank_places
from asfound.core.match.query import SURE_PROBABILITY, Sight, find_originals
from asfound.core.match.query_photo import QueryPhoto
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Tag
from asfound.store import pins, spots, tags
from asfound.store.pictures import get_picture

ANSWERS = 5
PHOTO_PX = 1024
MOST_SPOTS, MOST_PICTURES = 10, 10
"""The photo meets the landmarks of so many spots, and when it is sure of none so many pictures on their own, those most
like it by place vector."""


@dataclass(frozen=True, slots=True)
class DrawnTag:
    """A tag end at a place of the photo that was asked about, in fractions of it as displayed."""

    tag: Tag
    end: EndLetter
    x_frac: float
    y_frac: float
    confidence: float


@dataclass(frozen=True, slots=True)
class WhereAnswer:
    """A picture of the archive that looks like the photo, with the tags to be seen in the photo.

    `score` is the probability that the photo shows its place; `sure` says whether that is enough to say so.
    """

    picture: Picture
    spot_id: int | None
    inliers: int
    score: float
    tags: tuple[DrawnTag, ...]

    @property
    def sure(self) -> bool:
        return self.score >= SURE_PROBABILITY


def find_place(archive: Archive, photo: Path | Picture) -> list[WhereAnswer]:
    """Pictures that show what a photo shows, best first; empty when nothing looks like it.

    Parameters
    ----------
    photo : Path or Picture
        A file outside the archive, or a picture in it, which is not among its own answers.
    """
    source, focal_35mm = _source(archive, photo)
    with naming_refused(photo):
        gray = views.load_gray(source, PHOTO_PX)
    size_px = (gray.shape[1], gray.shape[0])
    asked = QueryPhoto(gray, focal_px_from_35mm(focal_35mm, size_px), method=IN_USE)
    itself = photo.picture_id if isinstance(photo, Picture) else None
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    likely = [picture_id for picture_id in _by_likeness(archive, asked) if picture_id != itself]
    originals = find_originals(asked, _places(archive, likely, spot_of), _pictures(archive, likely))
    originals = [found for found in originals if found.picture_id != itself][:ANSWERS]
    drawn = _draw(archive, list({id(found.sight): found.sight for found in originals}.values()))
    return [
        WhereAnswer(
            picture=get_picture(archive.store, found.picture_id),
            spot_id=spot_of.get(found.picture_id),
            inliers=found.agreeing,
            score=found.probability,
            tags=drawn,
        )
        for found in originals
    ]


def _source(archive: Archive, photo: Path | Picture) -> tuple[PictureSource, float | None]:
    if isinstance(photo, Picture):
        return views.source_of(archive, photo), photo.focal_35mm
    from asfound.media.opening import read_details

    with naming_refused(photo):
        return PictureSource("", photo, None), read_details(photo).capture.focal_35mm


def _by_likeness(archive: Archive, asked: QueryPhoto) -> list[int]:
    """Picture ids, the ones whose place is most like the photo's first."""
    ids, vectors = matching.load_place_index(archive)
    return [ids[k] for k in rank_places(describe_place(asked.first.features), vectors)]


def _places(archive: Archive, likely: Iterable[int], spot_of: Mapping[int, int]) -> Iterator[Landmarks]:
    """The landmarks of the spots of the likeliest pictures."""
    members: dict[int, list[int]] = defaultdict(list)
    for picture_id, spot_id in spot_of.items():
        members[spot_id].append(picture_id)
    spot_ids = dict.fromkeys(spot_of[picture_id] for picture_id in likely if picture_id in spot_of)
    for spot_id in list(spot_ids)[:MOST_SPOTS]:
        place = matching.landmarks_of(archive, members[spot_id])
        if len(place.scene.points):
            yield place


def _pictures(archive: Archive, likely: Iterable[int]) -> Iterator[Landmarks]:
    """The landmarks of the likeliest pictures, each on its own."""
    for picture_id in islice(likely, MOST_PICTURES):
        for picture in matching.scene_pictures(archive, [get_picture(archive.store, picture_id)]):
            yield landmarks_of_picture(picture)


def _draw(archive: Archive, sights: list[Sight]) -> tuple[DrawnTag, ...]:
    """The pins of the places that the photo shows, surest first."""
    best: dict[Key, DrawnPin] = {}
    for sight in sights:
        for pin in draw_pins(sight, list(_pins(archive, sight.place))):
            key = cast(Key, pin.key)
            if key not in best or pin.confidence > best[key].confidence:
                best[key] = pin
    known = {tag.tag_id: tag for tag in tags.find_tags(archive.store, archive.job.job_id, {key[0] for key in best})}
    ranked = sorted(best.items(), key=lambda each: -each[1].confidence)
    return tuple(
        DrawnTag(known[tag_id], end, pin.x_frac, pin.y_frac, pin.confidence)
        for (tag_id, end), pin in ranked
        if tag_id in known
    )


def _pins(archive: Archive, place: Landmarks) -> Iterator[PinSighting]:
    """Pins on the pictures of a place, those carried there through depth among them."""
    for picture_id in place.picture_ids.tolist():
        for pin in pins.pins_on_picture(archive.store, picture_id):
            yield PinSighting((pin.tag_id, pin.end), picture_id, pin.x_frac, pin.y_frac)
        for proposal in pins.proposals_on_picture(archive.store, picture_id):
            if proposal.source == "carried" and (proposal.how == "depth" or not len(place.scene.points)):
                key = proposal.tag_id, proposal.end
                yield PinSighting(key, picture_id, proposal.x_frac, proposal.y_frac, proposal.confidence)
