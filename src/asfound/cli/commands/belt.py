"""`asfound belt`: how a belt ran: which comes off first, its path, arrow, direction and slack."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions.tag import note_belt
from asfound.actions.tag_card import read_card
from asfound.cli.cards import card_document, print_card
from asfound.cli.parts import example, json_option, opened, print_json


@click.command(epilog=example('asfound belt 43 --path "crank, water pump, alternator" --arrow "to engine front"'))
@click.argument("tag")
@click.option("--off", "comes_off", help="Where there are several, the order they come off: first, second.")
@click.option("--path", help="The pulleys in order, and over or under each.")
@click.option("--arrow", help="Where its arrow points, or from which side its print reads.")
@click.option("--turns", help="Which way it runs, and seen from which end.")
@click.option("--slack", help="Slack, or where the tensioner's mark stood.")
@json_option
def COMMAND(tag: str, as_json: bool, **words: str | None) -> None:
    """Write down how the belt TAG ran, or show it."""
    with opened() as archive:
        mine = resolve.get_tag(archive, tag).tag
        said = {name: word for name, word in words.items() if word is not None}
        if said:
            note_belt(archive, mine, **said)
        card = read_card(archive, mine)
        if as_json:
            print_json(card_document(card))
        else:
            print_card(card, "changed" if said else "")
