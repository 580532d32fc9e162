"""What is odd about fitting a thing now: said at once, in one line, and the thing is written down all the same."""

from __future__ import annotations

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.fit import plan_fit
from asfound.actions.to_buy import list_not_renewed
from asfound.core.log.away import find_away, find_broken
from asfound.model.tags import Tag


def oddity(archive: Archive, tag: Tag, kind: str) -> str:
    """One line, empty when nothing is odd. Asked before the event is written down."""
    known = log.oddity(archive, tag, kind)
    if kind == "torque" and plan_fit(archive).record.standing(tag).is_off:
        return f"{tag.number} is still off by the record; if it is on: asfound refitted {tag.number} --how torqued"
    if kind != "refitted":
        return known
    found = [known.rstrip(".")] if known else []
    plan = plan_fit(archive)
    waits = next((one.missing for one in plan.waiting if one.step == tag.tag_id), ())
    if waits:
        found.append(f"{tag.number} was meant to wait for {', '.join(map(plan.name, waits))}")
    lines = log.list_lines(archive)
    away = next((line for line in find_away(lines) if line.tag_id == tag.tag_id), None)
    if away is not None:
        to = f" to {away.by_whom}" if away.by_whom else ""
        found.append(f"{tag.number} was sent out{to} on {away.at:%Y-%m-%d} and nothing says that it came back")
    broken = find_broken(lines).get(tag.tag_id)
    if broken is not None:
        what = f" ({broken.note})" if broken.note else ""
        end = f" at end {broken.end}" if broken.end else ""
        found.append(
            f"{tag.number} was {broken.kind}{end} on {broken.at:%Y-%m-%d}{what} and nothing says that it was repaired "
            "or is a new part"
        )
    elif tag.tag_id in list_not_renewed(archive):
        found.append(f"{tag.number} was to be replaced and nothing says that it is a new part")
    return f"{'; '.join(found)}." if found else ""
