"""The things of a job in the words of the book: their ends with as-found pictures, bags, snags and cautions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from zoneinfo import ZoneInfo

from asfound.actions import bags, log, snags
from asfound.actions.archive import Archive
from asfound.actions.book_pictures import BookPictures
from asfound.actions.fit import FitPlan
from asfound.actions.found_end import seen_end
from asfound.actions.tag_card import TagCard
from asfound.core.codes.cautions import cautions_for
from asfound.core.pins.numbering import sort_key, upside_down
from asfound.core.refit.steps import Step
from asfound.core.sheets.book.content import BookEnd, TagEntry
from asfound.model.log import Bag
from asfound.model.tags import SIDES, TagEnd

ELSEWHERE = frozenset({"name", "kind", "bag", "value"})
"""Fields of a card that the book prints at a place of their own."""

END_ELSEWHERE = frozenset({"place", "side"})
"""Fields of an end that the book prints at a place of their own."""


class BookTags:
    """Makes the entry of any thing of a job."""

    def __init__(self, archive: Archive, plan: FitPlan, cards: Mapping[int, TagCard], pictures: BookPictures) -> None:
        self._archive = archive
        self._plan = plan
        self.cards = cards
        self._pictures = pictures
        self._bags = {bag.label: bag for bag in bags.list_bags(archive)}
        self._waits = {one.step: one.missing for one in plan.waiting}
        self._loops = defaultdict(list)
        for loop, words in zip(plan.order.loops, plan.warnings, strict=False):
            for tag_id in loop:
                self._loops[tag_id].append(words)
        self._snags: dict[int, list[str]] = defaultdict(list)
        for snag in snags.list_snags(archive):
            if snag.is_open and snag.tag_id is not None:
                self._snags[snag.tag_id].append(
                    f"{snag.label}, open: {snag.what}{f'; buy {snag.buy}' if snag.buy else ''}"
                )
        self._moved = self._last_moves()

    def entry(self, tag_id: int) -> TagEntry:
        """Everything of one thing."""
        card = self.cards[tag_id]
        tag = card.tag
        letters = self._plan.record.letters(tag)
        cautions = cautions_for([tag.hazard], tag.kind)
        # What front, left and turning mean stands at the foot of every page.
        told = {*(caution.text for caution in cautions), *card.meanings}
        return TagEntry(
            tag_id=tag_id,
            label=card.label,
            name=tag.name,
            kind="" if tag.kind == "other" else tag.kind,
            has_bar=upside_down(tag.number) is not None,
            standing=self._moved.get(tag_id, "not written down as off"),
            fields=tuple(self._fields(card)),
            ends=tuple(self._end(card, self._plan.record.end(tag, letter), len(letters)) for letter in letters),
            bags=tuple(self._bag(label) for label in card.bags),
            snags=tuple(self._snags[tag_id]),
            waits_for=tuple(self._named(step) for step in self._waits.get(tag_id, ())),
            notes=tuple(note for note in card.notes if note not in told),
            loops=tuple(self._loops[tag_id]),
            cautions=cautions,
            values=tuple((one.value.what, one.words) for one in card.values),
        )

    def _end(self, card: TagCard, end: TagEnd, count: int) -> BookEnd:
        seen = seen_end(self._archive, card.tag, end).as_found
        letter = end.end if count > 1 else ""
        fields = [(one.label, one.words) for one in card.fields if one.end == end.end and one.name not in END_ELSEWHERE]
        pin = None if seen is None else self._pictures.pinned(seen.pin)
        return BookEnd(
            letter=letter,
            place=end.place,
            side=SIDES[end.side] if end.side else "",
            fields=tuple(fields),
            picture=None if seen is None else self._pictures.shown(seen.picture),
            pin=pin,
            is_dated=seen is None or seen.ranked.stage != "undated",
        )

    def _fields(self, card: TagCard) -> Iterator[tuple[str, str]]:
        """Fields of the whole thing; those of its ends stand with them."""
        for one in card.fields:
            if not one.end and one.name not in ELSEWHERE:
                yield one.label, self._alike(card, one.words) if one.name == "look_alike" else one.words

    def _alike(self, card: TagCard, word: str) -> str:
        """The things of which the same word was said; the word itself while there is no other."""
        others = [
            other.label
            for tag_id, other in self.cards.items()
            if other.tag.look_alike == word and tag_id != card.tag.tag_id
        ]
        return f"{', '.join(sorted(others, key=sort_key))}: not to be swapped" if others else word

    def _bag(self, label: str) -> str:
        bag = self._bags.get(label)
        if bag is None:
            return label
        said = [counts_in_words(bag), bag.place, bag.inside or bag.name]
        return f"{label}: {'; '.join(filter(None, said))}"

    def _named(self, step: Step) -> str:
        return self.cards[step].label if isinstance(step, int) else self._plan.name(step)

    def _last_moves(self) -> dict[int, str]:
        """Where each thing stands by the log, with the day."""
        zone = ZoneInfo(self._archive.job.zone)
        found = {}
        for event in log.list_events(self._archive):
            day = f"{event.at.astimezone(zone):%Y-%m-%d}"
            standing = self._plan.record.standing(self._plan.record.by_id[event.tag_id])
            found[event.tag_id] = (
                f"off since {day}" if standing.is_off else f"refitted{f' {standing.how}' if standing.how else ''} {day}"
            )
        return found


def counts_in_words(bag: Bag) -> str:
    """Pieces out and back: "8 out, 7 back, 1 short"; "not counted" when nobody did."""
    said = [
        f"{count} {word}" for count, word in ((bag.count_out, "out"), (bag.count_back, "back")) if count is not None
    ]
    short = (bag.count_out or 0) - bag.count_back if bag.count_back is not None else 0
    return ", ".join([*said, *([f"{short} short"] if short > 0 else [])]) or "not counted"
