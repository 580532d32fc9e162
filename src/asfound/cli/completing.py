"""What a shell offers after Tab: tag numbers, bags, snags, cameras, spots, pictures and kinds of this job.

An argument or option is completed by what it, or its value, is called (`tag`, `bag`, `SNAG`, ...), so commands say
nothing of it themselves. Trouble is silent: a person who presses Tab wants a word or nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import click
from click.shell_completion import CompletionItem

from asfound.actions.archive import Archive, open_archive
from asfound.actions.bags import list_bags
from asfound.actions.clock import list_cameras
from asfound.actions.snags import list_snags
from asfound.actions.spots import list_spots
from asfound.actions.tag import list_tags
from asfound.cli.places import counted
from asfound.cli.terminal import clean
from asfound.core.pins.numbering import sort_key
from asfound.model.tags import KINDS
from asfound.store.pictures import list_clips, list_pictures

Offer = tuple[str, str]
"""A word, and what it means, for shells that show that."""

MOST = 200
"""Nobody reads more; another letter narrows them down."""


def tags(archive: Archive) -> Iterable[Offer]:
    """Numbers in natural order."""
    known = sorted(list_tags(archive), key=lambda tag: (sort_key(tag.number), tag.order))
    return dict.fromkeys((tag.number, tag.name or tag.kind) for tag in known)


def cameras(archive: Archive) -> Iterable[Offer]:
    """For each camera the shortest word of its name that no other has, else its id."""
    known = list_cameras(archive)
    names = [camera.name.casefold() for camera in known]
    for camera in known:
        words = [word for word in camera.name.split() if sum(word.casefold() in name for name in names) == 1]
        yield min(words, key=len, default=str(camera.camera_id)), camera.name


def spots(archive: Archive) -> Iterable[Offer]:
    """Numbers of spots with their names."""
    return ((str(spot.spot_id), spot.name or counted(len(spot.picture_ids), "picture")) for spot in list_spots(archive))


def pictures(archive: Archive) -> Iterable[Offer]:
    """File names in order of time."""
    return ((picture.file, "") for picture in list_pictures(archive.store, archive.job.job_id))


def clips(archive: Archive) -> Iterable[Offer]:
    """File names in order of time."""
    return ((clip.file, f"{clip.duration_s:.0f} s") for clip in list_clips(archive.store, archive.job.job_id))


def bags(archive: Archive) -> Iterable[Offer]:
    """Labels in natural order, with what the bags are for."""
    known = sorted(list_bags(archive), key=lambda bag: sort_key(bag.label))
    return ((bag.label, bag.name or bag.inside) for bag in known)


def snags(archive: Archive) -> Iterable[Offer]:
    """Labels of all snags, the open ones first: those are what is spoken of."""
    known = sorted(list_snags(archive), key=lambda snag: (not snag.is_open, sort_key(snag.label)))
    return ((snag.label, snag.what) for snag in known)


def kinds(archive: Archive) -> Iterable[Offer]:
    """Kinds of things that carry a tag."""
    return ((kind, "") for kind in KINDS)


BY_NAME: dict[str, Callable[[Archive], Iterable[Offer]]] = {
    "tag": tags,
    "tags": tags,
    "what": tags,
    "number": tags,
    "camera": cameras,
    "spot": spots,
    "other": spots,
    "picture": pictures,
    "pictures": pictures,
    "photo": pictures,
    "before": pictures,
    "after": pictures,
    "same_as": pictures,
    "clip": clips,
    "kind": kinds,
    "bag": bags,
    "bags": bags,
    "label": bags,
    "snag": snags,
}


class Offered(click.ParamType[str]):
    """Text that the shell completes with what the archive holds."""

    name = "text"

    def __init__(self, offers: Callable[[Archive], Iterable[Offer]]) -> None:
        self._offers = offers

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        chosen = ctx.find_root().params
        try:
            with open_archive(chosen.get("folder"), job_id=chosen.get("job_id")) as archive:
                fitting = [offer for offer in self._offers(archive) if _fits(offer[0], incomplete)]
        except Exception:  # Whatever is wrong with the archive is said when the command runs.
            fitting = []
        if not fitting and self._offers is pictures:
            return [CompletionItem(incomplete, type="file")]
        return [CompletionItem(word, help=clean(meaning) or None) for word, meaning in fitting[:MOST]]


def teach(command: click.Command) -> None:
    """Let the arguments and options of a command be completed by their names, or by what stands for their value."""
    _teach(command.params)
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            teach(inner)


def _teach(parameters: Sequence[click.Parameter]) -> None:
    for parameter in parameters:
        offers = BY_NAME.get(parameter.name or "") or BY_NAME.get((parameter.metavar or "").casefold())
        if parameter.type is click.STRING and offers is not None:
            parameter.type = Offered(offers)


def _fits(word: str, incomplete: str) -> bool:
    """A word that the shell would have to be told to quote is not offered."""
    plain = word == clean(word) and not any(c in word for c in " \t'\"\\$`!&|;<>()*?#~")
    return plain and word.casefold().startswith(incomplete.casefold())
