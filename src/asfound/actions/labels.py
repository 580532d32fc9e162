"""Labels to print: which ends, bags and belts, and which of them were printed before."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from asfound.actions import settings
from asfound.actions.archive import Archive
from asfound.actions.bag_list import ListedBag, list_bags_by_label
from asfound.actions.pdf_file import check_target, save_pdf
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.pins.numbering import sort_key, upside_down
from asfound.core.sheets.kind import sheet_kinds
from asfound.core.sheets.labels.content import BagLabel, BeltLabel, Bits, Label, LabelOrder, TagLabel
from asfound.errors import Misused
from asfound.model.tags import EndLetter

MOST = 2000
"""Labels in one file; more is a slip of the finger."""

_SPAN = re.compile(r"(\d{1,6})-(\d{1,6})")
_WHOLE = re.compile(r"\d{1,6}")


@dataclass(frozen=True, slots=True)
class LabelReport:
    """What was printed.

    Attributes
    ----------
    without_marker : tuple of str
        Numbers that no printed marker stands for.
    twice : tuple of str
        Numbers that more than one thing has, so that two labels read the same.
    """

    path: Path
    pages: int
    labels: tuple[Label, ...]
    without_marker: tuple[str, ...]
    twice: tuple[str, ...]


def tag_labels(archive: Archive, numbers: str = "", *, spare: int = 0, again: bool = False) -> list[TagLabel]:
    """Labels of ends, in pairs: 1A, 1B, 2A.

    Parameters
    ----------
    numbers : str
        "1-20, 12x": these, whether or not a thing has the number; empty for every thing of the job.
    spare : int
        So many numbers more, from the first that is neither in use nor printed.
    again : bool
        Also those that were printed before; numbers that are named are printed in any case.

    Raises
    ------
    Misused
        If nothing is left to print, or far too much is asked for.
    """
    cards = sorted(read_cards(archive).values(), key=lambda card: (sort_key(card.tag.number), card.tag.order))
    done = set() if again else printed(archive)
    if numbers.strip():
        found = [label for number in _numbers(numbers) for label in _of_number(number, cards)]
    else:
        found = [] if spare else [one for card in cards for one in _of_card(card) if one.big not in done]
    found += [one for number in _next_numbers(cards, printed(archive), spare) for one in _of_number(number, [])]
    if not found:
        what = (
            "Every tag of this job was printed before: --again prints them once more" if cards else "Nothing is tagged"
        )
        raise Misused(f"{what}; numbers to put on are printed with: asfound labels OUT.pdf --spare 40")
    return found


def bag_labels(archive: Archive, labels: str = "") -> list[BagLabel]:
    """Labels of bags: what each is for, what is in it, how many pieces, for which tags, where it lies."""
    wanted = {one.casefold() for one in re.split(r"[,;\s]+", labels) if one}
    listed = [one for one in list_bags_by_label(archive) if not wanted or one.bag.label.casefold() in wanted]
    missing = wanted - {one.bag.label.casefold() for one in listed}
    if missing or not listed:
        raise Misused(f"There is no bag {', '.join(sorted(missing))}." if missing else "There are no bags yet.")
    return [BagLabel(one.bag.label, tuple(_bag_lines(one))) for one in listed]


def belt_labels(archive: Archive) -> list[BeltLabel]:
    """Labels of belts, with what was noted of the way they ran."""
    found = []
    for card in read_cards(archive).values():
        belt = card.belt
        if card.tag.kind != "belt" and belt is None:
            continue
        noted = (belt.turns, belt.arrow, belt.path) if belt is not None else ()
        lines = (card.tag.name, *filter(None, noted), "The arrow shows the way it runs")
        found.append(BeltLabel(card.label, tuple(filter(None, lines))))
    if not found:
        raise Misused("No belt is tagged yet; write it down first: asfound tag 43 --kind belt")
    return found


def write_labels(
    archive: Archive, path: Path, order: LabelOrder, *, paper: str = "A4", replace_file: bool = False
) -> LabelReport:
    """Write a PDF of labels and remember which ends are on it.

    Raises
    ------
    Misused
        If the file is there already, cannot be written, or a label does not fit on the paper.
    """
    from asfound.output.paper.fonts import FontRuler
    from asfound.output.paper.pdf import write_pdf

    check_target(path, "labels", replace=replace_file)
    if len(order.labels) > MOST:
        raise Misused(f"{len(order.labels)} labels are more than {MOST}: print them in parts, with --tags.")
    ready = replace(order, labels=tuple(_with_marker(label) for label in order.labels))
    sheets = sheet_kinds()["labels"].lay_out(ready, paper, FontRuler())
    save_pdf(path, write_pdf(sheets, lambda mark: None))
    ends = [label for label in ready.labels if isinstance(label, TagLabel)]
    if ends:
        _remember_printed(archive, {label.big for label in ends})
    lacking = dict.fromkeys(label.number for label in ends if label.marker is None)
    ends_of = Counter(label.big for label in ends)
    twice = dict.fromkeys(label.number for label in ends if ends_of[label.big] > 1)
    return LabelReport(path, len(sheets.pages), ready.labels, tuple(lacking), tuple(twice))


def printed(archive: Archive) -> set[str]:
    """Labels of ends that were printed for this job, as they read: "17A"."""
    return set((settings.remembered(archive, _key(archive)) or "").split())


def _remember_printed(archive: Archive, some: set[str]) -> None:
    settings.remember(archive, _key(archive), " ".join(sorted(printed(archive) | some, key=sort_key)))


def _key(archive: Archive) -> str:
    return f"labels printed of job {archive.job.job_id}"


def _numbers(words: str) -> Iterator[str]:
    """Numbers named one by one or as a span of whole numbers.

    >>> list(_numbers("1-3, 12x"))
    ['1', '2', '3', '12x']
    """
    for part in filter(None, re.split(r"[,;\s]+", re.sub(r"\s*-\s*", "-", words))):
        span = _SPAN.fullmatch(part)
        if span is None:
            yield part
            continue
        first, last = int(span[1]), int(span[2])
        if not 0 <= last - first < MOST:
            raise Misused(f"{part} is no span of numbers that can be printed: the lower one first, at most {MOST}.")
        yield from map(str, range(first, last + 1))


def _next_numbers(cards: Iterable[TagCard], done: Collection[str], count: int) -> list[str]:
    if not 0 <= count <= MOST:
        raise Misused(f"{count} spare numbers cannot be printed: say 1 to {MOST}.")
    in_use = {card.tag.number for card in cards} | {label.rstrip("AB") for label in done}
    highest = max((int(number) for number in in_use if _WHOLE.fullmatch(number)), default=0)
    return [str(number) for number in range(highest + 1, highest + 1 + count)]


def _of_number(number: str, cards: Sequence[TagCard]) -> list[TagLabel]:
    known = [card for card in cards if card.tag.number == number]
    if known:
        return [label for card in known for label in _of_card(card)]
    return _labels(number, ("A", "B"), "")


def _of_card(card: TagCard) -> list[TagLabel]:
    return _labels(card.tag.number, tuple(end.end for end in card.ends) or ("A", "B"), card.called)


def _labels(number: str, ends: Sequence[EndLetter], name: str) -> list[TagLabel]:
    has_bar = upside_down(number) is not None
    return [TagLabel(number, end if len(ends) > 1 else None, name, has_bar) for end in ends]


def _with_marker(label: Label) -> Label:
    """A label of an end with the cells of its marker, if there is one for its number."""
    if not isinstance(label, TagLabel) or not _WHOLE.fullmatch(label.number) or label.number.startswith("0"):
        return label
    from asfound.core.read.markers import LARGEST_NUMBER, draw_marker, marker_of_tag

    if int(label.number) > LARGEST_NUMBER:
        return label
    cells = draw_marker(marker_of_tag(int(label.number), label.end or "A"), 1)[1:-1, 1:-1] < 128
    bits: Bits = tuple(tuple(bool(cell) for cell in row) for row in cells)
    return replace(label, marker=bits)


def _bag_lines(listed: ListedBag) -> Iterator[str]:
    bag = listed.bag
    inside = [bag.contents, *(f"{group.count_out or ''} x {group.text}".removeprefix(" x ") for group in bag.groups)]
    yield from filter(None, (bag.name, *inside))
    if bag.count_out is not None and not (len(bag.groups) == 1 and bag.groups[0].count_out is not None):
        yield f"{bag.count_out} pieces"
    if listed.things:
        yield f"for {', '.join(listed.labels)}"
    if bag.place:
        yield f"kept in: {bag.place}"
