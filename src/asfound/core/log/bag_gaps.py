"""Gaps about bags: fasteners without a bag, bags without a thing, counts that fall short, and mixed bags."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.codes.threads import find_threads
from asfound.core.log.record import BagContents, Record
from asfound.core.words import fold, plain_words
from asfound.model.log import Gap, GapKind
from asfound.model.tags import LINE_KINDS, Tag

_SIZED_KINDS = (LINE_KINDS, frozenset({"fastener group"}))
"""Kinds whose fasteners follow their size: a clamp fits its hose's bore, and a bolt is its own size."""

_SAYS_MIXED = ("two sizes", "two groups", "two different", "mixed")


def find_groups_without_bag(record: Record) -> Iterator[Gap]:
    """Fastener groups that are off without a word on where the fasteners went, when bags are used in this job."""
    if not record.are_bags_used:
        return
    for tag in _groups_without_bag(record):
        bags = [bag.label for bag in _bags_without_tag(record) if _could_hold(bag, tag)]
        hint = f"bag {' or '.join(bags)} fits and has no tag" if bags else 'name its bag, or "back in place"'
        why = f"{record.label(tag)} is off and has no bag: {hint}."
        yield Gap(GapKind.NO_BAG, why, number=tag.number, tag_id=tag.tag_id)


def find_bags_without_tag(record: Record) -> Iterator[Gap]:
    """Bags that belong to nothing."""
    for bag in _bags_without_tag(record):
        groups = [tag for tag in _groups_without_bag(record) if _could_hold(bag, tag)]
        inside = f" ({bag.contents.strip()})" if bag.contents.strip() else ""
        hint = f"it could be that of {record.labels(groups)}" if groups else "open it and say what it came from"
        yield Gap(GapKind.BAG_WITHOUT_TAG, f"Bag {bag.label}{inside} belongs to no tag: {hint}.", bag=bag.label)


def find_short_bags(record: Record) -> Iterator[Gap]:
    """Bags of which fewer pieces were counted back than went in; a bag not counted back yet is no gap."""
    for bag in record.bags:
        if bag.count_out is not None and bag.count_back is not None and bag.count_back < bag.count_out:
            short = bag.count_out - bag.count_back
            counts = f"{bag.count_out} out, {bag.count_back} back"
            why = f"Bag {bag.label} is {short} short ({counts}): look for what is missing, or buy it."
            yield Gap(GapKind.BAG_SHORT, why, bag=bag.label)


def find_mixed_bags(record: Record) -> Iterator[Gap]:
    """Bags that hold fasteners of two sizes, those of things of different sizes, or of which the person says so."""
    for bag in record.bags:
        tags = record.tags_of(bag.label)
        if _are_threads_mixed(bag, tags) or _says_mixed(bag) or (len(tags) > 1 and _are_sizes_mixed(tags)):
            of = f", for {record.labels(tags)}" if tags else ""
            why = f"Bag {bag.label} holds two groups{of}: sort them into two bags."
            yield Gap(GapKind.TWO_GROUPS, why, bag=bag.label)


def _groups_without_bag(record: Record) -> list[Tag]:
    return [
        tag
        for tag in record.in_order
        if tag.kind == "fastener group" and record.standing(tag).is_off and not record.bags_of(tag)
    ]


def _bags_without_tag(record: Record) -> list[BagContents]:
    return [bag for bag in record.bags if not record.tags_of(bag.label) and fold(bag.label) != "back in place"]


def _could_hold(bag: BagContents, tag: Tag) -> bool:
    """Whether a bag's contents name the group's size in full: thread, length and head mark."""
    size = set(plain_words(tag.size)) - {"x"}
    return bool(size) and size <= set(plain_words(f"{bag.contents} {bag.note}"))


def _are_sizes_mixed(tags: list[Tag]) -> bool:
    sized = [tag for tag in tags if tag.size.strip()]
    return any(len({plain_words(tag.size) for tag in sized if tag.kind in kinds}) > 1 for kinds in _SIZED_KINDS)


def _are_threads_mixed(bag: BagContents, tags: list[Tag]) -> bool:
    """Whether the words of a bag and of its things name two threads, or the bag's own two lengths of one.

    Lengths behind one thread ("M8 x 30;45") were written down as one group, knowingly.
    """
    inside = find_threads(bag.contents)
    every = [*inside, *(thread for tag in tags for thread in find_threads(tag.size))]
    pitches = {(one.size, one.pitch_mm, one.threads_per_inch) for one in every if not one.is_pitch_implied}
    pitches = {one for one in pitches if one[1:] != (None, None)}
    lengths = {(one.size, one.length) for one in inside if one.length}
    sizes = {one.size for one in every}
    return max(len(sizes), len(pitches), len(lengths)) > 1


def _says_mixed(bag: BagContents) -> bool:
    return any(words in fold(f"{bag.contents} {bag.note}") for words in _SAYS_MIXED)
