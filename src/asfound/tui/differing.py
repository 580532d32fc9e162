"""What seems to differ between two pictures, as it is drawn: boxes by their middle, with the tag ends in them."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.actions.archive import Archive
from asfound.actions.tag_card import read_cards
from asfound.store.pictures import get_picture

Place = tuple[float, float, float, float]
"""Centre and size of a box, fractions of its picture."""


@dataclass(frozen=True, slots=True)
class DifferenceBox:
    """A box of the later picture where something seems to differ; a score of 0.5 is clear.

    Attributes
    ----------
    near : tuple of str
        The tag ends in the box ("17A"), the one it was found at first.
    in_before : Place or None
        The same place in the earlier picture; None where it must be told from the link of the two.
    """

    in_after: Place
    score: float
    near: tuple[str, ...] = ()
    in_before: Place | None = None


@dataclass(frozen=True, slots=True)
class WhatDiffers:
    """Where two pictures seem to differ, strongest first, and look-alikes that may be on each other's joints."""

    boxes: tuple[DifferenceBox, ...]
    swapped: tuple[tuple[str, str], ...] = ()


def what_differs(archive: Archive, before_id: int, after_id: int) -> WhatDiffers | None:
    """What seems to differ in the later picture; None when they cannot be laid over each other. Slow."""
    from asfound.actions.compare import compare

    before, after = (get_picture(archive.store, one) for one in (before_id, after_id))
    compared = compare(archive, before, after)
    if not compared.comparison.registered:
        return None
    cards = read_cards(archive)
    names = {
        key: f"{cards[mine.tag_id].label}{end if mine.ends == 2 else ''}" for key, (mine, end) in compared.named.items()
    }
    boxes = [
        DifferenceBox(
            _centred(one.x_frac, one.y_frac, one.w_frac, one.h_frac),
            one.score,
            tuple(names[key] for key in one.near_keys if key in names),
            None if one.in_before is None else _centred(*one.in_before),
        )
        for one in compared.comparison.differences
    ]
    swapped = [(names[one.first], names[one.second]) for one in compared.swapped]
    return WhatDiffers(tuple(boxes), tuple(swapped))


def _centred(x: float, y: float, w: float, h: float) -> Place:
    """Centre and size of a box that is told from its top left corner."""
    return x + w / 2, y + h / 2, w, h
