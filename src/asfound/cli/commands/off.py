"""`asfound off`: write down that something came off."""

from __future__ import annotations

import click

from asfound.actions import log, resolve
from asfound.actions.fit import cautions_due
from asfound.actions.fit_oddity import oddity
from asfound.cli.moments import at_option, by_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json


@click.command(epilog=example('asfound off 17 --bag 4 --note "clamp rusted through"'))
@click.argument("tags", nargs=-1, required=True)
@click.option("--bag", default="", help='The bag its fasteners went to, or "back in place" (their own holes).')
@click.option("--note", default="")
@by_option
@at_option
@json_option
def COMMAND(tags: tuple[str, ...], bag: str, note: str, by_whom: str, at: str | None, as_json: bool) -> None:
    """Write down that TAGS came off, and where their fasteners went: 17 18, 17,18 or 17-19; 17a for one end."""
    document = []
    with opened() as archive:
        with archive.step(f"{', '.join(tags)} off"):
            moment, is_day_only = said_moment(archive, at)
            # All are looked up before any is written down: what is printed has happened.
            for ref in resolve.get_tags(archive, tags):
                tag = ref.tag
                odd = " ".join(
                    filter(None, (oddity(archive, tag, "off"), log.time_oddity(archive, tag, "off", moment)))
                )
                said = {"bag": bag, "note": note, "by_whom": by_whom}
                event = log.mark_off(archive, tag, **said, end=ref.end, at=moment, is_day_only=is_day_only)
                where = f", fasteners: {event.bag if event.bag == log.BACK_IN_PLACE else f'bag {event.bag}'}"
                document.append({"tag": tag.number, "order": tag.order, "event": "off", "bag": event.bag})
                if not as_json:
                    label = f"{tag.number}{event.end.lower()}"
                    console().print(f"{label} {tag.name or tag.kind} is off{where if event.bag else ''}.")
                if odd:
                    errors().print(odd)
        if as_json:
            print_json(document)
            return
        for caution in cautions_due(archive, "disconnect"):
            console().print(caution)
