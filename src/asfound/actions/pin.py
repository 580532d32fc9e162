"""Pins: a tag end at a point or box of a picture. Carried ones are proposals until a person confirms them."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from asfound.actions.archive import Archive
from asfound.actions.sort import finish_pending, settle
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal, Source, Tag
from asfound.store import pins
from asfound.store.documents import is_document
from asfound.store.pictures import get_picture

_SLACK = 1e-6
"""How far fractions that were rounded may miss an edge."""


@dataclass(frozen=True, slots=True)
class Box:
    """A point, or a box by its centre and size, in fractions of the picture as displayed."""

    x_frac: float
    y_frac: float
    w_frac: float | None = None
    h_frac: float | None = None


def pin_tag(archive: Archive, tag: Tag, end: EndLetter, picture: Picture, box: Box) -> Pin:
    """Pin a tag end on a picture by hand; a pin of that end on that picture moves.

    The pin is carried to the spot's other pictures when next asked for (`finish_pending`). A box that was moved over
    the picture's edge keeps its centre and is made as small as it must be.

    Raises
    ------
    Misused
        If the point lies outside the picture, a box has only one side, or the thing has no such end.
    """
    _check(tag, end, picture, box)
    if is_document(archive.store, picture.picture_id):
        raise Misused(
            f"{picture.file} is a document and shows nothing as it was found. Tie it to the tag: asfound document "
            f"change {picture.file} --tags {tag.number}; or make it a photo again: asfound document drop {picture.file}"
        )
    box = _kept_inside(box)
    with archive.step(f"{tag.number} {end} pinned on {picture.file}"):
        return _save(archive, tag, end, picture, box)


def remove_pin(archive: Archive, pin: Pin) -> None:
    """Take a pin off its picture."""
    with archive.step("pin removed"):
        pins.remove_pin(archive.store, pin.pin_id)
        pins.drop_unfounded(archive.store)


def carried(archive: Archive, tag: Tag, end: EndLetter) -> list[PinProposal]:
    """Open proposals for a tag end, most confident first."""
    finish_pending(archive)
    return pins.find_proposals(archive.store, tag.tag_id, end)


def list_of_tag(archive: Archive, tag: Tag, end: EndLetter | None) -> list[Pin | PinProposal]:
    """Pins of a tag or one of its ends, then its open proposals, most confident first."""
    settle(archive)
    return [*pins.find_pins(archive.store, tag.tag_id, end), *pins.find_proposals(archive.store, tag.tag_id, end)]


def confirm_proposal(archive: Archive, tag: Tag, end: EndLetter, picture: Picture) -> Pin:
    """Make the proposal on a picture a fact.

    Raises
    ------
    NotFound
        If nothing is proposed there.
    """
    proposal = _proposal(archive, tag, end, picture)
    with archive.step(f"{tag.number} {end} confirmed on {picture.file}"):
        box = Box(proposal.x_frac, proposal.y_frac, proposal.w_frac, proposal.h_frac)
        return _save(archive, tag, end, picture, box, proposal.source)


def confirm_all(archive: Archive, tag: Tag, end: EndLetter, least_confidence: float) -> list[Pin]:
    """Make all proposals of a tag end facts that are at least so sure; one step."""
    finish_pending(archive)
    with archive.step(f"{tag.number} {end} confirmed"):
        return [
            confirm_proposal(archive, tag, end, get_picture(archive.store, proposal.picture_id))
            for proposal in pins.find_proposals(archive.store, tag.tag_id, end)
            if proposal.confidence >= least_confidence
        ]


def reject_proposal(archive: Archive, tag: Tag, end: EndLetter, picture: Picture) -> None:
    """Say that the tag end is not where it was proposed; it is not proposed there again."""
    _proposal(archive, tag, end, picture)
    with archive.step(f"{tag.number} {end} rejected on {picture.file}"):
        pins.reject(archive.store, tag.tag_id, end, picture.picture_id)


def _save(archive: Archive, tag: Tag, end: EndLetter, picture: Picture, box: Box, source: Source = "hand") -> Pin:
    place = asdict(box)
    pin_id = pins.save_pin(archive.store, tag.tag_id, end, picture.picture_id, archive.now(), source=source, **place)
    return pins.get_pin(archive.store, pin_id)


def _proposal(archive: Archive, tag: Tag, end: EndLetter, picture: Picture) -> PinProposal:
    if not any(p.picture_id == picture.picture_id for p in pins.find_proposals(archive.store, tag.tag_id, end)):
        finish_pending(archive)
    for proposal in pins.find_proposals(archive.store, tag.tag_id, end):
        if proposal.picture_id == picture.picture_id:
            return proposal
    raise NotFound(
        f"Nothing is proposed for {tag.number} {end} on {picture.file}. "
        f"See what is proposed with: asfound pins {tag.number}{end.lower()}"
    )


def check_inside(picture: Picture, box: Box) -> None:
    """Raise `Misused` if a typed box runs over the edge of its picture."""
    for centre, size, words in ((box.x_frac, box.w_frac, "X and W"), (box.y_frac, box.h_frac, "Y and H")):
        if size is not None and 0 <= centre <= 1 and not -_SLACK <= centre - size / 2 <= 1 - size + _SLACK:
            most = 2 * min(centre, 1 - centre)
            raise Misused(
                f"The box runs out of {picture.file}: {words} reach from {centre - size / 2:.2f} to "
                f"{centre + size / 2:.2f}. X Y is its centre; around {centre:g} it can be {most:.2g} at most."
            )


def _kept_inside(box: Box) -> Box:
    if box.w_frac is None or box.h_frac is None:
        return box
    w, h = (min(size, 2 * at, 2 * (1 - at)) for size, at in ((box.w_frac, box.x_frac), (box.h_frac, box.y_frac)))
    return Box(box.x_frac, box.y_frac, w, h) if w > 0 and h > 0 else Box(box.x_frac, box.y_frac)


def _check(tag: Tag, end: EndLetter, picture: Picture, box: Box) -> None:
    if end == "B" and tag.ends == 1:
        raise Misused(f"{tag.number} ({tag.kind}) has one end; pin {tag.number}a, or give it two: --ends 2.")
    if not (0 <= box.x_frac <= 1 and 0 <= box.y_frac <= 1):
        raise Misused(
            f"{box.x_frac}, {box.y_frac} lies outside {picture.file}; give fractions of its width and height, 0 to 1."
        )
    if (box.w_frac is None) != (box.h_frac is None):
        raise Misused("A box has two sides: give both W and H, or neither for a point.")
    for side in (box.w_frac, box.h_frac):
        if side is not None and not 0 < side <= 1:
            raise Misused(f"A box of {box.w_frac} by {box.h_frac} fits no picture; give fractions, over 0 up to 1.")
