"""Snags: what was broken, stuck, missing, to be bought or decided, tied to a thing, a picture or a bag."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from asfound.actions import resolve
from asfound.actions.archive import Archive
from asfound.core.words import fold
from asfound.errors import Misused, NotFound
from asfound.model.log import Bag, Snag
from asfound.model.pictures import Picture
from asfound.model.tags import Tag
from asfound.store import snags

LONGEST_LABEL = 24
_OLD_FORM = re.compile(r"^(snag )?n?(?=\d+$)")


@dataclass(frozen=True, slots=True)
class SnagTies:
    """What a snag is tied to; None leaves it as it is."""

    tag: Tag | None = None
    picture: Picture | None = None
    bag: Bag | None = None
    place: str | None = None
    buy: str | None = None


def add_snag(
    archive: Archive,
    what: str,
    ties: SnagTies | None = None,
    *,
    label: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> Snag:
    """Write a snag down. Without a label it gets the next number. Who found it stands behind the words, in brackets."""
    what = what.strip()
    if not what:
        raise Misused('Say what is the matter: asfound snag add "clamp rusted through" --tag 17')
    known = list_snags(archive)
    label = _check_label(label.strip() or _next_label(known))
    if any(_plain(snag.label) == _plain(label) for snag in known):
        raise Misused(f"There is a snag {label} already; close it with: asfound snag close {label}")
    what = f"{what} ({by_whom.strip()})" if by_whom.strip() else what
    with archive.step(f"snag {label}"):
        snag_id = snags.add_snag(
            archive.store, archive.job.job_id, label, at or archive.now(), is_day_only=is_day_only, what=what
        )
        snag = next(snag for snag in list_snags(archive) if snag.snag_id == snag_id)
        tie_snag(archive, snag, ties or SnagTies())
    return get_snag(archive, label)


def write_snag(archive: Archive, line: str) -> Snag:
    """Write down a snag typed in one line; a number at its beginning ties it to that thing: "17 clamp rusted"."""
    number, _, rest = line.strip().partition(" ")
    named = resolve.find_tags(archive, number) if rest else []
    if len(named) == 1:
        return add_snag(archive, rest, SnagTies(tag=named[0].tag))
    return add_snag(archive, line)


def tie_snag(archive: Archive, snag: Snag, ties: SnagTies) -> None:
    """Tie a snag to a thing, a picture, a bag or a place, or say what to buy."""
    said: dict[str, object] = {}
    if ties.tag is not None:
        said["tag_id"] = ties.tag.tag_id
    if ties.picture is not None:
        said["picture_id"] = ties.picture.picture_id
    if ties.bag is not None:
        said["bag_id"] = ties.bag.bag_id
    said |= {name: word for name, word in (("place", ties.place), ("buy", ties.buy)) if word is not None}
    with archive.step(f"snag {snag.label} changed"):
        snags.change_snag(archive.store, snag.snag_id, **said)


def close_snag(archive: Archive, snag: Snag, how: str = "") -> None:
    """Say that nothing is left to be done about a snag, and how that came."""
    with archive.step(f"snag {snag.label} closed"):
        snags.change_snag(archive.store, snag.snag_id, closed_at=archive.now().isoformat(), closed_how=how)


def reopen_snag(archive: Archive, snag: Snag) -> None:
    """Say that a closed snag is open again."""
    with archive.step(f"snag {snag.label} open again"):
        snags.change_snag(archive.store, snag.snag_id, closed_at="", closed_how="")


def mark_bought(archive: Archive, snag: Snag) -> None:
    """Say that what a snag asks to buy was bought; the snag itself stays open."""
    if not snag.buy:
        raise Misused(
            f"Snag {snag.label} asks for nothing to buy; say what with: asfound snag change {snag.label} --buy WHAT"
        )
    with archive.step(f"{snag.buy} bought"):
        snags.change_snag(archive.store, snag.snag_id, bought_at=archive.now().isoformat())


def list_snags(archive: Archive) -> list[Snag]:
    """Snags in the order in which they were entered."""
    return snags.list_snags(archive.store, archive.job.job_id)


def find_snag(archive: Archive, label: str) -> Snag | None:
    """The snag called so; capitals do not matter, nor "snag" or an N before its number."""
    return next((snag for snag in list_snags(archive) if _plain(snag.label) == _plain(label)), None)


def get_snag(archive: Archive, label: str) -> Snag:
    """The snag called so, whatever its capitals, "snag" or N; `NotFound` if there is none."""
    snag = find_snag(archive, label)
    if snag is not None:
        return snag
    raise NotFound(f"There is no snag {label}. List them with: asfound snags")


def _next_label(known: list[Snag]) -> str:
    used = [int(digits) for snag in known if (digits := _plain(snag.label)).isdecimal() and len(digits) < 9]
    return str(max(used, default=0) + 1)


def _plain(label: str) -> str:
    """A label without what does not tell it from others: "N4", "snag 4" and "4" are one."""
    return _OLD_FORM.sub("", fold(label.strip()))


def _check_label(label: str) -> str:
    if len(label) > LONGEST_LABEL or not label.isprintable():
        raise Misused(f'"{label[:12]}" cannot be what a snag is called; take something short, such as 4.')
    return label
