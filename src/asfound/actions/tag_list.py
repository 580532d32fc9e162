"""Tags as they are listed: with their ends, which of them are pinned, and where each thing is in its life."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.actions.archive import Archive, kept
from asfound.actions.known import State, last_events, pins_by_tag, states
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.pins.numbering import sort_key
from asfound.model.tags import EndLetter, Tag, TagEnd


@dataclass(frozen=True, slots=True)
class ListedTag:
    """A thing as the table of tags shows it.

    Attributes
    ----------
    pictures : int
        In how many pictures an end of it is pinned.
    pinned : frozenset of {"A", "B"}
        The ends that are pinned somewhere.
    state : {"", "off", "refitted"}
    how : str
        How it was refitted, as far as that is said.
    """

    card: TagCard
    pictures: int
    pinned: frozenset[EndLetter]
    state: State
    how: str = ""

    @property
    def said(self) -> str:
        """Where it is in its life and how it came there: "refitted, tight"; empty where the log says nothing."""
        return ", ".join(filter(None, (self.state, self.how)))

    @property
    def label(self) -> str:
        """As it is typed: "12.2"."""
        return self.card.label

    @property
    def tag(self) -> Tag:
        """The thing that this row lists."""
        return self.card.tag

    @property
    def ends(self) -> tuple[TagEnd, ...]:
        """The ends of the thing, A first."""
        return self.card.ends

    @property
    def ends_without_picture(self) -> tuple[EndLetter, ...]:
        """The ends that are pinned nowhere."""
        return tuple(end.end for end in self.card.ends if end.end not in self.pinned)


@kept
def list_tags_by_number(archive: Archive) -> Sequence[ListedTag]:
    """Every tag, in order of number."""
    pinned, state, last = pins_by_tag(archive), states(archive), last_events(archive)
    cards = sorted(read_cards(archive).values(), key=lambda card: (sort_key(card.tag.number), card.tag.order))
    return tuple(
        ListedTag(
            card,
            len({pin.picture_id for pin in pinned.get(card.tag.tag_id, ())}),
            frozenset(pin.end for pin in pinned.get(card.tag.tag_id, ())),
            state.get(card.tag.tag_id, ""),
            last[card.tag.tag_id].how if card.tag.tag_id in last else "",
        )
        for card in cards
    )
