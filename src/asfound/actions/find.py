"""From a number or words to the picture of how it was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from asfound.actions.archive import Archive
from asfound.actions.found_end import FoundEnd, seen_end
from asfound.actions.found_texts import FoundText, find_files, find_spots, find_walk, tell
from asfound.actions.known import known_tags
from asfound.actions.search_texts import refresh
from asfound.core.find.counted import Counted, find_counted
from asfound.core.find.query import Query, number_candidates, parse_query
from asfound.core.find.slots import slot_texts
from asfound.core.find.terms import Term, is_trade_word
from asfound.core.find.texts import asked_terms, asked_words, counted_term, is_called, likeliest
from asfound.core.pins.numbering import near_numbers, sort_key
from asfound.model.tags import Tag, TagEnd
from asfound.store import search as text_store
from asfound.store import tags
from asfound.store.search import DocKind

if TYPE_CHECKING:
    from asfound.core.find.scoring import TagText

SHORTLIST = 30
"""Texts that are looked at closely; more than anybody reads."""

MOST_BEGUN = 10
"""Things whose numbers begin with what was typed; of more, another digit tells."""

SHORTEST_MISSPELT = 4
"""A shorter word has too few letters to tell which other one was meant."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that answers to what was typed.

    Attributes
    ----------
    ends : tuple of FoundEnd
        Ends of things, best first.
    others : tuple of FoundText
        Bags, snags, fluids and notes of days, best first.
    is_wider : bool
        Whether nothing holds all the words, so that these hold some of them.
    meant : tuple of (str, str)
        Words that nothing holds, with the likeliest word instead.
    begin_so : tuple of FoundEnd
        Where nothing has the number that was typed: ends of things whose numbers begin with it, in order of number.
        They are other things.
    named : tuple of FoundText
        The bag or the snag that was typed by its own label; it goes before the things that only belong to it.
    """

    ends: tuple[FoundEnd, ...]
    others: tuple[FoundText, ...]
    is_wider: bool = False
    meant: tuple[tuple[str, str], ...] = ()
    begin_so: tuple[FoundEnd, ...] = ()
    named: tuple[FoundText, ...] = ()


def find_tags(archive: Archive, words: str, *, most: int = 20) -> list[FoundEnd]:
    """Ends of the things that answer; see `search`."""
    return list(search(archive, words, most=most).ends)


def search(archive: Archive, words: str, *, most: int = 20) -> Answer:
    """What answers to a number, a number with an end, or words; best first;
    of one thing the ends with an as-found picture first, then A before B.

    A number that nothing has is answered with nothing, for what is near it is another thing; see `numbers_near`.
    Things of the number typed come first, then what holds every word: each word more leaves fewer. A word that nothing
    holds is taken for the likeliest one that something does. Only when nothing holds all of them does what holds some
    answer.

    Parameters
    ----------
    words : str
        "17", "17b", "12.2", "black hose heat exchanger", "D+ wire".
    most : int
        Things to answer with at most.
    """
    refresh(archive.store)
    store, job_id = archive.store, archive.job.job_id
    query = parse_query(words, tags.numbers_among(store, job_id, number_candidates(words)))
    counted = find_counted(words) if query.words else None
    if counted is not None:
        return _counted(archive, counted, most)
    numbered = _numbered(archive, query)
    typed = asked_words(words) if query.words else ()
    meant = tuple((word, found) for word in typed if (found := _likeliest(archive, word)) is not None)
    spelled = dict(meant)
    asked = asked_terms(spelled.get(word, word) for word in typed)
    limit = max(SHORTLIST, most)
    hits = text_store.find_texts(store, job_id, asked, limit=limit) if asked else []
    things = [hit.ref for hit in hits if hit.kind == "tag"]
    if numbered and asked:
        # A number among words says which thing; the words only leave it or not.
        both = [tag_id for tag_id in numbered if tag_id in things]
        things, hits = both, hits if both else []
    named = (*find_files(archive, words), *find_spots(archive, asked), *find_walk(archive, asked))
    is_wider = bool(len(asked) > 1 and not hits and not named)
    if is_wider:
        hits = text_store.find_texts(store, job_id, asked, limit=limit, every=False)
        things = [*numbered, *(hit.ref for hit in hits if hit.kind == "tag")]
    shortlist = dict.fromkeys(things if asked else numbered)
    query = replace(query, words=tuple(spelled.get(word, word) for word in query.words))
    ends = _rank(archive, list(shortlist), query, most)
    others = (*named, *(tell(archive, hit) for hit in hits if hit.kind != "tag"))[:most]
    begun = () if any(one.tag.number == words.strip() for one in ends) else begin_so(archive, words.strip())
    ends = _holding_most(ends, words) if is_wider else ends
    others, named = _parted(others, words)
    return Answer(tuple(ends), others, is_wider and bool(hits), meant, begun, named)


def _counted(archive: Archive, counted: Counted, most: int) -> Answer:
    """What answers to a word with the number that goes with it, which is no tag's number.

    Where nothing is written so, the thing of that place in the row answers first, in order of number, as a guess.
    """
    words = asked_words(counted.rest) if counted.rest else ()
    asked = (*asked_terms(words), counted_term(counted))
    hits = text_store.find_texts(archive.store, archive.job.job_id, asked, limit=max(SHORTLIST, most))
    if not hits and counted.word in ("bag", "snag"):
        own: DocKind = "bag" if counted.word == "bag" else "snag"
        label: list[str | Term] = [*asked_terms(words), counted.word, counted.mark]
        hits = text_store.find_texts(archive.store, archive.job.job_id, label, limit=max(SHORTLIST, most), kinds=(own,))
    if hits:
        query = Query(counted.typed, None, None, None, (*words, counted.word, counted.mark))
        ends = _rank(archive, [hit.ref for hit in hits if hit.kind == "tag"], query, most)
        others, named = _parted([tell(archive, hit) for hit in hits if hit.kind != "tag"], counted.typed)
        return Answer(tuple(ends), others, named=named)
    if counted.place is None and not counted.rest:
        return Answer((), ())
    found = search(archive, counted.without_mark, most=max(SHORTLIST, most))
    first = _in_row(found.ends, counted)
    ends = [
        *(replace(one, reasons=(*one.reasons, counted.told)) for one in first),
        *(one for one in found.ends if one not in first),
    ]
    return replace(found, ends=tuple(ends[: 2 * most]), is_wider=bool(found.ends or found.others), begin_so=())


def _in_row(ends: Sequence[FoundEnd], counted: Counted) -> list[FoundEnd]:
    """Ends of the thing with that number among those called so, or of that place among them."""
    called = {one.tag.tag_id: one.tag for one in ends if is_called(counted, f"{one.tag.kind} {one.tag.name}")}
    row = sorted(called.values(), key=lambda tag: (sort_key(tag.number), tag.order))
    named = next((tag for tag in row if tag.number == counted.mark), None)
    if named is None and counted.place is not None and 0 < counted.place <= len(row):
        named = row[counted.place - 1]
    return [one for one in ends if named is not None and one.tag.tag_id == named.tag_id]


def _numbered(archive: Archive, query: Query) -> list[int]:
    """Things that have the number asked for."""
    if query.number is None:
        return []
    return [tag.tag_id for tag in tags.find_tags_by_number(archive.store, archive.job.job_id, query.number)]


def numbers_near(archive: Archive, words: str) -> tuple[str, ...]:
    """Numbers in use that are near a number that was typed and that nothing has; no answer, only a hint."""
    known = tags.known_numbers(archive.store, archive.job.job_id)
    query = parse_query(words, known)
    return () if query.words or query.number is None else tuple(near_numbers(query.number, known))


def _parted(texts: Sequence[FoundText], typed: str) -> tuple[tuple[FoundText, ...], tuple[FoundText, ...]]:
    """What answers besides things, and of it the bag or snag that was typed by its label: ``B9``, ``bag 9``."""
    said = typed.strip().casefold()
    named = [one for one in texts if said == f"{one.kind} {one.label}".casefold()]
    if not said.isdecimal():  # a number alone is a tag's
        named += [one for one in texts if one.kind in ("bag", "snag") and said == one.label.casefold()]
    return tuple(one for one in texts if one not in named), tuple(named)


def of_number(archive: Archive, number: str) -> tuple[FoundEnd, ...]:
    """Ends of the things that have this number, as it was entered; of each the ends with a picture first."""
    return tuple(
        one
        for tag in tags.find_tags_by_number(archive.store, archive.job.job_id, number)
        if tag.number == number
        for one in _with_picture_first(seen_end(archive, tag, end) for end in tags.find_ends(archive.store, tag.tag_id))
    )


def begin_so(archive: Archive, number: str) -> tuple[FoundEnd, ...]:
    """Ends of things whose numbers begin with these digits, as they were entered."""
    if not number.isdecimal():
        return ()
    begun = [tag for tag in known_tags(archive).values() if tag.number.startswith(number)]
    begun.sort(key=lambda tag: (sort_key(tag.number), tag.order))
    some = begun[:MOST_BEGUN]
    return tuple(seen_end(archive, tag, end) for tag in some for end in tags.find_ends(archive.store, tag.tag_id))


def _holding_most(ends: list[FoundEnd], words: str) -> list[FoundEnd]:
    """Another word narrows: what holds the most of them hides what holds fewer, unless a number among them names it."""
    if any(one.tag.number in words.split() for one in ends):
        return ends
    most = max((len(one.reasons) for one in ends), default=0)
    return [one for one in ends if len(one.reasons) == most]


def _likeliest(archive: Archive, word: str) -> str | None:
    """The word that was most likely meant by one that nothing holds."""
    if len(word) < SHORTEST_MISSPELT or is_trade_word(word) or any(letter.isdecimal() for letter in word):
        return None
    if text_store.is_held(archive.store, word):
        return None
    like = text_store.words_like(archive.store, word, limit=SHORTLIST)
    # A word may have gone from the texts since it was learnt.
    while (found := likeliest(word, like)) is not None and not text_store.is_held(archive.store, found):
        like.remove(found)
    return found


def _rank(archive: Archive, shortlist: list[int], query: Query, most: int) -> list[FoundEnd]:
    """The ends of the short list in order, each with the reasons why it answers."""
    from asfound.core.find.scoring import Found, TagIndex  # needs NumPy, which the first screen does not wait for

    known = {tag_id: tags.get_tag(archive.store, tag_id) for tag_id in shortlist}
    ends = {tag_id: tags.find_ends(archive.store, tag_id) for tag_id in shortlist}
    aliases = tags.list_aliases(archive.store, archive.job.job_id)
    texts = [_text(tag, ends[tag_id], [n for i, n in aliases if i == tag_id]) for tag_id, tag in known.items()]
    found = []
    answers = {answer.tag_id: answer for answer in TagIndex(texts).rank(query, limit=most)}
    # What only the log, a bag or a snag says of a thing has no field to be named after.
    left = [Found(tag_id, None, 0.0, ("in the log, a bag or a snag",)) for tag_id in shortlist if tag_id not in answers]
    for answer in [*answers.values(), *left][:most]:
        wanted = [end for end in ends[answer.tag_id] if answer.end in (None, end.end)]
        ends_found = [seen_end(archive, known[answer.tag_id], end, answer.reasons, answer.score) for end in wanted]
        found += _with_picture_first(ends_found)
    return found


def _with_picture_first(ends: Iterable[FoundEnd]) -> list[FoundEnd]:
    """An end with a picture answers the question "how was it"; one without must not stand in its way."""
    return sorted(ends, key=lambda one: one.as_found is None)


def _text(tag: Tag, ends: Sequence[TagEnd], aliases: Sequence[str]) -> TagText:
    from asfound.core.find.scoring import TagText

    whole, of_ends = slot_texts(tag), [slot_texts(end) for end in ends]
    return TagText(
        tag_id=tag.tag_id,
        number=tag.number,
        order=tag.order,
        aliases=tuple(aliases),
        bag=f"bag {tag.bag}" if tag.bag else "",
        **{slot: "; ".join(whole[slot]) for slot in ("kind", "name", "note", "size")},
        places=tuple(" ".join(one["place"]) for one in of_ends),
        how_it_sat=tuple(" ".join([*one["sat"], *one["note"], *whole["sat"]]) for one in of_ends),
        colours=tuple(" ".join(one["colour"]) for one in of_ends),
        terminals=tuple(" ".join(f"terminal {mark}" for mark in one["terminal"]) for one in of_ends),
    )
