"""The walk round of a job: what is photographed before anything comes off, and a person's answers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from asfound.actions import log
from asfound.actions.archive import Archive, kept
from asfound.actions.known import known_pictures, known_tags
from asfound.actions.lift import read_lifts
from asfound.core.log.walk_round import WHOLE, listed_items, state_of
from asfound.core.refit.lifts import Moment
from asfound.core.words import fold
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.log import GapKind
from asfound.model.pictures import Picture
from asfound.model.walk import WalkAnswer, WalkItem, WalkStanding
from asfound.store import answers, walk
from asfound.store.documents import is_document

LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class WalkLine:
    """An item as it is listed: how it stands, its pictures, oldest first, and why it is not here."""

    standing: WalkStanding
    pictures: tuple[Picture, ...]
    not_here: str = ""

    @property
    def item(self) -> WalkItem:
        """What is to be photographed."""
        return self.standing.item


@kept
def list_walk(archive: Archive) -> tuple[WalkLine, ...]:
    """Every item in the order of the list, the person's own last."""
    known, order = known_pictures(archive), {one: at for at, one in enumerate(known_pictures(archive))}
    shown: dict[str, list[Picture]] = defaultdict(list)
    reasons: dict[str, str] = {}
    for answer in walk.list_answers(archive.store, archive.job.job_id):
        if answer.picture_id is None:
            reasons[answer.item] = answer.not_here
        elif answer.picture_id in known:
            shown[answer.item].append(known[answer.picture_id])
    went_out = _went_out(archive)
    lines = []
    for item in _items(archive):
        pictures = sorted(shown[item.key], key=lambda one: order[one.picture_id])
        state = state_of(
            in_time=any(not _is_after(one, went_out) for one in pictures),
            pictures=bool(pictures),
            not_here=item.key in reasons,
            went_out=went_out is not None,
        )
        standing = WalkStanding(item, state, tuple(one.file for one in pictures))
        lines.append(WalkLine(standing, tuple(pictures), reasons.get(item.key, "")))
    return tuple(lines)


def walk_standings(archive: Archive) -> tuple[WalkStanding, ...]:
    """How every item stands; none where a person answered the walk round as a whole."""
    answered = answers.answered_gaps(archive.store, archive.job.job_id)
    if (str(GapKind.WALK_ROUND), f"thing {WHOLE}") in answered:
        return ()
    return tuple(line.standing for line in list_walk(archive))


def find_item(archive: Archive, words: str) -> WalkItem:
    """The item with this name, or whose name alone begins so; capitals do not matter.

    Raises
    ------
    NotFound, Ambiguous
    """
    wanted, known = fold(" ".join(words.split())), _items(archive)
    exact = [item for item in known if wanted in (fold(item.name), item.key)]
    found = exact or [item for item in known if wanted and fold(item.name).startswith(wanted)]
    if len(found) == 1:
        return found[0]
    if found:
        raise Ambiguous(f'"{words}" could be {" or ".join(item.name for item in found)}; say more of it.')
    raise NotFound(f'"{words}" is not on the walk round. Put it there with: asfound walk --add "{words}"')


def answer_by(archive: Archive, item: WalkItem, pictures: Sequence[Picture]) -> str:
    """Write down that pictures show an item; what is odd about that, empty when nothing is."""
    files = ", ".join(picture.file for picture in pictures)
    for picture in pictures:
        if is_document(archive.store, picture.picture_id):
            raise Misused(f"{picture.file} is a document and does not show how the machine was found; name a photo.")
    with archive.step(f"walk round, {item.name}: {files}"):
        for picture in pictures:
            walk.save_answer(archive.store, archive.job.job_id, WalkAnswer(item.key, picture.picture_id))
    went_out = _went_out(archive)
    late = [picture.file for picture in pictures if _is_after(picture, went_out)]
    if late:
        return f"{', '.join(late)} is from after lift out: it does not show how the machine was found."
    return ""


def say_not_here(archive: Archive, item: WalkItem, reason: str) -> None:
    """Write down why this machine has no such thing, or why it cannot be photographed."""
    reason = " ".join(reason.split())
    if not reason:
        raise Misused(f'Say why: asfound walk "{item.name}" --not-here "no such thing on this engine"')
    with archive.step(f"walk round, {item.name}: not here, {reason}"):
        walk.save_answer(archive.store, archive.job.job_id, WalkAnswer(item.key, not_here=reason))


def open_again(archive: Archive, item: WalkItem) -> None:
    """Take the answers to an item away."""
    with archive.step(f"walk round, {item.name}: open again"):
        walk.clear_answers(archive.store, archive.job.job_id, item.key)


def add_item(archive: Archive, name: str) -> WalkItem:
    """Put an item of the person's own on the list of this job.

    Raises
    ------
    Misused
        If it has no name, a long one, or one that is on the list.
    """
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME:
        raise Misused(f'Name what to photograph in up to {LONGEST_NAME} characters: asfound walk --add "cabin floor"')
    if any(fold(name) == fold(item.name) for item in _items(archive)):
        raise Misused(f'"{name}" is on the walk round already.')
    with archive.step(f"walk round: {name} added"):
        walk.add_item(archive.store, archive.job.job_id, name)
    return WalkItem(name, name, is_own=True)


def drop_item(archive: Archive, item: WalkItem) -> None:
    """Take an own item off the list, with its answers.

    Raises
    ------
    Misused
        If it came with the program: say that it is not here.
    """
    if not item.is_own:
        raise Misused(f'{item.name} stays on the list; answer it: asfound walk "{item.name}" --not-here "why"')
    with archive.step(f"walk round: {item.name} taken off"):
        walk.remove_item(archive.store, archive.job.job_id, item.key)


def _items(archive: Archive) -> list[WalkItem]:
    own = walk.list_items(archive.store, archive.job.job_id)
    return [*listed_items(), *(WalkItem(name, name, is_own=True) for name in own)]


def _went_out(archive: Archive) -> Moment | None:
    """The first lift out, or when the first mount came off where nobody wrote a lift down; None before it."""
    spells = read_lifts(archive).spells
    if spells:
        return spells[0][0]
    mounts = {tag_id for tag_id, tag in known_tags(archive).items() if tag.kind == "mount"}
    offs = [one for one in log.list_events(archive) if one.kind == "off" and one.tag_id in mounts]
    first = min(offs, key=lambda one: one.at, default=None)
    return None if first is None else Moment(first.at, first.is_day_only)


def _is_after(picture: Picture, went_out: Moment | None) -> bool:
    """Whether a picture is surely from after the lift out; one without a time may be from before."""
    if went_out is None or picture.taken_utc_s is None:
        return False
    return Moment(datetime.fromtimestamp(picture.taken_utc_s, UTC)).is_surely_after(went_out)
