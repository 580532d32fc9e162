"""`asfound resume`: where was I: the last day's work, what is open, and what comes next."""

from __future__ import annotations

from collections.abc import Sequence

import click

from asfound.actions.archive import Archive
from asfound.actions.bag_list import bags_as_listed
from asfound.actions.log_list import as_listed
from asfound.actions.phases import cautions_now
from asfound.actions.resume import WhereWasI, where_was_i
from asfound.actions.snag_list import snags_as_listed
from asfound.cli.bag_lists import bag_document, bag_line, snag_document, snag_line
from asfound.cli.json_documents import gaps_document
from asfound.cli.lines import line_document, print_lines
from asfound.cli.parts import console, example, json_option, opened, print_json, settle
from asfound.core.codes.facing import meanings_line

MOST_SHOWN = 6


@click.command(epilog=example("asfound resume"))
@json_option
def COMMAND(as_json: bool) -> None:
    """Show the last day's work, what is off, what to look at, to buy and to count, and what comes next."""
    with opened() as archive:
        settle(archive)
        found = where_was_i(archive)
        lines, open_snags = as_listed(archive, found.lines), snags_as_listed(archive, found.open_snags)
        to_count = bags_as_listed(archive, found.to_count)
        if as_json:
            print_json(
                {
                    "day": None if found.day is None else found.day.isoformat(),
                    "lines": [line_document(line) for line in lines],
                    "pictures": found.pictures,
                    "note": found.note,
                    "note_day": None if found.note_day is None else found.note_day.isoformat(),
                    "came_off_last": list(found.came_off_last),
                    "off_day": None if found.off_day is None else found.off_day.isoformat(),
                    "pause": None if found.pause is None else [day.isoformat() for day in found.pause],
                    "off": list(found.still_off),
                    "by_hand": list(found.by_hand),
                    "away": list(found.away),
                    "not_final": list(found.not_final),
                    "not_filled": list(found.not_filled),
                    "gaps": gaps_document(found.closable),
                    "other_gaps": found.other_gaps,
                    "snags": [snag_document(snag) for snag in open_snags],
                    "to_buy": list(found.to_buy),
                    "to_count": [bag_document(bag) for bag in to_count],
                    "look_again": list(found.look_again),
                    "next": list(found.next_up),
                    "cautions": [caution.text for caution in cautions_now(archive)],
                }
            )
            return
        out = console()
        out.print(archive.job.name, style="bold")
        if found.note:
            out.print(f"Handed over on {found.note_day}: {found.note}")
        out.print(meanings_line(archive.job), style="dim")
        if found.day is None:
            out.print("Nothing has happened yet. Bring pictures in with: asfound add FOLDER")
            _cautions(archive)
            return
        out.print(_last_day(found))
        print_lines(lines[-MOST_SHOWN:], archive.job.zone)
        if found.pause:
            first, last = found.pause
            out.print(f"The longest pause was {(last - first).days} days, from {first} to {last}")
        _list(f"Came off last, on {found.off_day}", found.came_off_last)
        _list("Still off", found.still_off)
        _list("Fitted by hand only", found.by_hand)
        _list("Sent out and not back", found.away)
        _list("Values from the manual not yet final", found.not_final)
        _list("Drained and not filled", found.not_filled)
        _list("Check on the machine while you still can", [gap.why for gap in found.closable])
        if found.other_gaps:
            out.print(f"{found.other_gaps} more gaps: asfound gaps")
        _list("Open snags", [snag_line(snag) for snag in open_snags])
        _list("To buy", found.to_buy)
        _list("Bags to count", [bag_line(bag) for bag in to_count])
        _list("Looked over, not recorded as right", found.look_again)
        _list("Free to fit next", found.next_up)
        _cautions(archive)


def _cautions(archive: Archive) -> None:
    for caution in cautions_now(archive):
        console().print(caution.text, style="dim")


def _last_day(found: WhereWasI) -> str:
    lines = len(found.lines)
    told = f"{lines} line{'' if lines == 1 else 's'} in the log, {found.pictures} pictures"
    older = f", the last {MOST_SHOWN}" if lines > MOST_SHOWN else ""
    return f"Last worked on {found.day}: {told}{older}"


def _list(heading: str, lines: Sequence[str]) -> None:
    if not lines:
        return
    out = console()
    out.print(f"{heading} ({len(lines)})", style="bold")
    for line in lines[:MOST_SHOWN]:
        out.print(f"  {line.strip()}")
    if len(lines) > MOST_SHOWN:
        out.print(f"  and {len(lines) - MOST_SHOWN} more")
