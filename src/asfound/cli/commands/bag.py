"""`asfound bag`: what is in a bag, whose it is, where it lies, and its count out and back."""

from __future__ import annotations

from typing import Any, Literal

import click

from asfound.actions import bag_counts, bags, resolve
from asfound.actions.archive import Archive
from asfound.actions.bag_list import bags_as_listed
from asfound.actions.bags import BagWords, GroupWords
from asfound.cli.bag_lists import bag_document, print_bag
from asfound.cli.moments import at_option, by_option, said_moment
from asfound.cli.parts import example, json_option, opened, print_json
from asfound.model.log import Bag

_COUNT = click.IntRange(0, 999_999)


@click.command(epilog=example('asfound bag B4 --for 39 --for 40 --contents "lag bolts, nuts, shims" --out 7'))
@click.argument("label")
@click.option("--for", "tags", multiple=True, metavar="TAG", help="The tag its fasteners belong to.")
@click.option("--not-for", multiple=True, metavar="TAG", help="Remove that tag from the bag.")
@click.option("--name", help="What the bag is called, as on its label.")
@click.option("--contents", help="What is in it, in your own words.")
@click.option("--place", help="Where the bag is: bin 3, hook over the bench.")
@click.option("--group", help="One sort of fastener in it, such as bolts; the options below are about that sort.")
@click.option("--thread", help="Thread of that group: M10, 3/8-24.")
@click.option("--length", "length_mm", metavar="MM", help="Length under the head of that group.")
@click.option("--flats", "across_flats_mm", metavar="MM", help="Across the flats of that group.")
@click.option("--head", "head_mark", metavar="MARK", help="Head mark of that group: 8.8, three lines.")
@click.option("--out", "count_out", type=_COUNT, help="Pieces that went in.")
@click.option("--back", "count_back", type=_COUNT, help="Pieces found when it was opened again.")
@click.option("--rename", metavar="NAME", help="Another name for that group.")
@click.option("--drop", is_flag=True, help="Remove that group from the bag.")
@click.option("--note", help="Anything else.")
@by_option
@at_option
@json_option
def COMMAND(
    label: str,
    tags: tuple[str, ...],
    not_for: tuple[str, ...],
    by_whom: str,
    at: str | None,
    as_json: bool,
    **said: Any,
) -> None:
    """Write down bag LABEL or add to it. With no options, show it.

    Counts stand in the log too, with who counted (--by). A bag with one group needs no --group.
    Fasteners that went back into their own holes are in no bag: asfound off 17 --bag "back in place"
    """
    group = _group(said)
    with opened() as archive, archive.step(f"bag {label} written down"):
        whole = {name: said[name] for name in ("name", "contents", "place", "note")}
        if group is None:
            whole |= {"count_out": None, "count_back": None}
        words = BagWords(**whole)
        is_new = not bags.is_known(archive, label)
        mine = [resolve.get_tag(archive, number).tag for number in tags]
        not_mine = [resolve.get_tag(archive, number).tag for number in not_for]
        if said["rename"] is not None or said["drop"]:
            bag = _change_group(archive, label, said)
        elif words != BagWords() or group or mine or not_mine:
            bag = bags.save_bag(archive, label, words, groups=[group] if group else [], tags=mine, not_tags=not_mine)
        else:
            bag = bags.save_bag(archive, label)
        moment, is_day_only = said_moment(archive, at)
        ways: tuple[Literal["out", "back"], ...] = ("out", "back")
        for way in ways:
            if (pieces := said[f"count_{way}"]) is not None:
                bag_counts.count(
                    *(archive, label, way, str(pieces)),
                    group=said["group"] or "",
                    by_whom=by_whom,
                    at=moment,
                    is_day_only=is_day_only,
                )
        bag = bags.get_bag(archive, label)
        (listed,) = bags_as_listed(archive, [bag])
        if as_json:
            print_json(bag_document(listed))
        else:
            print_bag(listed, "added" if is_new else "")


def _group(said: dict[str, Any]) -> GroupWords | None:
    sizes = {name: said[name] for name in ("thread", "length_mm", "across_flats_mm", "head_mark")}
    if said["group"] is None:
        if any(sizes.values()):
            raise click.UsageError("Name the fasteners first: --group bolts --thread M10")
        return None
    return GroupWords(said["group"], **sizes)


def _change_group(archive: Archive, label: str, said: dict[str, Any]) -> Bag:
    if said["group"] is None:
        raise click.UsageError("Name the group: --group bolts --rename studs, or --group bolts --drop")
    if said["drop"]:
        return bags.drop_group(archive, label, said["group"])
    return bags.rename_group(archive, label, said["group"], said["rename"])
