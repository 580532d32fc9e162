"""`asfound off`: write down that something came off."""

from __future__ import annotations

import click

from asfound.actions import log, resolve
from asfound.actions.fit import cautions_due
from asfound.actions.fit_oddity import oddity
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json


@click.command(epilog=example('asfound off 17 --bag 4 --note "clamp rusted through"'))
@click.argument("tags", nargs=-1, required=True)
@click.option("--bag", default="", help='The bag its fasteners went to, or "back in place" (their own holes).')
@click.option("--note", default="")
@at_option
@json_option
def COMMAND(tags: tuple[str, ...], bag: str, note: str, at: str | None, as_json: bool) -> None:
    """Write down that TAGS came off, and where their fasteners went."""
    document = []
    with opened() as archive:
        with archive.step(f"{', '.join(tags)} off"):
            moment, is_day_only = said_moment(archive, at)
            # All are looked up before any is written down: what is printed has happened.
            for tag in [resolve.get_tag(archive, words).tag for words in tags]:
                odd = " ".join(
                    filter(None, (oddity(archive, tag, "off"), log.time_oddity(archive, tag, "off", moment)))
                )
                event = log.mark_off(archive, tag, bag=bag, note=note, at=moment, is_day_only=is_day_only)
                where = f", fasteners: {event.bag if event.bag == log.BACK_IN_PLACE else f'bag {event.bag}'}"
                document.append({"tag": tag.number, "order": tag.order, "event": "off", "bag": event.bag})
                if not as_json:
                    console().print(f"{tag.number} {tag.name or tag.kind} is off{where if event.bag else ''}.")
                if odd:
                    errors().print(odd)
        if as_json:
            print_json(document)
            return
        for caution in cautions_due(archive, "disconnect"):
            console().print(caution)
