"""Pins: a tag end at a point or box of a picture. Carried ones are proposals until a person confirms them."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.actions.archive import Archive
from asfound.actions.sort import finish_pending
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag
from asfound.store import pins
from asfound.store.pictures import get_picture


@dataclass(frozen=True, slots=True)
class Box:
    """A point, or a box by its centre and size, in fractions of the picture as displayed."""

    x_frac: float
    y_frac: float
    w_frac: float | None = None
    h_frac: float | None = None


def pin_tag(archive: Archive, tag: Tag, end: EndLetter, picture: Picture, box: Box) -> Pin:
    """Pin a tag end on a picture by hand; a pin of that end on that picture moves.

    The pin is carried to the spot's other pictures when next asked for (`finish_pending`).

    Raises
    ------
    Misused
        If the point lies outside the picture, or the thing has no such end.
    """
    _check(tag, end, picture, box)
    with archive.step(f"{tag.number} {end} pinned on {picture.file}"):
        pin_id = pins.save_pin(
            archive.store,
            tag.tag_id,
            end,
            picture.picture_id,
            archive.now(),
            x_frac=box.x_frac,
            y_frac=box.y_frac,
            w_frac=box.w_frac,
            h_frac=box.h_frac,
        )
    return pins.get_pin(archive.store, pin_id)


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
    finish_pending(archive)
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
        pin_id = pins.save_pin(
            archive.store,
            tag.tag_id,
            end,
            picture.picture_id,
            archive.now(),
            x_frac=proposal.x_frac,
            y_frac=proposal.y_frac,
            w_frac=proposal.w_frac,
            h_frac=proposal.h_frac,
            source=proposal.source,
        )
    return pins.get_pin(archive.store, pin_id)


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


def _proposal(archive: Archive, tag: Tag, end: EndLetter, picture: Picture) -> PinProposal:
    if not any(p.picture_id == picture.picture_id for p in pins.find_proposals(archive.store, tag.tag_id, end)):
        finish_pending(archive)
    for proposal in pins.find_proposals(archive.store, tag.tag_id, end):
        if proposal.picture_id == picture.picture_id:
            return proposal
    raise NotFound(
        f"Nothing is proposed for {tag.number} {end} on {picture.file}. "
        f"See what is with: asfound pins {tag.number}{end.lower()}"
    )


def _check(tag: Tag, end: EndLetter, picture: Picture, box: Box) -> None:
    if end == "B" and tag.ends == 1:
        raise Misused(f"{tag.number} ({tag.kind}) has one end; pin {tag.number}a, or give it two: --ends 2.")
    if not (0 <= box.x_frac <= 1 and 0 <= box.y_frac <= 1):
        raise Misused(
            f"{box.x_frac}, {box.y_frac} lies outside {picture.file}; give fractions of its width and height, 0 to 1."
        )
    for side in (box.w_frac, box.h_frac):
        if side is not None and not 0 < side <= 1:
            raise Misused(f"A box of {box.w_frac} by {box.h_frac} fits no picture; give fractions, over 0 up to 1.")
