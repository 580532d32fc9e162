"""What is to be bought, and sets of like parts that keep their positions."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Purchase:
    """What a person wrote down of something to be bought; of a tag, of a snag, or of neither.

    Attributes
    ----------
    what : str
        What to buy, where the tag or the snag does not say it well enough.
    ordered_on, arrived_on : str
        Days (YYYY-MM-DD); empty while it is not.
    """

    purchase_id: int
    tag_id: int | None
    snag_id: int | None
    what: str
    part_number: str
    price: str
    shop: str
    ordered_on: str
    arrived_on: str


@dataclass(frozen=True, slots=True)
class SetMember:
    """One of several like parts under one number: its position, which way it faced, and what else to know."""

    tag_id: int
    position: str
    faced: str
    note: str
