"""`asfound refitted`: write down that something went back, and how."""

from __future__ import annotations

import click

from asfound.actions import log, resolve
from asfound.actions.fit_oddity import oddity
from asfound.actions.values import Reached, reach
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, errors, example, json_option, opened, print_json
from asfound.model.log import HOW_REFITTED


@click.command(epilog=example('asfound refitted 17 --how "by hand"'))
@click.argument("tags", nargs=-1, required=True)
@click.option("--how", type=click.Choice(HOW_REFITTED), help="Fitted is not tight: say which. The latest word counts.")
@click.option(
    "--value", default="", help='The value that was reached, such as "45 Nm". What it must be is in the service manual.'
)
@click.option("--by", "by_whom", default="", help="Who checked it.")
@click.option("--note", default="")
@at_option
@json_option
def COMMAND(
    tags: tuple[str, ...], how: str | None, value: str, by_whom: str, note: str, at: str | None, as_json: bool
) -> None:
    """Write down that TAGS went back, and how they sit now: 17 18, 17,18 or 17-19; 17a for one end.

    A thing counts as refitted once each end that came off is back.
    """
    document = []
    with opened() as archive, archive.step(f"{', '.join(tags)} refitted"):
        moment, is_day_only = said_moment(archive, at)
        # All are looked up before any is written down: what is printed has happened.
        for ref in resolve.get_tags(archive, tags):
            tag = ref.tag
            words_of = f"{tag.number}.{tag.order}" if tag.order > 1 else tag.number
            odd = " ".join(
                filter(None, (oddity(archive, tag, "refitted"), log.time_oddity(archive, tag, "refitted", moment)))
            )
            log.mark_refitted(
                archive, tag, end=ref.end, how=how or "", note=note, by_whom=by_whom, at=moment, is_day_only=is_day_only
            )
            if value:
                reach(archive, tag, Reached(value, by_whom=by_whom), at=moment, is_day_only=is_day_only)
            elif how == "torqued":
                odd = " ".join(filter(None, (odd, f"With what value? asfound reached {words_of} VALUE")))
            document.append({"tag": tag.number, "order": tag.order, "event": "refitted", "how": how or ""})
            if not as_json:
                words = ", ".join(filter(None, (how, value, f"by {by_whom}" if by_whom else "")))
                label = f"{tag.number}{(ref.end or '').lower() if tag.ends == 2 else ''}"
                console().print(f"{label} {tag.name or tag.kind} is refitted{f', {words}' if words else ''}.")
            if odd:
                errors().print(odd)
        if as_json:
            print_json(document)
