"""`asfound snag`: write down what was broken, stuck, missing, to be bought or decided; change, close and reopen it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from asfound.actions import bags, resolve, snags
from asfound.actions.archive import Archive
from asfound.actions.snag_list import snags_as_listed
from asfound.actions.snags import SnagTies
from asfound.cli.bag_lists import snag_document, snag_line
from asfound.cli.moments import at_option, by_option, said_moment
from asfound.cli.parts import console, example, json_option, opened, print_json
from asfound.model.log import Snag

F = TypeVar("F", bound=Callable[..., Any])


class _Verbs(click.Group):
    """Names the next move when a verb is missing: a snag is easily typed without one."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and self.get_command(ctx, args[0]) is None:
            raise click.UsageError(
                f'"{args[0]}" is none of: {", ".join(self.commands)}. To write it down: asfound snag add "{args[0]}"',
                ctx,
            )
        return super().resolve_command(ctx, args)


@click.group(cls=_Verbs, epilog=example('asfound snag add "clamp rusted through" --tag 17 --buy "clamp 32 mm"'))
def COMMAND() -> None:
    """Write down what is the matter, and what became of it. To see them: asfound snags"""


def _tie_options(command: F) -> F:
    """What a snag can be tied to."""
    for option in (
        click.option("--buy", help="What to buy. It goes on the shopping list."),
        click.option("--place", help="Where it is, if it has no tag."),
        click.option("--bag", help="The bag it is about."),
        click.option("--picture", help="A picture that shows it."),
        click.option("--tag", help="The tag it is about."),
    ):
        command = option(command)
    return command


@COMMAND.command(epilog=example('asfound snag add "clamp rusted through" --tag 17 --buy "clamp 32 mm"'))
@click.argument("what", nargs=-1)
@_tie_options
@by_option
@at_option
@json_option
def add(what: tuple[str, ...], by_whom: str, at: str | None, as_json: bool, **said: str | None) -> None:
    """Write down WHAT is the matter. It stays on the list of snags until it is closed."""
    words = " ".join(what)
    with opened() as archive, archive.step(f"snag {words[:30]}"):
        moment, is_day_only = said_moment(archive, at)
        snag = snags.add_snag(
            archive, words, _ties(archive, **said), by_whom=by_whom, at=moment, is_day_only=is_day_only
        )
        _show(archive, snag, as_json=as_json)


@COMMAND.command(epilog=example('asfound snag change 3 --tag 17 --buy "clamp 32 mm"'))
@click.argument("snag")
@_tie_options
@json_option
def change(snag: str, as_json: bool, **said: str | None) -> None:
    """Say more of SNAG: its tag, picture, bag or place, or what to buy."""
    with opened() as archive:
        found = snags.get_snag(archive, snag)
        ties = _ties(archive, **said)
        if ties != SnagTies():
            snags.tie_snag(archive, found, ties)
        _show(archive, found, as_json=as_json)


@COMMAND.command(epilog=example("asfound snag close 3 new clamp on"))
@click.argument("snag")
@click.argument("how", nargs=-1)
@json_option
def close(snag: str, how: tuple[str, ...], as_json: bool) -> None:
    """Close SNAG: nothing is left to be done. HOW says how that came."""
    _do(snag, lambda archive, found: snags.close_snag(archive, found, " ".join(how)), as_json=as_json)


@COMMAND.command(epilog=example("asfound snag reopen 3"))
@click.argument("snag")
@json_option
def reopen(snag: str, as_json: bool) -> None:
    """Reopen SNAG: it is not done after all."""
    _do(snag, snags.reopen_snag, as_json=as_json)


@COMMAND.command(epilog=example("asfound snag bought 3"))
@click.argument("snag")
@json_option
def bought(snag: str, as_json: bool) -> None:
    """What SNAG asks to buy was bought. The snag itself stays open."""
    _do(snag, snags.mark_bought, as_json=as_json)


def _do(snag: str, work: Callable[[Archive, Snag], object], *, as_json: bool) -> None:
    with opened() as archive:
        found = snags.get_snag(archive, snag)
        work(archive, found)
        _show(archive, found, as_json=as_json)


def _ties(
    archive: Archive, *, tag: str | None, picture: str | None, bag: str | None, place: str | None, buy: str | None
) -> SnagTies:
    return SnagTies(
        tag=None if tag is None else resolve.get_tag(archive, tag).tag,
        picture=None if picture is None else resolve.get_picture(archive, picture),
        bag=None if bag is None else bags.get_bag(archive, bag),
        place=place,
        buy=buy,
    )


def _show(archive: Archive, snag: Snag, *, as_json: bool) -> None:
    """The snag as it is now."""
    (listed,) = snags_as_listed(archive, [snags.get_snag(archive, snag.label)])
    if as_json:
        print_json(snag_document(listed))
    else:
        console().print(snag_line(listed))
