"""Everything that is said of one thing, gathered for showing: fields in words, and what to know beside them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from asfound.actions.archive import Archive, kept
from asfound.actions.values import list_values
from asfound.core.codes.cautions import cautions_for
from asfound.core.codes.clock_positions import find_clock
from asfound.core.codes.colours import WireColour
from asfound.core.codes.facing import meanings_for
from asfound.core.codes.terminals import TerminalReading, compare_ends, explain_terminal
from asfound.core.log.looks import latest_looks, look_words
from asfound.core.refit.values import ValueStanding, measured_lines, measured_words
from asfound.model.log import LogLine
from asfound.model.pictures import Job
from asfound.model.tags import SIDES, Belt, Tag, TagEnd
from asfound.store import bags, events, fitting, tags


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
    job: Job | None = None

    @property
    def called(self) -> str:
        """Its name; while it has none, what kind of thing it is."""
        return self.tag.name or self.tag.kind

    @cached_property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """(field, value) of all that was said, in the order in which to read it."""
        tag = self.tag
        head = [
            ("also", ", ".join(self.also)),
            ("kind", "" if tag.kind == "other" else tag.kind),
            ("name", tag.name),
            ("size", tag.size),
            ("flow", tag.flow),
            ("route", tag.route),
            ("how it sat", tag.how_it_sat),
        ]
        tail = [
            *(_belt_fields(self.belt) if self.belt else ()),
            ("hazard", tag.hazard),
            ("condition", tag.condition),
            ("goes with", tag.goes_with),
            ("looks like", tag.look_alike),
            ("fit after", ", ".join(self.fit_after)),
            ("fit before", ", ".join(self.fit_before)),
            ("bag", ", ".join(self.bags)),
            ("note", tag.note),
            *((one.value.what, one.words) for one in self.values),
            ("measured", "; ".join(map(measured_words, self.measured))),
            *((f"looked over{f' at {line.end}' if line.end else ''}", look_words(line)) for line in self.looks),
        ]
        ends = [field for end in self.ends for field in _end_fields(end)]
        return tuple((name, value) for name, value in (*head, *ends, *tail) if value)

    @cached_property
    def meanings(self) -> tuple[str, ...]:
        """What front, left and turning mean, as far as the fields use these words."""
        said = " ".join(f"{name} {value}" for name, value in self.fields if not name.startswith("looked over"))
        return meanings_for(self.job, said) if self.job else ()

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What to know beside the fields; cautions last."""
        found = [note for end in self.ends for note in (*_colour_notes(end), *explain_terminal(end.terminal).notes)]
        if len(self.ends) == 2:
            found.append(compare_ends(self.ends[0].terminal, self.ends[1].terminal))
        found += self.meanings
        found += [caution.text for caution in cautions_for([self.tag.hazard], self.tag.kind)]
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
    return explain_terminal(end.terminal)


def _end_fields(end: TagEnd) -> Iterator[tuple[str, str]]:
    letter, colour, terminal = end.end, colour_of(end), terminal_of(end)
    words = f"{colour.shown} ({colour.words})" if colour else end.colour
    capped = {True: f"yes, {end.capped_with}" if end.capped_with else "yes", False: "no, open", None: ""}[end.capped]
    yield f"end {letter}", end.place
    yield f"side of {letter}", SIDES[end.side] if end.side else ""
    said = any(words.position.shown == end.clock for words in find_clock(end.how_it_sat))
    yield f"sat at {letter}", "; ".join(filter(None, (end.how_it_sat, "" if said else end.clock)))
    yield f"colour at {letter}", f"{words}, seen in poor light" if words and end.colour_unsure else words
    yield f"terminal at {letter}", f"{terminal.mark} ({terminal.meaning})" if terminal.meaning else terminal.mark
    yield f"capped at {letter}", capped
    yield f"tape at {letter}", "lost" if end.tape_lost else ""
    yield f"note at {letter}", end.note


def _belt_fields(belt: Belt) -> list[tuple[str, str]]:
    return [
        ("belt comes off", belt.comes_off),
        ("belt path", belt.path),
        ("belt arrow", belt.arrow),
        ("belt turns", belt.turns),
        ("belt slack", belt.slack),
    ]


def _colour_notes(end: TagEnd) -> tuple[str, ...]:
    colour = colour_of(end)
    return colour.notes if colour else ()
