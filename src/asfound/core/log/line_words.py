"""A line of the log in words."""

from __future__ import annotations

from asfound.model.log import FILLED, LogLine


def line_words(line: LogLine) -> list[str]:
    """What a line says besides the thing and the event."""
    bag = line.bag if line.bag == "back in place" or not line.bag else f"bag {line.bag}"
    fluid = " ".join(filter(None, (line.amount, line.what)))
    container = f"{'from' if line.kind == FILLED else 'into'} {line.container}" if line.container else ""
    by = f"{'to' if line.kind == 'sent out' else 'by'} {line.by_whom}" if line.by_whom else ""
    promised = f"promised for {line.promised}" if line.promised else ""
    seen = f"in {line.picture}" if line.picture else ""
    parts = (line.how, seen, fluid, line.grade, container, line.looks, bag, by, promised, line.note)
    return [part for part in parts if part]
