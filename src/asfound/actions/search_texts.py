"""The words of everything that can be searched for, made anew for what changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from contextlib import nullcontext

from asfound.core.find.slots import slot_texts
from asfound.core.find.texts import words_of, words_of_colour, words_of_number, words_of_terminal
from asfound.model.documents import Document
from asfound.model.log import Bag, LogLine, Snag
from asfound.model.purchases import Purchase
from asfound.model.tags import Belt, Tag, TagEnd
from asfound.model.values import ManualValue
from asfound.store import bags, documents, events, fitting, jobs, purchases, search, snags, tags, values
from asfound.store.database import Store
from asfound.store.search import DocKind

_WORDS_IN: Mapping[str, Callable[[str], str]] = {"colour": words_of_colour, "terminal": words_of_terminal}
"""Slots whose words are spelled out in a way of their own."""

Texts = dict[tuple[DocKind, int], tuple[int, Mapping[str, str]]]


def refresh(store: Store) -> None:
    """Bring the words to be searched up to what is written down; quick when little has changed."""
    stale = search.stale_texts(store)
    if not stale:
        return
    texts: Texts = {}
    changed = {ref for kind, ref in stale if kind == "tag"}
    has_others = len(changed) < len(stale)
    for job in jobs.list_jobs(store):
        texts |= _other_texts(store, job.job_id) if has_others else {}
        texts |= _tag_texts(store, job.job_id, changed) if changed else {}
    with store.in_memory() if store.is_read_only else nullcontext():
        search.save_texts(store, stale, texts)


def _tag_texts(store: Store, job_id: int, stale: set[int]) -> Texts:
    """Words of the things that changed, each looked up by itself: most often they are few."""
    about: dict[int, list[str]] = defaultdict(list)
    labels: dict[int, list[str]] = defaultdict(list)
    also: dict[int, list[str]] = defaultdict(list)
    for bag in bags.list_bags(store, job_id):
        for tag_id in bag.tag_ids:
            labels[tag_id].append(bag.label)
            about[tag_id] += [bag.inside, bag.place]
    for snag in snags.list_snags(store, job_id):
        about[snag.tag_id or 0] += [snag.what, snag.buy]
    for tag_id, number in tags.list_aliases(store, job_id):
        also[tag_id].append(number)
    for value in values.list_values(store, job_id):
        about[value.tag_id or 0] += _value_words(value)
    for bought in purchases.list_purchases(store, job_id):
        about[bought.tag_id or 0] += _buying_words(bought)
    for member in purchases.list_members(store, job_id):
        about[member.tag_id] += [member.position, member.faced, member.note]
    belts = tags.list_belts(store, job_id)
    texts: Texts = {}
    for tag in tags.find_tags(store, job_id, stale):
        tag_id = tag.tag_id
        for line in events.find_lines(store, tag_id):
            if not line.is_struck:
                about[tag_id] += [line.note, line.kind, line.how, line.by_whom, line.what, line.amount, line.container]
        ends = tags.find_ends(store, tag_id)
        more = [*about[tag_id], *_belt_words(belts.get(tag_id))]
        numbers, bag_labels = [tag.number, *also[tag_id]], [tag.bag, *labels[tag_id]]
        texts["tag", tag_id] = job_id, _tag_words(tag, ends, numbers, bag_labels, more)
    return texts


def _other_texts(store: Store, job_id: int) -> Texts:
    """Words of bags, snags, documents, what was drained, notes of days, and what is of no tag: few in any job."""
    texts: Texts = {("bag", bag.bag_id): (job_id, _bag_words(bag)) for bag in bags.list_bags(store, job_id)}
    bought = purchases.list_purchases(store, job_id)
    of_snags = {one.snag_id: " ".join(_buying_words(one)) for one in bought}
    texts |= {
        ("snag", snag.snag_id): (job_id, _snag_words(snag, of_snags.get(snag.snag_id, "")))
        for snag in snags.list_snags(store, job_id)
    }
    texts |= {
        ("purchase", one.purchase_id): (job_id, {"name": words_of(" ".join(_buying_words(one)))})
        for one in bought
        if one.tag_id is None and one.snag_id is None
    }
    texts |= {
        ("value", one.value_id): (job_id, {"name": words_of(" ".join((one.thing, *_value_words(one))))})
        for one in values.list_values(store, job_id)
        if one.tag_id is None
    }
    lines = [line for line in events.list_loose_lines(store, job_id) if not line.is_struck]
    texts |= {("line", line.event_id): (job_id, _line_words(line)) for line in lines}
    texts |= {
        ("document", one.document_id): (job_id, _document_words(one)) for one in documents.list_documents(store, job_id)
    }
    for rowid, note in fitting.list_note_rows(store, job_id):
        texts["day", rowid] = job_id, {"note": words_of(note)}
    return texts


def _tag_words(
    tag: Tag, ends: tuple[TagEnd, ...], numbers: list[str], labels: list[str], about: list[str]
) -> dict[str, str]:
    texts: dict[str, list[str]] = defaultdict(list, {"about": about})
    for slots in (slot_texts(tag), *map(slot_texts, ends)):
        for slot, found in slots.items():
            texts[slot] += found
    return {
        **{slot: " ".join(map(_WORDS_IN.get(slot, words_of), found)) for slot, found in texts.items()},
        "number": " ".join(map(words_of_number, numbers)),
        "bag": " ".join(f"bag {words_of(label)}" for label in dict.fromkeys(labels) if label),
    }


def _bag_words(bag: Bag) -> dict[str, str]:
    return {
        "number": words_of_number(bag.label),
        "kind": "bag",
        "name": words_of(f"{bag.name} {bag.inside}"),
        "place": words_of(bag.place),
        "note": words_of(bag.note),
    }


def _snag_words(snag: Snag, buying: str) -> dict[str, str]:
    return {
        "number": words_of_number(snag.label),
        "kind": "snag",
        "name": words_of(f"{snag.what} {snag.buy}"),
        "place": words_of(snag.place),
        "note": words_of(f"{snag.closed_how} {buying}"),
    }


def _line_words(line: LogLine) -> dict[str, str]:
    told = (line.kind, line.what, line.amount, line.grade, line.container, line.looks, line.note, line.by_whom)
    return {"name": words_of(" ".join(told))}


def _value_words(value: ManualValue) -> list[str]:
    return [value.what, value.wanted, value.limits, f"page {value.page}" if value.page else ""]


def _buying_words(bought: Purchase) -> list[str]:
    return [bought.what, bought.part_number, bought.shop, "buy"]


def _document_words(document: Document) -> dict[str, str]:
    return {"kind": f"document {document.kind}", "name": words_of(document.what), "note": words_of(document.file)}


def _belt_words(belt: Belt | None) -> list[str]:
    return [] if belt is None else [belt.comes_off, belt.path, belt.arrow, belt.turns, belt.slack]
