"""A line of the log in words."""

from __future__ import annotations

from asfound.model.log import LogLine


def line_words(line: LogLine) -> list[str]:
    """What a line says besides the thing and the event."""
    bag = line.bag if line.bag == "back in place" or not line.bag else f"bag {line.bag}"
    fluid = " ".join(filter(None, (line.amount, line.what)))
    into = f"into {line.container}" if line.container else ""
    by = f"by {line.by_whom}" if line.by_whom else ""
    seen = f"in {line.picture}" if line.picture else ""
    return [part for part in (line.how, seen, fluid, into, line.looks, bag, by, line.note) if part]
