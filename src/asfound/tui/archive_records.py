"""`tui.records.Records` over the actions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from asfound.actions import bags, gaps, log, tag
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.codes.cautions import cautions_for
from asfound.core.pins.numbering import sort_key
from asfound.model.log import NOT_SO, Gap, LogLine
from asfound.model.tags import EndLetter
from asfound.store.snags import list_snags
from asfound.tui.records import BagEntry, CardEntry, FitEntry, LogEntry
from asfound.tui.words import day_words, moment_with_year

if TYPE_CHECKING:
    from asfound.actions.archive import Archive
    from asfound.actions.find import FoundEnd
    from asfound.tui.service import FindEntry


class ArchiveRecords:
    """Answers about the written record from one archive."""

    @property
    def archive(self) -> Archive:
        """The archive, over a connection that belongs to the calling thread."""
        raise NotImplementedError

    def _find_entry(self, answer: FoundEnd) -> FindEntry:
        raise NotImplementedError

    def card(self, tag_id: int) -> CardEntry:
        archive = self.archive
        card = archive.kept("cards", lambda: read_cards(archive))[tag_id]
        snags = archive.kept("snags", lambda: list_snags(archive.store, archive.job.job_id))
        cautions = tuple(dict.fromkeys(one.text for one in cautions_for([card.tag.hazard], card.tag.kind)))
        return CardEntry(
            label=card.label,
            name=card.tag.name or card.tag.kind,
            fields=tuple(field for field in card.fields if field[0] not in ("name",)),
            notes=tuple(note for note in card.notes if note not in cautions),
            snags=tuple(f"snag {one.label}: {one.what}" for one in snags if one.tag_id == tag_id and one.is_open),
            cautions=cautions,
        )

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        from asfound.actions.find import seen_end

        archive = self.archive
        mine = next((one for one in tag.list_tags(archive) if one.tag_id == tag_id), None)
        if mine is None:
            return None
        ends = tag.list_ends(archive).get(tag_id, ())
        return next((self._find_entry(seen_end(archive, mine, one)) for one in ends if one.end == end), None)

    def off_at_s(self, tag_id: int) -> float | None:
        archive = self.archive
        return archive.kept("off times", lambda: log.off_times_s(archive)).get(tag_id)

    def log_lines(self) -> list[LogEntry]:
        archive = self.archive
        labels = self._labels()
        lines = reversed(log.list_lines(archive))
        return [
            LogEntry(
                line.event_id,
                line.tag_id,
                day_words(line.at.date(), year=True) if line.is_day_only else moment_with_year(line.at),
                labels.get(line.tag_id or 0, "") + line.end,
                f"takes line {line.strikes} back" if line.kind == NOT_SO else line.kind,
                _log_words(line, archive.kept("cards", lambda: read_cards(archive))),
                line.is_struck,
                line.kind != NOT_SO and not line.is_struck,
            )
            for line in lines
        ]

    def strike(self, line: int) -> None:
        log.strike(self.archive, log.get_line(self.archive, line))

    def bags(self) -> list[BagEntry]:
        labels = self._labels()
        entries = []
        for bag in sorted(bags.list_bags(self.archive), key=lambda one: sort_key(one.label)):
            groups = [f"{group.text}{_counts(group.count_out, group.count_back)}" for group in bag.groups]
            detail = "; ".join(filter(None, (bag.contents, *groups, bag.note)))
            mine = tuple(labels[tag_id] for tag_id in bag.tag_ids if tag_id in labels)
            words = bag.name or bag.inside
            entries.append(BagEntry(bag.label, mine, words, bag.place, bag.count_out, bag.count_back, detail))
        return entries

    def count_back(self, label: str, pieces: int) -> None:
        bags.count_back(self.archive, label, pieces)

    def fit_steps(self) -> list[FitEntry]:
        from asfound.actions.fit import plan_fit

        archive = self.archive
        plan = archive.kept("fit plan", lambda: plan_fit(archive))
        labels, cards = self._labels(), archive.kept("cards", lambda: read_cards(archive))
        entries = []
        for step in plan.waiting:
            tag_id = step.step if isinstance(step.step, int) else None
            waits = ", ".join(labels[one] if isinstance(one, int) else f"hold {one}" for one in step.missing)
            loose = ", ".join(labels[one] for one in step.loose)
            if tag_id is None:
                entries.append(FitEntry(None, "hold", f"stop and look: {step.step}", waits, loose, ""))
                continue
            card = cards[tag_id]
            words = card.tag.name or card.tag.kind
            entries.append(FitEntry(tag_id, card.label, words, waits, loose, ", ".join(card.bags)))
        return entries

    def answer_gap(self, gap: Gap, words: str) -> int:
        about = gap.bag or gap.number or ""
        if gap.tag_id is not None:
            about = f"{self._labels()[gap.tag_id]}{(gap.end or '').lower()}"
        return len(gaps.answer_gaps(self.archive, about, words, kind=str(gap.kind)))

    def _labels(self) -> dict[int, str]:
        archive = self.archive
        return {tag_id: card.label for tag_id, card in archive.kept("cards", lambda: read_cards(archive)).items()}


def _log_words(line: LogLine, cards: dict[int, TagCard]) -> str:
    """The thing's name and what a line says besides the event."""
    card = cards.get(line.tag_id or 0)
    name = (card.tag.name or card.tag.kind) if card else ""
    bag = line.bag if line.bag == log.BACK_IN_PLACE or not line.bag else f"bag {line.bag}"
    into = f"into {line.container}" if line.container else ""
    by = f"by {line.by_whom}" if line.by_whom else ""
    return ", ".join(filter(None, (name, line.how, line.amount, line.what, into, line.looks, bag, by, line.note)))


def _counts(out: int | None, back: int | None) -> str:
    return (
        ""
        if out is None and back is None
        else f" ({'?' if out is None else out} out, {'?' if back is None else back} back)"
    )
