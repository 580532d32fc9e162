"""Everything that is said of one thing, gathered for showing: fields in words, and what to know beside them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cached_property

from asfound.actions.archive import Archive, kept
from asfound.actions.values import list_values
from asfound.core.codes.cautions import cautions_for
from asfound.core.codes.clock_positions import find_clock
from asfound.core.codes.colour_readings import parse_colour
from asfound.core.codes.colours import WireColour
from asfound.core.codes.facing import meanings_for
from asfound.core.codes.hazards import read_hazards
from asfound.core.codes.terminals import TerminalReading, compare_ends, explain_terminal
from asfound.core.log.looks import latest_looks, look_words
from asfound.core.log.sets import set_words
from asfound.core.log.tag_fields import OF_END, OF_TAG, typed_text
from asfound.core.refit.values import ValueStanding, measured_lines, measured_words
from asfound.model.documents import Document
from asfound.model.log import LogLine
from asfound.model.pictures import Job
from asfound.model.purchases import SetMember
from asfound.model.tags import Belt, Tag, TagEnd
from asfound.store import bags, documents, events, fitting, purchases, tags


@dataclass(frozen=True, slots=True)
class CardField:
    """One thing that was said, as it is shown.

    Attributes
    ----------
    name : str
        As in `core.log.tag_fields`; or "also", "fit_after", "fit_before", "looked_over", "set", "value", "measured",
        "document", or "belt_" and what of it.
    label : str
        What is said here, in words, without the end: "sat".
    end : str
        "A", "B", or empty for the whole thing.
    """

    name: str
    label: str
    words: str
    end: str = ""

    @property
    def full_label(self) -> str:
        """The label with the letter of the end where there is one: "sat at A", "end B"."""
        if not self.end:
            return self.label
        return OF_END[self.name].card.format(self.end) if self.name in OF_END else f"{self.label} at {self.end}"


@dataclass(frozen=True)
class TagCard:
    """One thing with its ends, bags, belt and rules.

    Attributes
    ----------
    label : str
        Its number as it is typed, with ".2" where several things have it.
    fit_after, fit_before : tuple of str
        Names of the things it goes after, and of those that go after it.
    bags : tuple of str
        Labels of its bags, or "back in place".
    also : tuple of str
        Other numbers that it goes by.
    looks : tuple of LogLine
        What was said last when it was looked over after it went back.
    values : tuple of ValueStanding
        What a person typed from the manual, beside what was reached.
    measured : tuple of LogLine
        What else was measured or reached.
    members : tuple of SetMember
        The positions of a set of like parts.
    documents : tuple of Document
        Manual pages, receipts and the like that are tied to it.
    job : Job or None
        The machine, which says what front, left and turning mean.
    """

    tag: Tag
    label: str
    ends: tuple[TagEnd, ...]
    fit_after: tuple[str, ...]
    fit_before: tuple[str, ...]
    bags: tuple[str, ...]
    belt: Belt | None
    also: tuple[str, ...] = ()
    looks: tuple[LogLine, ...] = ()
    values: tuple[ValueStanding, ...] = ()
    measured: tuple[LogLine, ...] = ()
    members: tuple[SetMember, ...] = ()
    documents: tuple[Document, ...] = ()
    job: Job | None = None

    @property
    def called(self) -> str:
        """The thing's name; while it has none, its kind."""
        return self.tag.name or self.tag.kind

    @cached_property
    def fields(self) -> tuple[CardField, ...]:
        """All that was said, in the order in which to read it."""
        whole = {
            name: CardField(name, row.label, typed_text(row, self.tag)) for name, row in OF_TAG.items() if row.label
        }
        note = whole.pop("note")
        found = [
            CardField("also", "also", ", ".join(self.also)),
            *(one for name, one in whole.items() if OF_TAG[name].is_early),
            *(one for end in self.ends for one in _end_fields(end)),
            *(_belt_fields(self.belt) if self.belt else ()),
            *(one for name, one in whole.items() if not OF_TAG[name].is_early),
            CardField("fit_after", "fit after", ", ".join(self.fit_after)),
            CardField("fit_before", "fit before", ", ".join(self.fit_before)),
            CardField("bag", "bag", ", ".join(self.bags)),
            note,
            CardField("set", "set", set_words(self.members)),
            *(CardField("value", one.value.what, one.words) for one in self.values),
            CardField("measured", "measured", "; ".join(map(measured_words, self.measured))),
            *(CardField("document", "document", f"{one.document_id}: {one.called}") for one in self.documents),
            *(CardField("looked_over", "looked over", look_words(line), line.end) for line in self.looks),
        ]
        return tuple(one for one in found if one.words)

    @cached_property
    def meanings(self) -> tuple[str, ...]:
        """What front, left and turning mean, as far as the fields use these words."""
        said = " ".join(f"{one.label} {one.words}" for one in self.fields if one.name != "looked_over")
        return meanings_for(self.job, said) if self.job else ()

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """The usual cautions for such a thing."""
        return tuple(dict.fromkeys(caution.text for caution in cautions_for([self.tag.hazard], self.tag.kind)))

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What to know beside the fields; cautions last."""
        found = [note for end in self.ends for note in (*_colour_notes(end), *terminal_of(end).notes)]
        if len(self.ends) == 2:
            found.append(compare_ends(self.ends[0].terminal, self.ends[1].terminal))
        found.append(read_hazards(self.tag.hazard).question)
        found += self.meanings
        found += self.cautions
        return tuple(dict.fromkeys(filter(None, found)))


def read_card(archive: Archive, tag: Tag) -> TagCard:
    """Gather what is said of one thing."""
    return read_cards(archive)[tag.tag_id]


@kept
def read_cards(archive: Archive) -> Mapping[int, TagCard]:
    """Gather what is said of every thing of the job, by hidden identity, in the order in which they were entered."""
    job_id = archive.job.job_id
    known = {one.tag_id: one for one in tags.list_tags(archive.store, job_id)}
    counts = Counter(tag.number for tag in known.values())
    names = {tag_id: short_label(tag, is_repeated=counts[tag.number] > 1) for tag_id, tag in known.items()}
    after: dict[int, list[str]] = defaultdict(list)
    before: dict[int, list[str]] = defaultdict(list)
    for later, earlier in fitting.list_rules(archive.store, job_id):
        after[later].append(names[earlier])
        before[earlier].append(names[later])
    labels = {tag_id: [tag.bag] for tag_id, tag in known.items()}
    for bag in bags.list_bags(archive.store, job_id):
        for tag_id in bag.tag_ids:
            labels[tag_id].append(bag.label)
    aliases = tags.list_aliases(archive.store, job_id)
    lines = events.list_lines(archive.store, job_id)
    looks = latest_looks(lines)
    typed: dict[int | None, list[ValueStanding]] = defaultdict(list)
    for value in list_values(archive):
        typed[value.value.tag_id].append(value)
    members: dict[int, list[SetMember]] = defaultdict(list)
    for member in purchases.list_members(archive.store, job_id):
        members[member.tag_id].append(member)
    kept_documents = documents.list_documents(archive.store, job_id)
    measured = measured_lines(lines, (one.value for some in typed.values() for one in some))
    ends, belts = tags.list_ends(archive.store, job_id), tags.list_belts(archive.store, job_id)
    return {
        tag_id: TagCard(
            tag=tag,
            label=names[tag_id],
            ends=ends.get(tag_id, ()),
            fit_after=tuple(after[tag_id]),
            fit_before=tuple(before[tag_id]),
            bags=tuple(dict.fromkeys(filter(None, labels[tag_id]))),
            belt=belts.get(tag_id),
            also=tuple(number for other, number in aliases if other == tag_id),
            looks=looks.get(tag_id, ()),
            values=tuple(typed[tag_id]),
            measured=tuple(measured.get(tag_id, ())),
            members=tuple(members[tag_id]),
            documents=tuple(one for one in kept_documents if tag_id in one.tag_ids),
            job=archive.job,
        )
        for tag_id, tag in known.items()
    }


def short_label(tag: Tag, *, is_repeated: bool) -> str:
    """A thing's number as it is typed: "17", or "12.2" where several things have it."""
    return f"{tag.number}.{tag.order}" if is_repeated else tag.number


def colour_of(end: TagEnd) -> WireColour | None:
    """The colour of an end that could be read; None where it is kept as typed."""
    return WireColour(end.main, tuple(filter(None, end.stripe.split("/")))) if end.main else None


def terminal_of(end: TagEnd) -> TerminalReading:
    """The mark at an end with its meaning."""
    return explain_terminal(end.terminal, end.place)


def _end_fields(end: TagEnd) -> Iterator[CardField]:
    for name, row in OF_END.items():
        if row.label:
            said = _SAID_OF_END.get(name)
            yield CardField(name, row.label, said(end) if said else typed_text(row, end), end.end)


def _sat(end: TagEnd) -> str:
    """How it sat, and the clock hour unless the words say it."""
    said = any(words.position.shown == end.clock for words in find_clock(end.how_it_sat))
    return "; ".join(filter(None, (end.how_it_sat, "" if said else end.clock)))


def _colour(end: TagEnd) -> str:
    colour = colour_of(end)
    words = f"{colour.shown} ({colour.words})" if colour else end.colour
    return f"{words}, seen in poor light" if words and end.colour_unsure else words


def _terminal(end: TagEnd) -> str:
    terminal = terminal_of(end)
    return f"{terminal.mark} ({terminal.meaning})" if terminal.meaning else terminal.mark


def _capped(end: TagEnd) -> str:
    return {True: f"yes, {end.capped_with}" if end.capped_with else "yes", False: "no, open", None: ""}[end.capped]


_SAID_OF_END: Mapping[str, Callable[[TagEnd], str]] = {
    "how_it_sat": _sat,
    "colour": _colour,
    "terminal": _terminal,
    "capped": _capped,
}
"""Fields that a card says in more words than a person types; the others stand as they are typed."""


def _belt_fields(belt: Belt) -> list[CardField]:
    names = (one.name for one in fields(belt) if one.name != "tag_id")
    return [CardField(f"belt_{name}", f"belt {name.replace('_', ' ')}", getattr(belt, name)) for name in names]


def _colour_notes(end: TagEnd) -> tuple[str, ...]:
    colour, reading = colour_of(end), parse_colour(end.colour)
    return colour.notes if colour else reading.notes if reading.is_shaded else ()
