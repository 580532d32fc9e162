"""A tag typed as one line: read field by field, written down as one step, and told back."""

from __future__ import annotations

from dataclasses import dataclass, fields

from asfound.actions import bags, resolve
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.bags import BACK_IN_PLACE
from asfound.actions.tag import EndWords, TagWords
from asfound.core.codes.clock_positions import find_clock
from asfound.core.log.entry import parse_entry
from asfound.core.log.entry_fields import EndEntry, Entry, Known
from asfound.errors import Misused
from asfound.model.tags import EndLetter, Tag
from asfound.store import events, tags

OF_WHOLE = ("kind", "name", "size", "flow", "note")
"""What a line can say of the whole thing, besides its number and its bag."""


@dataclass(frozen=True, slots=True)
class EnteredLine:
    """What became of a line.

    Attributes
    ----------
    is_new : bool
        Whether a thing was added, and not more said of one that was known.
    """

    tag: Tag
    entry: Entry
    is_new: bool

    @property
    def questions(self) -> tuple[str, ...]:
        """What must be asked back; the words are kept as typed until it is answered."""
        return tuple(reading.question for reading in self.entry.questions)


def enter_line(archive: Archive, line: str, *, is_another: bool = False) -> EnteredLine:
    """Write down what one line says; words that were not understood stay as the note.

    Raises
    ------
    Misused
        If the line has no number, or names an end of a known thing: then nothing is written down.
    """
    entry = parse_entry(line, known_words(archive))
    if not entry.number:
        raise Misused(
            f'"{line.strip()[:40]}" does not begin with a number; write it like: 17 hose upper radiator A pump'
        )
    words = TagWords(**{name: getattr(entry, name) or None for name in OF_WHOLE})
    is_new = is_another or not resolve.find_tags(archive, entry.number)
    known = None if is_new else resolve.get_tag(archive, entry.number)
    if known is not None and known.end is not None:
        raise Misused(
            f"{known.as_read(entry.number)}. A line is about the whole thing; begin it with {known.tag.number}."
        )
    with archive.step(f"tag {known.tag.number} changed" if known else f"tag {entry.number} added"):
        if known is None:
            tag = tag_actions.add_tag(archive, entry.number, words)
        else:
            tag = tag_actions.change_tag(archive, known.tag, words)
        ends: tuple[tuple[EndLetter, EndEntry], ...] = (("A", entry.a), ("B", entry.b))
        for letter, end in ends:
            tag_actions.change_end(archive, tag, letter, end_words(end))
        if entry.bag:
            put_in_bag(archive, tag, entry.bag)
    return EnteredLine(tags.get_tag(archive.store, tag.tag_id), entry, is_new)


def put_in_bag(archive: Archive, tag: Tag, label: str) -> None:
    """Say which bag a thing's fasteners are in, or that they are back in place, without saying that it came off."""
    label = bags.read_label(label)
    if label == BACK_IN_PLACE:
        now = archive.now()
        with archive.step(f"fasteners of {tag.number} are back in place"):
            events.add_event(archive.store, tag.tag_id, "bagged", now, now, bag=label)
    else:
        bags.save_bag(archive, label, tags=[tag])


def known_words(archive: Archive) -> Known:
    """What the job knows already, to split a line by."""
    ends = [end for found in tag_actions.list_ends(archive).values() for end in found]
    places = tuple(dict.fromkeys(end.place for end in ends if end.place))
    return Known(places=places, numbers=tags.known_numbers(archive.store, archive.job.job_id))


def clock_in(how_it_sat: str) -> str | None:
    """The one clock hour that words hold, kept beside them so that it can be told from the other side too."""
    clocks = find_clock(how_it_sat)
    return clocks[0].position.shown if len(clocks) == 1 else None


def end_words(end: EndEntry) -> EndWords:
    """What a line says of one end, as it is written down."""
    said = {one.name: getattr(end, one.name) for one in fields(end)}
    capped = said.pop("capped")
    return EndWords(
        **{name: value or None for name, value in said.items()}, capped=capped, clock=clock_in(end.how_it_sat)
    )
