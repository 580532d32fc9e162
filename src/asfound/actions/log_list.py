"""The log as it is listed: each line with the thing it is about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.tag_card import TagCard, read_cards
from asfound.model.log import FILLED, NOT_SO, LogLine
from asfound.model.tags import Tag


@dataclass(frozen=True, slots=True)
class ListedLine:
    """A line of the log; `card` is None where it is about no thing with a number."""

    line: LogLine
    card: TagCard | None

    @property
    def label(self) -> str:
        """The thing and its end, as they are typed: "17b", "12.2"; empty for none."""
        return "" if self.card is None else f"{self.card.label}{self.line.end.lower()}"

    @property
    def name(self) -> str:
        """What the thing is called; empty for none."""
        return "" if self.card is None else self.card.called

    @property
    def happened(self) -> str:
        """What happened, in a word or two."""
        return f"takes line {self.line.strikes} back" if self.line.kind == NOT_SO else self.line.kind

    @property
    def words(self) -> list[str]:
        """What the line says besides."""
        return _line_words(self.line)

    @property
    def can_be_struck(self) -> bool:
        """Whether it stands, and says itself what happened."""
        return self.line.kind != NOT_SO and not self.line.is_struck


def list_log(archive: Archive, tag: Tag | None = None) -> list[ListedLine]:
    """Every line, or those of one thing, in the order in which things happened."""
    return as_listed(archive, log.list_lines(archive, tag))


def as_listed(archive: Archive, lines: Iterable[LogLine]) -> list[ListedLine]:
    """Lines with the things they are about."""
    cards = read_cards(archive)
    return [ListedLine(line, cards.get(line.tag_id or 0)) for line in lines]


def _line_words(line: LogLine) -> list[str]:
    """What a line says besides the thing and the event."""
    bag = line.bag if line.bag == "back in place" or not line.bag else f"bag {line.bag}"
    fluid = " ".join(filter(None, (line.amount, line.what)))
    container = f"{'from' if line.kind == FILLED else 'into'} {line.container}" if line.container else ""
    by = f"{'to' if line.kind == 'sent out' else 'by'} {line.by_whom}" if line.by_whom else ""
    promised = f"promised for {line.promised}" if line.promised else ""
    seen = f"in {line.picture}" if line.picture else ""
    parts = (line.how, seen, fluid, line.grade, container, line.looks, bag, by, promised, line.note)
    return [part for part in parts if part]
