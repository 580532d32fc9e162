"""The book for the bench: the record as a PDF, in the order of the way back, enough with the computer dead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from zoneinfo import ZoneInfo

from asfound.actions import fit, tag_card
from asfound.actions.archive import Archive
from asfound.actions.book_documents import pictures_of_documents, read_documents
from asfound.actions.book_lists import BookLists, Chosen
from asfound.actions.book_pictures import BookPictures, PictureCutter, count_pictures
from asfound.actions.book_tags import BookTags
from asfound.actions.book_walk import read_walk
from asfound.actions.fit import FitPlan
from asfound.actions.hold_list import read_hold
from asfound.actions.pdf_file import check_target, save_pdf
from asfound.actions.progress import Progress, quiet
from asfound.core.refit.steps import HoldPoint, Lift, OwnStep
from asfound.core.sheets.book.content import BookContent, GapPart, HoldEntry, SnagEntry, TagEntry
from asfound.core.sheets.book.parts import tag_anchor
from asfound.core.sheets.choose import choose_numbers
from asfound.core.sheets.kind import sheet_kinds
from asfound.core.sheets.marks import Sheets


@dataclass(frozen=True, slots=True)
class BookReport:
    """What was printed.

    Attributes
    ----------
    tags : tuple of (TagEntry, int)
        Every thing with the page it is on, in the order of the book.
    sections : tuple of (str, int)
    missing : mapping
        File names of pictures that could not be read, with the reason.
    """

    path: Path
    pages: int
    size_bytes: int
    tags: tuple[tuple[TagEntry, int], ...]
    sections: tuple[tuple[str, int], ...]
    missing: dict[str, str]


def write_book(
    archive: Archive,
    path: Path,
    *,
    paper: str = "A4",
    numbers: str = "",
    replace: bool = False,
    progress: Progress = quiet,
) -> BookReport:
    """Write the book, whole or not at all.

    Parameters
    ----------
    paper : str
        One of `PAPERS_MM`.
    numbers : str
        "1-20,25": only these tags and what belongs to them; empty for all.

    Raises
    ------
    Misused
        If the file is there already and `replace` is false, or it cannot be written where it should be.
    NotFound
        If `numbers` names a tag that there is none of.
    """
    check_target(path, "book", replace=replace)
    from asfound.output.paper.fonts import FontRuler
    from asfound.output.paper.pdf import write_pdf

    content, pictures = read_content(archive, numbers)
    sheets = sheet_kinds()["book"].lay_out(content, paper, FontRuler())
    total = count_pictures(mark for page in sheets.pages for mark in page.marks)
    cutter = PictureCutter(archive, {**pictures.known, **pictures_of_documents(archive)}, _counting(progress, total))
    pdf = write_pdf(sheets, cutter.cut)
    save_pdf(path, pdf)
    return _report(path, pdf, sheets, content, cutter.missing)


def read_content(archive: Archive, numbers: str = "") -> tuple[BookContent, BookPictures]:
    """Everything that the book tells, and its pictures."""
    plan = fit.plan_fit(archive)
    cards = tag_card.read_cards(archive)
    wanted = choose_numbers(numbers, {card.tag.number for card in cards.values()}) if numbers.strip() else None

    def chosen(tag_id: int) -> bool:
        return wanted is None or (tag_id in cards and cards[tag_id].tag.number in wanted)

    pictures = BookPictures(archive, cards)
    return _gather(archive, plan, BookTags(archive, plan, cards, pictures), pictures, chosen, numbers), pictures


def _gather(
    archive: Archive, plan: FitPlan, tags: BookTags, pictures: BookPictures, chosen: Chosen, numbers: str
) -> BookContent:
    job = archive.job
    lists = BookLists(archive, tags.cards, chosen)
    steps = tuple(
        tags.entry(step) if isinstance(step, int) else step
        for step in plan.order.steps
        if not isinstance(step, int) or chosen(step)
    )
    in_steps = set(plan.order.steps)
    rest = [tag.tag_id for tag in plan.record.in_order if tag.tag_id not in in_steps and chosen(tag.tag_id)]
    not_off = tuple(map(tags.entry, rest))
    days = sorted({*lists.moments(), *pictures.days(archive.job.zone)})
    note, note_day = lists.last_note()
    listed = pictures.list_spots(chosen)
    open_gaps, all_snags = lists.gaps(), lists.snags()
    return BookContent(
        job=job.name,
        front_means=job.front_means,
        left_means=job.left_means,
        turning_means=job.turning_means,
        printed=f"{archive.now().astimezone(ZoneInfo(job.zone)):%Y-%m-%d}",
        first_day=days[0] if days else "",
        last_day=days[-1] if days else "",
        chosen=f"Only tags {numbers.strip()} and what belongs to them." if numbers.strip() else "",
        note=note,
        note_day=note_day,
        counts=_counts(plan, (*_entries(steps), *not_off), all_snags, open_gaps),
        steps=steps,
        not_off=not_off,
        warnings=plan.warnings,
        holds=tuple(_hold(archive, hold) for hold in HoldPoint),
        bags=tuple(lists.bags()),
        belts=tuple(lists.belts()),
        snags=tuple(all_snags),
        fluids=tuple(lists.fluids()),
        sent_out=tuple(lists.sent_out()),
        to_buy=tuple(lists.to_buy()),
        values=tuple(lists.values()),
        gaps=tuple(open_gaps),
        documents=tuple(read_documents(archive, pictures)) if chosen(0) else (),
        walk=tuple(read_walk(archive, pictures)) if chosen(0) else (),
        overviews=tuple(pictures.list_overviews({spot.spot_id for spot in listed})),
        spots=tuple(listed),
        days=tuple(lists.days()),
    )


def _entries(steps: Iterable[TagEntry | HoldPoint | Lift | OwnStep]) -> Iterator[TagEntry]:
    return (step for step in steps if isinstance(step, TagEntry))


def _counts(
    plan: FitPlan, entries: Sequence[TagEntry], snags: Sequence[SnagEntry], gaps: Sequence[GapPart]
) -> tuple[tuple[str, str], ...]:
    """What the cover counts, in words."""
    ends = [end for entry in entries for end in entry.ends]
    seen = sum(end.picture is not None for end in ends)
    mine = {entry.tag_id for entry in entries}
    states = Counter(one.state for one in plan.not_tight if one.tag_id in mine)
    loose = states["by hand"] + states["not said"]
    to_do = f"{states['not fitted']} off, {loose} refitted but not recorded as tight"
    lacking = sum(len(part.lines) for part in gaps)
    return (
        ("tags", f"{len(entries)}: {to_do}"),
        ("ends", f"{len(ends)}, of which {seen} have a photo from before they came off"),
        ("snags open", str(sum(snag.is_open for snag in snags))),
        ("gaps open", f"{lacking} line{'' if lacking == 1 else 's'} in the list of gaps"),
    )


def _hold(archive: Archive, point: HoldPoint) -> HoldEntry:
    hold = read_hold(archive, point)
    looked = f"Looked at on {hold.looked}." if hold.looked else ""
    return HoldEntry(point, tuple((line.why, line.is_sure) for line in hold.lines), hold.words, looked)


def _counting(progress: Progress, total: int) -> Callable[[], None]:
    done = count(1)
    return lambda: progress("printing pictures", next(done), total)


def _report(path: Path, pdf: bytes, sheets: Sheets, content: BookContent, missing: dict[str, str]) -> BookReport:
    pages = sheets.anchor_pages
    return BookReport(
        path=path,
        pages=len(sheets.pages),
        size_bytes=len(pdf),
        tags=tuple((entry, pages[tag_anchor(entry.tag_id)]) for entry in content.tags),
        sections=tuple((page.heading, number) for number, page in enumerate(sheets.pages, 1) if page.heading),
        missing=missing,
    )
