"""`tui.records.Records` over the actions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from asfound.actions import bags, gaps, log, resolve, snags
from asfound.actions.tag_card import TagCard, read_cards
from asfound.core.codes.cautions import cautions_for, cautions_of
from asfound.core.log.looks import look_words
from asfound.core.pins.numbering import sort_key
from asfound.core.refit.steps import HoldPoint
from asfound.model.log import NOT_SO, Gap, LogLine
from asfound.model.tags import EndLetter
from asfound.store.pictures import get_picture
from asfound.tui.archive_base import KeptArchive
from asfound.tui.records import BagEntry, CardEntry, FitEntry, HoldEntry, HoldRow, LogEntry, LookEntry, SnagEntry
from asfound.tui.words import day_words, moment_with_year

if TYPE_CHECKING:
    from datetime import datetime


class ArchiveRecords(KeptArchive):
    """Answers about the written record from one archive."""

    def card(self, tag_id: int) -> CardEntry:
        archive = self.archive
        card = read_cards(archive)[tag_id]
        known = archive.kept("snags", lambda: snags.list_snags(archive))
        cautions = tuple(dict.fromkeys(one.text for one in cautions_for([card.tag.hazard], card.tag.kind)))
        return CardEntry(
            label=card.label,
            name=card.tag.name or card.tag.kind,
            fields=tuple(field for field in card.fields if field.name != "name"),
            notes=tuple(note for note in card.notes if note not in cautions),
            snags=tuple(f"snag {one.label}: {one.what}" for one in known if one.tag_id == tag_id and one.is_open),
            cautions=cautions,
        )

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
                _log_words(line, read_cards(archive)),
                line.is_struck,
                line.kind != NOT_SO and not line.is_struck,
            )
            for line in lines
        ]

    def strike(self, line: int) -> None:
        log.strike(self.archive, log.get_line(self.archive, line))

    def write_happened(self, words: str) -> str:
        from asfound.actions.log_words import write_words

        return write_words(self.archive, words)

    def hand_over(self, note: str) -> None:
        from asfound.actions.resume import hand_over

        hand_over(self.archive, note)

    def note_of_today(self) -> str:
        from asfound.actions.resume import note_of_today

        return note_of_today(self.archive)

    def bags(self) -> list[BagEntry]:
        labels = self._labels()
        entries = []
        for bag in sorted(bags.list_bags(self.archive), key=lambda one: sort_key(one.label)):
            groups = [f"{group.text}{_counts(group.count_out, group.count_back)}" for group in bag.groups]
            detail = "; ".join(filter(None, (bag.contents, *groups, bag.note)))
            mine = tuple(labels[tag_id] for tag_id in bag.tag_ids if tag_id in labels)
            words = bag.name or bag.inside
            known = tuple(tag_id for tag_id in bag.tag_ids if tag_id in labels)
            entries.append(BagEntry(bag.label, mine, words, bag.place, bag.count_out, bag.count_back, detail, known))
        return entries

    def count_back(self, label: str, pieces: int) -> None:
        bags.count_back(self.archive, label, pieces)

    def bag_is_for(self, label: str, numbers: str) -> None:
        archive = self.archive
        mine = [resolve.get_tag(archive, one).tag for one in numbers.replace(",", " ").split()]
        bags.save_bag(archive, label, tags=mine)

    def fit_steps(self) -> list[FitEntry]:
        from asfound.actions.fit import plan_fit
        from asfound.actions.look_over import look_again

        archive = self.archive
        plan = archive.kept("fit plan", lambda: plan_fit(archive))
        labels, cards = self._labels(), read_cards(archive)
        entries = []
        for mine, line in look_again(archive):
            said = look_words(line) + (f" (end {line.end})" if line.end else "")
            entries.append(FitEntry(mine.tag_id, labels[mine.tag_id], mine.name or mine.kind, "", "", "", said=said))
        for step in plan.waiting:
            tag_id = step.step if isinstance(step.step, int) else None
            waits = ", ".join(labels[one] if isinstance(one, int) else plan.name(one) for one in step.missing)
            loose = ", ".join(labels[one] for one in step.loose)
            if tag_id is None:
                is_hold = isinstance(step.step, HoldPoint)
                words = f"stop and look: {step.step}" if is_hold else plan.name(step.step)
                label = "hold" if is_hold else "step"
                entries.append(FitEntry(None, label, words, waits, loose, "", hold=str(step.step)))
                continue
            card = cards[tag_id]
            words = card.tag.name or card.tag.kind
            entries.append(FitEntry(tag_id, card.label, words, waits, loose, ", ".join(card.bags)))
        return entries

    def holds(self) -> list[HoldEntry]:
        archive = self.archive
        return archive.kept("holds", self._hold_entries)

    def _hold_entries(self) -> list[HoldEntry]:
        from asfound.actions import fit

        looked = fit.list_holds(self.archive)
        return [self._hold_entry(point, looked.get(point)) for point in HoldPoint]

    def _hold_entry(self, point: HoldPoint, looked: tuple[datetime, str] | None) -> HoldEntry:
        from asfound.actions import fit

        check = fit.check_hold(self.archive, point)
        by = f" by {looked[1]}" if looked and looked[1] else ""
        return HoldEntry(
            name=str(point),
            rows=tuple(HoldRow(one.why, one.tag_id, one.bag or "", one.snag, one.is_sure) for one in check.lines),
            looked=f"{moment_with_year(looked[0])}{by}" if looked else "",
            cautions=tuple(caution.text for caution in cautions_of(point.phase)),
            are_due=fit.are_cautions_due(self.archive, point.phase),
            words=check.words,
        )

    def cautions_shown(self, hold: str) -> None:
        from asfound.actions import fit

        fit.cautions_due(self.archive, HoldPoint(hold).phase)

    def look_at_hold(self, hold: str, by_whom: str) -> None:
        from asfound.actions import fit

        fit.pass_hold(self.archive, HoldPoint(hold), by_whom)

    def snags(self) -> list[SnagEntry]:
        archive = self.archive
        labels, names = self._labels(), {bag.bag_id: bag.label for bag in bags.list_bags(archive)}
        entries = []
        for one in sorted(snags.list_snags(archive), key=lambda snag: not snag.is_open):
            bag = names.get(one.bag_id or 0, "")
            thing = labels.get(one.tag_id or 0, "")
            day = day_words(one.found_at.date())
            closed = "" if one.is_open else ", ".join(filter(None, (one.closed_how, one.closed_at[:10])))
            tie = ", ".join(filter(None, (thing, bag and f"bag {bag}", one.place)))
            buy = "" if one.bought_at else one.buy
            entries.append(SnagEntry(one.label, one.what, tie, one.tag_id, one.picture_id, bag, buy, day, closed))
        return entries

    def add_snag(self, what: str) -> str:
        archive = self.archive
        number, _, rest = what.strip().partition(" ")
        known = resolve.find_tags(archive, number) if rest else []
        if len(known) == 1:
            return snags.add_snag(archive, rest, snags.SnagTies(tag=known[0].tag)).label
        return snags.add_snag(archive, what).label

    def close_snag(self, label: str, how: str) -> None:
        snag = snags.get_snag(self.archive, label)
        if snag.is_open:
            snags.close_snag(self.archive, snag, how)
        else:
            snags.reopen_snag(self.archive, snag)

    def buy_for_snag(self, label: str, what: str) -> None:
        snag = snags.get_snag(self.archive, label)
        if what:
            snags.tie_snag(self.archive, snag, snags.SnagTies(buy=what))
        else:
            snags.mark_bought(self.archive, snag)

    def looks_for(self, tag_id: int) -> list[LookEntry]:
        from asfound.actions import look_over

        archive = self.archive
        mine = self._tags()[tag_id]
        label = self._labels()[tag_id]
        entries = []
        for one in look_over.pictures_to_look_over(archive, mine):
            at, pin = one.before.pin, one.pinned.pin if one.pinned else None
            end = one.end.end if mine.ends == 2 else ""
            entries.append(
                LookEntry(
                    tag_id=tag_id,
                    end=one.end.end,
                    label=f"{label}{end}",
                    words=f"{label} {end} {mine.name or mine.kind}".replace("  ", " "),
                    before_id=one.before.picture.picture_id,
                    after_id=one.after.picture_id,
                    before_at=(at.x_frac, at.y_frac),
                    after_at=(pin.x_frac, pin.y_frac) if pin else None,
                )
            )
        return entries

    def look_over(
        self,
        tag_id: int,
        answer: str,
        *,
        end: EndLetter | None,
        picture_id: int,
        beside_id: int,
        note: str,
    ) -> str:
        from asfound.actions import look_over

        archive = self.archive
        mine = self._tags()[tag_id]
        now, then = (get_picture(archive.store, one) for one in (picture_id, beside_id))
        done = look_over.look_over(archive, mine, answer, end=end, picture=now, beside=then, note=note)
        return done.snag.label if done.snag else ""

    def answer_gap(self, gap: Gap, words: str) -> int:
        about = gap.subject
        if gap.tag_id is not None:
            about = f"{self._labels()[gap.tag_id]}{(gap.end or '').lower()}"
        return len(gaps.answer_gaps(self.archive, about, words, kind=str(gap.kind)))

    def _labels(self) -> dict[int, str]:
        archive = self.archive
        return {tag_id: card.label for tag_id, card in read_cards(archive).items()}


def _log_words(line: LogLine, cards: Mapping[int, TagCard]) -> str:
    """The thing's name and what a line says besides the event."""
    card = cards.get(line.tag_id or 0)
    name = (card.tag.name or card.tag.kind) if card else ""
    bag = line.bag if line.bag == log.BACK_IN_PLACE or not line.bag else f"bag {line.bag}"
    into = f"into {line.container}" if line.container else ""
    by = f"by {line.by_whom}" if line.by_whom else ""
    seen = f"in {line.picture}" if line.picture else ""
    return ", ".join(filter(None, (name, line.how, seen, line.amount, line.what, into, line.looks, bag, by, line.note)))


def _counts(out: int | None, back: int | None) -> str:
    return (
        ""
        if out is None and back is None
        else f" ({'?' if out is None else out} out, {'?' if back is None else back} back)"
    )
