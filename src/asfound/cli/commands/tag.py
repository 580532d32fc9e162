"""`asfound tag`: write down what a number hangs on."""

from __future__ import annotations

import click

from asfound.actions import resolve
from asfound.actions import tag as actions
from asfound.actions.archive import Archive
from asfound.actions.tag import EndWords, TagWords
from asfound.cli.parts import console, errors, example, opened
from asfound.model.tags import KINDS, Tag


@click.command(
    epilog=example('asfound tag 17 --kind hose --name "heat exchanger to thermostat" --place-a "heat exchanger, aft"')
)
@click.argument("number")
@click.option("--kind", metavar="KIND", help=f"One of: {', '.join(KINDS)}.")
@click.option("--name", help="What it is, in your own words.")
@click.option("--ends", type=click.IntRange(1, 2), help="1 or 2; brackets have one unless said otherwise.")
@click.option("--place-a", help='Where end A sits; "not found" and "open end" are answers too.')
@click.option("--place-b", help="Where end B sits.")
@click.option("--sat-a", help="How end A sat: clocking, latch, clamp screw, stacking order.")
@click.option("--sat-b", help="How end B sat.")
@click.option("--colour-a", help="Main colour and stripe at end A, such as RD/BK.")
@click.option("--colour-b", help="Main colour and stripe at end B.")
@click.option("--capped", "capped", multiple=True, type=click.Choice(["a", "b"]), help="This end is capped.")
@click.option("--open", "uncapped", multiple=True, type=click.Choice(["a", "b"]), help="This end is not capped.")
@click.option("--tape-lost", multiple=True, type=click.Choice(["a", "b"]), help="The tape of this end came off.")
@click.option("--flow", help='Direction of flow or motion: "A to B", "B to A" or "both".')
@click.option("--size", help="Bore, section, ways, belt size or thread.")
@click.option("--note", help="Anything else.")
@click.option("--another", is_flag=True, help="A second thing with a number that is in use already.")
@click.option("--renumber", metavar="NUMBER", help="Give the tag another number.")
@click.option("--remove", is_flag=True, help="Remove the tag with its pins and log; undo brings it back.")
def COMMAND(
    number: str,
    kind: str | None,
    name: str | None,
    ends: int | None,
    place_a: str | None,
    place_b: str | None,
    sat_a: str | None,
    sat_b: str | None,
    colour_a: str | None,
    colour_b: str | None,
    capped: tuple[str, ...],
    uncapped: tuple[str, ...],
    tape_lost: tuple[str, ...],
    flow: str | None,
    size: str | None,
    note: str | None,
    another: bool,
    renumber: str | None,
    remove: bool,
) -> None:
    """Add a tag, or change what is said about it.

    Numbers are text as written on the tape; they may repeat and skip. Nothing but the number is needed.
    """
    words = TagWords(kind=kind, name=name, ends=ends, note=note, flow=flow, size=size)

    def end_words(letter: str, place: str | None, sat: str | None, colour: str | None) -> EndWords:
        cap = True if letter in capped else False if letter in uncapped else None
        return EndWords(place, sat, colour, cap, True if letter in tape_lost else None)

    with opened() as archive, archive.step(f"tag {number} written down"):
        known = [] if another else resolve.find_tags(archive, number)
        if remove:
            actions.remove_tag(archive, resolve.get_tag(archive, number).tag)
            console().print(f"{number} is removed. Take that back with: asfound undo", markup=False)
            return
        fresh = not known
        tag = actions.add_tag(archive, number, words) if fresh else _change(archive, number, words)
        actions.change_end(archive, tag, "A", end_words("a", place_a, sat_a, colour_a))
        actions.change_end(archive, tag, "B", end_words("b", place_b, sat_b, colour_b))
        if renumber is not None:
            tag = actions.renumber_tag(archive, tag, renumber)
        console().print(f"{tag.number}  {tag.kind}  {tag.name}  {'added' if fresh else 'changed'}", markup=False)
        if tag.order > 1:
            errors().print(
                f"Number {tag.number} is on {tag.order} things now; this one answers to {tag.number}.{tag.order}."
            )


def _change(archive: Archive, number: str, words: TagWords) -> Tag:
    return actions.change_tag(archive, resolve.get_tag(archive, number).tag, words)
