"""A tag written down field by field, as short texts: read them, write down those that changed, in one step."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from asfound.actions import bags, fitting, quick_line, resolve
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive, kept
from asfound.actions.overwriting import ask_before_overwriting
from asfound.actions.tag import EndWords, TagWords
from asfound.actions.tag_card import read_cards
from asfound.core.log.entry import parse_entry
from asfound.core.log.tag_fields import (
    BY_KEY,
    LETTERS,
    OF_END,
    OF_TAG,
    TAG_FIELDS,
    split_labels,
    take_choice,
    typed_text,
)
from asfound.core.log.tag_readers import READERS, colour_question
from asfound.errors import Misused, NotFound
from asfound.model.field_rows import FieldRow
from asfound.model.tags import KINDS, EndLetter, Tag, TagEnd
from asfound.store import tags

Read = TypeVar("Read")
Texts = Mapping[str, str]
"""What stands in each field, by `TagField.key`; a field that is not named is empty."""

_WHOLE = tuple(name for name, row in OF_TAG.items() if row.words != "bag")
_CAPPED = {"yes": True, "capped": True, "no": False, "open": False}


@dataclass(slots=True)
class SavedForm:
    """What became of the fields.

    Attributes
    ----------
    is_new : bool
        Whether a thing was added, and not more said of one that was known.
    told : list of str
        What must be asked back, and what was kept as a note because it could not be read.
    """

    tag: Tag
    is_new: bool
    told: list[str] = field(default_factory=list)


def read_form(archive: Archive, tag: Tag) -> dict[str, str]:
    """What stands in each field of a tag."""
    card = read_cards(archive)[tag.tag_id]
    texts = {name: typed_text(OF_TAG[name], tag) for name in _WHOLE}
    texts |= {"number": card.label, "bag": ", ".join(card.bags)}
    texts |= {"fit_after": ", ".join(card.fit_after), "fit_before": ", ".join(card.fit_before)}
    for end in card.ends:
        texts |= {f"{name} {end.end}": typed_text(row, end) for name, row in OF_END.items()}
    return {one.key: texts.get(one.key, "") for one in TAG_FIELDS}


def read_line(archive: Archive, line: str) -> dict[str, str]:
    """The fields that one typed line fills; what it does not say is left out.

    Raises
    ------
    Misused
        If the line has no number.
    """
    entry = parse_entry(line, quick_line.known_words(archive))
    if not entry.number:
        raise Misused(
            f'"{line.strip()[:40]}" does not begin with a number; type it like: 17 hose upper radiator A pump'
        )
    texts = {name: getattr(entry, name) for name in ("number", *quick_line.OF_WHOLE, "bag")}
    for letter, end in zip(LETTERS, (entry.a, entry.b), strict=True):
        said = TagEnd(0, letter, **quick_line.end_words(end).said)  # type: ignore[arg-type]
        texts |= {f"{name} {letter}": typed_text(row, said) for name, row in OF_END.items()}
    return {key: text for key, text in texts.items() if text}


def save_form(
    archive: Archive, texts: Texts, *, tag: Tag | None = None, is_another: bool = False, is_sure: bool = False
) -> SavedForm:
    """Write down what the fields say, in one step; of a known thing only what differs from what was known.

    What cannot be read (a kind, an hour, a number to fit after) stays as the note, and is told back: nothing typed is
    lost.

    Parameters
    ----------
    tag : Tag or None
        The thing at hand; None for the one the number names, which is added when it is new.
    is_another : bool
        The number is in use, and this is a second thing with it.
    is_sure : bool
        What stands in the fields of the thing that the number names may be written over.

    Raises
    ------
    Misused, Ambiguous
        If there is no number, or it is on several things: then nothing is written down.
    AskFirst
        If words of the thing that the number names would be lost: then nothing is written down either.
    """
    said = {key: " ".join(text.split()) for key, text in texts.items() if key in BY_KEY}
    number = said.pop("number", "")
    known = tag
    if known is None and not is_another and resolve.find_tags(archive, number):
        known = resolve.get_tag(archive, number).tag
    with archive.step(f"tag {number or (known.number if known else '')} written down"):
        if known is None:
            mine = tag_actions.add_tag(archive, number, TagWords())
            before: Texts = {}
        else:
            mine, before = known, read_form(archive, known)
            if tag is not None and number and number != before["number"]:
                mine = tag_actions.renumber_tag(archive, mine, number)
        changed = {key: text for key, text in said.items() if text != before.get(key, "")}
        saved = SavedForm(mine, known is None)
        if tag is None and not is_sure:
            ask_before_overwriting(number, before, {**before, **changed})
        _Writer(archive, saved, before, changed).write()
    saved.tag = tags.get_tag(archive.store, mine.tag_id)
    return saved


@kept
def words_in_use(archive: Archive) -> Mapping[str, tuple[str, ...]]:
    """Field name to what stands in it elsewhere in the job, the most used first; A and B together."""
    used: dict[str, Counter[str]] = {one.name: Counter() for one in TAG_FIELDS}
    for tag in tag_actions.list_tags(archive):
        for name in _WHOLE:
            used[name][typed_text(OF_TAG[name], tag)] += 1
    for end in (one for ends in tag_actions.list_ends(archive).values() for one in ends):
        for name in used.keys() & OF_END.keys():
            used[name][typed_text(OF_END[name], end)] += 1
    used["bag"].update(bag.label for bag in bags.list_bags(archive))
    used["bag"][bags.BACK_IN_PLACE] += 1
    # Notes and names are each thing's own; to offer them would only be in the way.
    alone = ("note", "name", "number", "ends", "tape_lost", "side")
    return {
        name: tuple(text for text, _count in counts.most_common() if text)
        for name, counts in used.items()
        if name not in alone
    }


def next_number(archive: Archive, after: str = "") -> str:
    """The next free number after one, or after the last that was entered; empty where nothing can be counted on."""
    known = tags.known_numbers(archive.store, archive.job.job_id)
    every = tag_actions.list_tags(archive)
    last = after or (max(every, key=lambda tag: tag.tag_id).number if every else "0")
    found = re.fullmatch(r"(.*?)(\d{1,9})", last)
    if found is None:
        return ""
    number = int(found[2]) + 1
    while f"{found[1]}{number}" in known:
        number += 1
    return f"{found[1]}{number}"


class _Writer:
    """Writes the fields that changed; whatever cannot be read becomes part of a note."""

    def __init__(self, archive: Archive, saved: SavedForm, before: Texts, changed: Texts) -> None:
        self.archive, self.saved, self.before, self.changed = archive, saved, before, changed
        self.left: dict[str, list[str]] = {}
        """Key of a note to what is added to it."""

    def write(self) -> None:
        self._write_bags()
        self._write_rules()
        self._write_whole()
        # After the kind: words of an end B make two ends even of a bracket.
        for letter in LETTERS:
            self._write_end(letter)

    def _write_whole(self) -> None:
        said: dict[str, str] = {name: self.changed[name] for name in _WHOLE if name in self.changed}
        if "kind" in said:
            kind = take_choice(BY_KEY["kind"], said.pop("kind")) or "other"
            said["kind"] = kind if kind in KINDS else self._leave("kind", kind, "other")
        self._read_all(said, OF_TAG, "")
        ends = said.pop("ends", "")
        if ends and ends not in ("1", "2"):
            ends = self._leave("ends", ends, "")
        self._add_left("note", said)
        words = TagWords(**said, ends=int(ends) if ends else None)
        if words:
            tag_actions.change_tag(self.archive, self.saved.tag, words)

    def _write_end(self, letter: EndLetter) -> None:
        said = {name: self.changed[f"{name} {letter}"] for name in OF_END if f"{name} {letter}" in self.changed}
        self._read_all(said, OF_END, f" {letter}")
        if said.get("colour") and (question := colour_question(said["colour"])):
            self.saved.told.append(question)
        if "clock" not in said and (clock := quick_line.clock_in(said.get("how_it_sat", ""))):
            said["clock"] = clock
        tape, capped = said.pop("tape_lost", None), said.pop("capped", None)
        lost = None if tape is None else take_choice(BY_KEY["tape_lost A"], tape) == "lost"
        self._add_left(f"note {letter}", said)
        with_what = capped if capped and capped.casefold() not in _CAPPED else "" if capped is not None else None
        is_capped = _CAPPED.get((capped or "").casefold(), bool(capped) or None)
        words = EndWords(**said, tape_lost=lost, capped=is_capped, capped_with=with_what)
        if words:
            tag_actions.change_end(self.archive, self.saved.tag, letter, words)
        if capped == "":
            # Emptied: nobody says any more whether it is capped.
            tags.change_end(self.archive.store, self.saved.tag.tag_id, letter, capped=None)

    def _write_bags(self) -> None:
        if "bag" not in self.changed:
            return
        mine, before = self.saved.tag, split_labels(self.before.get("bag", ""))
        wanted = split_labels(self.changed["bag"])
        for label in wanted:
            if label not in before:
                quick_line.put_in_bag(self.archive, mine, label)
        for label in before:
            if label not in wanted and bags.is_known(self.archive, label):
                bags.save_bag(self.archive, label, not_tags=[mine])

    def _write_rules(self) -> None:
        for key, rule in (("fit_after", fitting.fit_after), ("fit_before", fitting.fit_before)):
            if key not in self.changed:
                continue
            wanted, before = split_labels(self.changed[key]), split_labels(self.before.get(key, ""))
            for label in wanted:
                other = self._read(key, label, self._other) if label not in before else None
                if other is not None:
                    rule(self.archive, self.saved.tag, [other])
            for label in before:
                if label not in wanted:
                    fitting.drop_rule(self.archive, self.saved.tag, self._other(label))

    def _other(self, label: str) -> Tag:
        return resolve.get_tag(self.archive, label).tag

    def _read_all(self, said: dict[str, str], rows: Mapping[str, FieldRow], end: str) -> None:
        """Bring what has a reader of its own into the spelling in which it is kept."""
        for name, text in said.items():
            reader = READERS.get(rows[name].words)
            if reader is not None and text and rows[name].words != "kind":
                key = f"{name}{end}"
                said[name] = self._read(key, take_choice(BY_KEY[key], text), reader) or ""

    def _read(self, key: str, text: str, read: Callable[[str], Read]) -> Read | None:
        """What a text says; one that cannot be read goes to the note, and the reason is told."""
        try:
            return read(text)
        except (Misused, NotFound) as error:
            self._leave(key, text, "")
            self.saved.told.append(str(error))
            return None

    def _leave(self, key: str, text: str, instead: str) -> str:
        one = BY_KEY[key]
        self.left.setdefault(f"note {one.end}" if one.end else "note", []).append(f"{one.title.lower()}: {text}")
        self.saved.told.append(f'"{text}" is kept as the note: {one.title.lower()} is {one.hint}.')
        return instead

    def _add_left(self, key: str, said: dict[str, str]) -> None:
        if key in self.left:
            note = said.get("note", self.before.get(key, ""))
            said["note"] = "; ".join(filter(None, (note, *self.left[key])))
