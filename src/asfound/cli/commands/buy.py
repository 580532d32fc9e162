"""`asfound buy`: one list of what to buy, and what was ordered and arrived."""

from __future__ import annotations

import click

from asfound.actions import resolve, snags
from asfound.actions.archive import Archive
from asfound.actions.to_buy import About, drop_purchase, list_to_buy, note_purchase
from asfound.cli.buy_lists import print_to_buy
from asfound.cli.moments import said_moment
from asfound.cli.parts import example, json_option, opened

TODAY = "today"


@click.command(epilog=example('asfound buy 12 --part-number "A-204" --price "38.50 EUR" --ordered'))
@click.argument("thing", default="")
@click.option("--as", "what", help="What to buy exactly, in your own words.")
@click.option("--part-number")
@click.option("--price", help="As it stands on the offer, with its currency.")
@click.option("--shop", help="From whom.")
@click.option("--ordered", is_flag=False, flag_value=TODAY, metavar="[DAY]", help="It was ordered: today, or on DAY.")
@click.option("--arrived", is_flag=False, flag_value=TODAY, metavar="[DAY]", help="It arrived: today, or on DAY.")
@click.option("--drop", is_flag=True, help="Take what you wrote about it off the list.")
@click.option("--all", "show_all", is_flag=True, help="Also show what has arrived.")
@json_option
def COMMAND(
    thing: str,
    what: str | None,
    part_number: str | None,
    price: str | None,
    shop: str | None,
    ordered: str | None,
    arrived: str | None,
    drop: bool,
    show_all: bool,
    as_json: bool,
) -> None:
    """Put THING on the list to buy, or update it: a tag, a snag ("snag 6"), or your own words.

    Without THING, show the list.

    The list also has tags with the condition replace, what is broken until a new part is written down,
    and what open snags ask to buy.
    """
    with opened() as archive:
        if thing:
            about = _about(archive, thing)
            if drop:
                drop_purchase(archive, about)
            else:
                note_purchase(
                    *(archive, about),
                    what=what,
                    part_number=part_number,
                    price=price,
                    shop=shop,
                    ordered_on=_day(archive, ordered),
                    arrived_on=_day(archive, arrived),
                )
        found = list_to_buy(archive, arrived=show_all or arrived is not None)
        print_to_buy(archive, found, as_json=as_json)


def _about(archive: Archive, thing: str) -> About:
    """A tag by its number, a snag as "snag 1" or "N1", else words of the person's own."""
    if resolve.find_tags(archive, thing) or not any(letter.isalpha() for letter in thing):
        return resolve.get_tag(archive, thing).tag
    return snags.find_snag(archive, thing) or thing


def _day(archive: Archive, said: str | None) -> str | None:
    if said is None or said == TODAY:
        return None if said is None else f"{archive.now():%Y-%m-%d}"
    at, _is_day_only = said_moment(archive, said)
    return None if at is None else f"{at:%Y-%m-%d}"
