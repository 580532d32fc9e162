"""Bags and bins of fasteners: what is in them, whose it is, where they lie, counts out and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_letters

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.core.words import fold
from asfound.errors import Misused, NotFound
from asfound.model.log import Bag, BagGroup
from asfound.model.tags import Tag
from asfound.store import bags

BACK_IN_PLACE = "back in place"
_IN_PLACE = frozenset({BACK_IN_PLACE, "in place", "own hole", "in its own hole", "back in its own hole", "own holes"})
LONGEST_LABEL = 40


@dataclass(frozen=True, slots=True)
class BagWords:
    """What a person says of a bag; None leaves a field as it is."""

    name: str | None = None
    contents: str | None = None
    place: str | None = None
    count_out: int | None = None
    count_back: int | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class GroupWords:
    """What a person says of one sort of fastener in a bag; None leaves a field as it is."""

    what: str
    thread: str | None = None
    length_mm: str | None = None
    across_flats_mm: str | None = None
    head_mark: str | None = None
    count_out: int | None = None
    count_back: int | None = None


def read_label(typed: str) -> str:
    """A bag's label as it is kept, or "back in place" for fasteners that went back into their own holes.

    Raises
    ------
    Misused
        If nothing could stand on a bag so.
    """
    label = " ".join(typed.split())
    if fold(label) in _IN_PLACE:
        return BACK_IN_PLACE
    if not label or len(label) > LONGEST_LABEL or not label.isprintable():
        raise Misused(
            f'"{label[:20]}" is not a label for a bag; write what is on the bag, such as B4, or "back in place".'
        )
    return label


def save_bag(
    archive: Archive,
    label: str,
    words: BagWords | None = None,
    *,
    groups: Sequence[GroupWords] = (),
    tags: Sequence[Tag] = (),
    not_tags: Sequence[Tag] = (),
) -> Bag:
    """Write a bag down, or say more of it.

    `tags` are things its fasteners belong to; `not_tags` are such words taken back.
    """
    label = read_label(label)
    if label == BACK_IN_PLACE:
        raise Misused(
            '"back in place" is not a bag: the fasteners are in their own holes. Write it with: asfound off 17'
        )
    with archive.step(f"bag {label} written down"):
        bag_id = bags.save_bag(archive.store, archive.job.job_id, label)
        said = _said(words or BagWords())
        if said:
            bags.change_bag(archive.store, bag_id, **said)
        for group in groups:
            bags.save_group(archive.store, bag_id, group.what, **_said(group))
        for tag in tags:
            bags.link_tag(archive.store, bag_id, tag.tag_id)
        for tag in not_tags:
            bags.unlink_tag(archive.store, bag_id, tag.tag_id)
    return bags.get_bag(archive.store, bag_id)


def rename_group(archive: Archive, label: str, what: str, name: str) -> Bag:
    """Call a group of a bag otherwise; its counts stay."""
    bag, group = get_bag(archive, label), get_group(archive, label, what)
    if not name.strip():
        raise Misused(f"Say the new name: asfound bag {bag.label} --group {group.what} --rename studs")
    if any(fold(one.what) == fold(name.strip()) for one in bag.groups if one.group_id != group.group_id):
        raise Misused(f"Bag {bag.label} has a group {name.strip()} already.")
    with archive.step(f"bag {bag.label}: {group.what} called {name.strip()}"):
        bags.rename_group(archive.store, group.group_id, name.strip())
    return get_bag(archive, label)


def drop_group(archive: Archive, label: str, what: str) -> Bag:
    """Take a group out of a bag."""
    bag, group = get_bag(archive, label), get_group(archive, label, what)
    with archive.step(f"bag {bag.label}: no {group.what}"):
        bags.remove_group(archive.store, group.group_id)
    return get_bag(archive, label)


def get_group(archive: Archive, label: str, what: str) -> BagGroup:
    """The group of a bag that is called so; capitals do not matter."""
    bag = get_bag(archive, label)
    found = next((one for one in bag.groups if fold(one.what) == fold(what.strip())), None)
    if found is None:
        known = ", ".join(one.what for one in bag.groups) or "none"
        raise NotFound(f"Bag {bag.label} has no group {what.strip()}; it has: {known}.")
    return found


def say_whose(archive: Archive, label: str, numbers: str) -> Bag:
    """Write down things that a bag's fasteners belong to, by their numbers with spaces or commas between."""
    mine = [resolve.get_tag(archive, one).tag for one in numbers.replace(",", " ").split()]
    return save_bag(archive, label, tags=mine)


def list_bags(archive: Archive) -> list[Bag]:
    """Bags in the order in which they were entered."""
    return bags.list_bags(archive.store, archive.job.job_id)


def get_bag(archive: Archive, label: str) -> Bag:
    """The bag with this label; capitals do not matter."""
    found = _find_bag(archive, label)
    if found is not None:
        return found
    raise NotFound(f"There is no bag {label}. List them with: asfound bags")


def is_known(archive: Archive, label: str) -> bool:
    """Whether a bag with this label is written down."""
    return _find_id(archive, label) is not None


def meant_label(archive: Archive, typed: str) -> str:
    """The label that was meant: "4" is bag B4 where only that one has this number and none is called 4."""
    label = read_label(typed)
    if not label.isdecimal() or is_known(archive, label):
        return label
    known = bags.list_labels(archive.store, archive.job.job_id)
    alike = [one for _bag_id, one in known if one.lstrip(ascii_letters) == label]
    return alike[0] if len(alike) == 1 else label


def _find_bag(archive: Archive, label: str) -> Bag | None:
    bag_id = _find_id(archive, label)
    return None if bag_id is None else bags.get_bag(archive.store, bag_id)


def _find_id(archive: Archive, label: str) -> int | None:
    wanted = fold(read_label(label))
    known = bags.list_labels(archive.store, archive.job.job_id)
    return next((bag_id for bag_id, one in known if fold(one) == wanted), None)


def _said(words: BagWords | GroupWords) -> dict[str, object]:
    said = {name: getattr(words, name) for name in words.__slots__ if name != "what"}
    return {name: value for name, value in said.items() if value is not None}
