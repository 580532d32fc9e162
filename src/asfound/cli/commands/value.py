"""`asfound value`: type in what the service manual says of a thing, or list it beside what was reached."""

from __future__ import annotations

import click

from asfound.actions.values import drop_value, list_values, not_final, set_value, values_of
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.cli.value_lists import print_values, read_about, values_document


@click.command(epilog=example('asfound value 41 tightening "as typed from the manual" --page 6-12'))
@click.argument("thing", default="")
@click.argument("what", default="")
@click.argument("wanted", required=False)
@click.option("--limits", help='The limits it must stay within: "0.05 to 0.10 mm", "max 0.1 mm".')
@click.option("--page", help="The page of the manual that it is on.")
@click.option("--drop", is_flag=True, help="Take this value away; what was measured stays in the log.")
@click.option("--open", "only_open", is_flag=True, help="List only what is not yet final.")
@json_option
def COMMAND(
    thing: str,
    what: str,
    wanted: str | None,
    limits: str | None,
    page: str | None,
    drop: bool,
    only_open: bool,
    as_json: bool,
) -> None:
    """Enter a value from the service manual of this machine. Without WHAT, list the values entered.

    THING is a tag, or words for what has no number: crankshaft. WHAT is tightening, stages, angle, order, gap, end
    float, limit, or your own word. The tool gives no values of its own. Write down what you reach with: asfound reached
    """
    with opened() as archive:
        about = read_about(archive, thing)
        if what and drop:
            drop_value(archive, about, what)
        elif what:
            set_value(archive, about, what, wanted=wanted, limits=limits, page=page)
        found = values_of(archive, about) if thing else list(list_values(archive))
        if only_open:
            open_ids = {one.value.value_id for one in not_final(archive)}
            found = [one for one in found if one.value.value_id in open_ids]
        if as_json:
            print_json(values_document(archive, found))
            return
        print_values(archive, found)
        if not found:
            console().print("Every value is final." if only_open else "No value is typed in yet.")
