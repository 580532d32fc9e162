"""`asfound snag`: write down what was broken, stuck, missing, to be bought or decided; close it."""

from __future__ import annotations

import click

from asfound.actions import bags, resolve, snags
from asfound.actions.snag_list import snags_as_listed
from asfound.actions.snags import SnagTies
from asfound.cli.bag_lists import snag_document, snag_line
from asfound.cli.moments import at_option, said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json


@click.command(epilog=example('asfound snag "clamp rusted through" --tag 17 --buy "clamp 32 mm"'))
@click.argument("what", nargs=-1)
@click.option("--tag", help="The thing it is about.")
@click.option("--picture", help="A picture that shows it.")
@click.option("--bag", help="The bag it is about.")
@click.option("--place", help="Where, if it has no tag.")
@click.option("--buy", help="What to buy; it goes on the shopping list.")
@click.option("--edit", metavar="SNAG", help="Say more of a snag that is written down.")
@click.option("--close", metavar="SNAG", help="Nothing is left to be done; WHAT then says how that came.")
@click.option("--reopen", metavar="SNAG", help="It is not done after all.")
@click.option("--bought", metavar="SNAG", help="What it asks for was bought.")
@at_option
@json_option
def COMMAND(
    what: tuple[str, ...],
    tag: str | None,
    picture: str | None,
    bag: str | None,
    place: str | None,
    buy: str | None,
    edit: str | None,
    close: str | None,
    reopen: str | None,
    bought: str | None,
    at: str | None,
    as_json: bool,
) -> None:
    """Write down WHAT is the matter; it stays on the list of snags until it is closed."""
    words = " ".join(what)
    if sum(named is not None for named in (edit, close, reopen, bought)) > 1:
        raise click.UsageError("One thing at a time: --edit, --close, --reopen or --bought")
    with opened() as archive, archive.step(f"snag {close or reopen or bought or edit or words[:30]}"):
        label = edit or close or reopen or bought
        snag = None if label is None else snags.get_snag(archive, label)
        ties = SnagTies(
            tag=None if tag is None else resolve.get_tag(archive, tag).tag,
            picture=None if picture is None else resolve.get_picture(archive, picture),
            bag=None if bag is None else bags.get_bag(archive, bag),
            place=place,
            buy=buy,
        )
        if snag is None:
            moment, is_day_only = said_moment(archive, at)
            snag = snags.add_snag(archive, words, ties, at=moment, is_day_only=is_day_only)
        elif close is not None:
            snags.close_snag(archive, snag, words)
        elif reopen is not None:
            snags.reopen_snag(archive, snag)
        elif bought is not None:
            snags.mark_bought(archive, snag)
        elif ties != SnagTies():
            snags.tie_snag(archive, snag.snag_id, ties)
        (listed,) = snags_as_listed(archive, [snags.get_snag(archive, snag.label)])
        if as_json:
            print_json(snag_document(listed))
        else:
            console().print(snag_line(listed))
