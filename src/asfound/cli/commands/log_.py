"""`asfound log`: what came off and went back, in order."""

from __future__ import annotations

import click

from asfound.actions.log import list_events
from asfound.actions.tag import list_tags
from asfound.cli.json_documents import moment
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command("log", epilog=example("asfound log"))
@json_option
def COMMAND(as_json: bool) -> None:
    """Show what came off and what went back, in the order in which it happened."""
    with opened() as archive:
        tags = {tag.tag_id: tag for tag in list_tags(archive)}
        document = [
            {
                "at": moment(event.at),
                "tag": tags[event.tag_id].number,
                "name": tags[event.tag_id].name,
                "event": event.kind,
                "how": event.how,
                "bag": event.bag,
                "note": event.note,
            }
            for event in list_events(archive)
        ]
        if as_json:
            print_json(document)
            return
        for row in document:
            parts = [str(row["at"]), f"{row['tag']:>5}", f"{row['event']:<9}", str(row["name"])]
            parts += [
                f"({row['how']})" if row["how"] else "",
                f"bag {row['bag']}" if row["bag"] else "",
                str(row["note"]),
            ]
            console().print("  ".join(part for part in parts if part), markup=False)
        if not document:
            console().print("Nothing has come off yet. Write it down with: asfound off 17 --bag 4")
