"""What the record lacks, told from everything that is written down, and a person's answers to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from asfound.actions import bursts, log, resolve, settings, tag
from asfound.actions.archive import Archive, kept
from asfound.actions.known import seen_afar
from asfound.actions.read_proposals import SHOWN_FROM
from asfound.actions.tag_card import read_cards
from asfound.actions.walk_round import find_item, say_not_here, walk_standings
from asfound.core.capture.clock_changes import find_clock_changes
from asfound.core.log import gaps as rules
from asfound.core.log.first_off import taken_when
from asfound.core.log.record import (
    BagContents,
    CameraClock,
    DamagedFile,
    DoubtfulTime,
    GuessedSighting,
    LooseFind,
    Record,
    Shot,
    Stage,
    TagSighting,
)
from asfound.core.log.to_buy import find_to_buy
from asfound.core.log.walk_round import WHOLE
from asfound.core.words import fold
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.media.limits import TOO_LARGE
from asfound.model.log import Gap, GapKind
from asfound.model.pictures import Picture
from asfound.model.tags import Tag
from asfound.store import answers, bags, fitting, jobs, pins, purchases, readings, snags, spots, tags
from asfound.store.pictures import list_clips, list_pictures, list_unread

LIKELY = 0.5
"""From here on a proposal is likelier right than wrong, and worth a look before a picture is said to be lacking."""

ONE_END = frozenset({"no second end", "one end", "has one end", "only one end"})
NEW_TAPE = frozenset({"new tape", "has a tape", "taped", "found"})


@dataclass(frozen=True, slots=True)
class AnsweredGap:
    """A gap that a person answered, so that it is not shown again."""

    kind: str
    about: str
    word: str


@kept
def find_gaps(archive: Archive) -> Sequence[Gap]:
    """Gaps that nobody answered; first those that only the machine as it stands can still close."""
    answered = answers.answered_gaps(archive.store, archive.job.job_id)
    found = rules.find_gaps(read_record(archive))
    return [gap for gap in found if (str(gap.kind), gap.about) not in answered]


@kept
def damaged_files(archive: Archive) -> Sequence[DamagedFile]:
    """Photos and clips that cannot be shown whole; not those that are only too large, or came whole since."""
    photos = [one for one in list_pictures(archive.store, archive.job.job_id) if one.kind == "photo"]
    clips = list_clips(archive.store, archive.job.job_id)
    whole = {one.file for one in photos if not one.trouble} | {one.file for one in clips if not one.trouble}
    found = [DamagedFile(one.file, one.trouble or "", one.picture_id) for one in photos]
    found += [DamagedFile(one.file, one.trouble or "") for one in clips]
    unread = "nothing of it can be shown, its bytes are kept"
    found += [DamagedFile(name, unread) for name in list_unread(archive.store, archive.job.job_id)]
    return [one for one in found if one.trouble and not one.trouble.startswith(TOO_LARGE) and one.file not in whole]


@kept
def read_record(archive: Archive) -> Record:
    """Everything that the gap rules look at. Proposals are no evidence, and kept apart: nobody said they are right."""
    job_id = archive.job.job_id
    pictures = {picture.picture_id: picture for picture in list_pictures(archive.store, job_id)}
    off = log.off_times_s(archive)
    sightings = tuple(
        TagSighting(pin.tag_id, pin.end, pin.picture_id, _stage(pictures[pin.picture_id], off.get(pin.tag_id)))
        for pin in pins.list_pins(archive.store, job_id)
    )
    accepted = settings.accepted_times(archive)
    known_bags = bags.list_bags(archive.store, job_id)
    return Record(
        tags=tuple(tag.list_tags(archive)),
        ends=tuple(end for ends in tag.list_ends(archive).values() for end in ends),
        sightings=sightings,
        events=tuple(log.list_events(archive)),
        bags=tuple(BagContents(bag.label, bag.inside, bag.count_out, bag.count_back, bag.note) for bag in known_bags),
        doubtful_times=tuple(
            DoubtfulTime(picture.file, str(picture.time_doubt), picture.picture_id)
            for picture in pictures.values()
            if picture.time_doubt is not None and picture.picture_id not in accepted
        ),
        damaged=tuple(damaged_files(archive)),
        fit_after=tuple(fitting.list_rules(archive.store, job_id)),
        aliases=tuple(tags.list_aliases(archive.store, job_id)),
        settled_numbers=frozenset(answers.settled_numbers(archive.store, job_id)),
        in_bags=tuple((tag_id, bag.label) for bag in known_bags for tag_id in bag.tag_ids),
        loose_finds=tuple(
            LooseFind(snag.label, snag.what, pictures[snag.picture_id].file, snag.picture_id)
            for snag in snags.list_snags(archive.store, job_id)
            if snag.is_open and snag.picture_id in pictures and snag.tag_id is None and snag.bag_id is None
        ),
        belts=tuple(tags.list_belts(archive.store, job_id).values()),
        guesses=tuple(_guesses(archive, pictures, off)),
        lines=tuple(log.list_lines(archive)),
        to_buy=tuple(
            find_to_buy(
                tag.list_tags(archive),
                log.list_lines(archive),
                snags.list_snags(archive.store, job_id),
                purchases.list_purchases(archive.store, job_id),
            )
        ),
        walk=walk_standings(archive),
        **_of_shots(archive, [picture for picture in pictures.values() if picture.kind == "photo"]),
    )


def _guesses(archive: Archive, pictures: Mapping[int, Picture], off: Mapping[int, float]) -> Iterator[GuessedSighting]:
    """Likely proposals on pictures from before removal, unless they say that their part is off there, or hidden."""
    for guess in pins.list_proposals(archive.store, archive.job.job_id):
        picture = pictures[guess.picture_id]
        is_likely = guess.confidence >= LIKELY and not guess.gone and not guess.hidden
        if is_likely and _stage(picture, off.get(guess.tag_id)) == "before":
            yield GuessedSighting(guess.tag_id, guess.end, picture.picture_id, picture.file, guess.confidence)


def _of_shots(archive: Archive, photos: list[Picture]) -> dict[str, Any]:
    """What the photos, their cameras and what was read in them tell."""
    store, job_id = archive.store, archive.job.job_id
    tied = pins.pictures_with_pins(store, job_id)
    of_spots = _pictures_of_tied_spots(archive, tied)
    tied |= {snag.picture_id for snag in snags.list_snags(store, job_id) if snag.picture_id is not None}
    shots = tuple(
        Shot(
            photo.picture_id,
            photo.file,
            photo.camera_id,
            photo.taken_local,
            photo.picture_id in tied,
            photo.picture_id in of_spots,
        )
        for photo in photos
    )
    telling = jobs.cameras_telling_offset(store, job_id)
    clocks = tuple(
        CameraClock(one.camera_id, one.name, one.camera_id in telling, tuple(word.since for word in one.corrections))
        for one in jobs.list_cameras(store, job_id)
    )
    written = [shot.written for shot in shots if shot.written is not None]
    zone = ZoneInfo(archive.job.zone)
    return {
        "shots": shots,
        "clocks": clocks,
        "bursts": tuple(bursts.open_bursts(archive)),
        "read_numbers": tuple(
            (picture_id, reading.number)
            for picture_id, found in readings.load_readings(store, job_id).items()
            for reading in found
            if reading.confidence >= SHOWN_FROM
        ),
        "clock_changes": tuple(find_clock_changes(min(written), max(written), zone)) if written else (),
    }


def _pictures_of_tied_spots(archive: Archive, tied: Set[int]) -> set[int]:
    """Pictures that show a spot, near by or from afar, of which a picture carries a pin or a proposal."""
    store, job_id = archive.store, archive.job.job_id
    members = {spot.spot_id: spot.picture_ids for spot in spots.list_spots(store, job_id)}
    known = {spot_id for spot_id, pictures in members.items() if not tied.isdisjoint(pictures)}
    near = {picture_id for spot_id in known for picture_id in members[spot_id]}
    afar = seen_afar(archive)
    return near | {picture_id for picture_id, seen in afar.items() if not known.isdisjoint(seen)}


def answer_gaps(archive: Archive, about: str, word: str, *, kind: str = "") -> list[Gap]:
    """Answer what is lacking of a tag ("31"), one end ("31b"), a bag, a missing number or a picture ("P1_0032.jpg").

    "no second end" makes a thing one-ended and "new tape" gives an end its tape back; of a missing number any words say
    why; anything else is kept as the reason why the gap stays. Returns what is closed by it.

    Raises
    ------
    NotFound, Ambiguous, Misused
        If there is no such gap, several kinds of it, or no answer.
    """
    if not word.strip():
        raise Misused(f'Say what is so, such as: asfound gaps answer {about} "no second end"')
    wanted = [gap for gap in find_gaps(archive) if _is_about(archive, gap, about) and (not kind or gap.kind == kind)]
    answer = fold(" ".join(word.split()))
    acting = _fact_of(answer, wanted)
    if not wanted:
        raise NotFound(f"{about} has no open gap{f' ({kind})' if kind else ''}. List the gaps with: asfound gaps")
    if acting is None and len({gap.kind for gap in wanted}) > 1:
        kinds = ", ".join(f'"{found}"' for found in dict.fromkeys(str(gap.kind) for gap in wanted))
        raise Ambiguous(f"{about} has several gaps; say which with --gap: {kinds}.")
    before = find_gaps(archive)
    with archive.step(f'gap of {about} answered: "{word.strip()}"'):
        for gap in wanted:
            (acting or _keep)(archive, gap, word.strip())
    left = find_gaps(archive)
    return [gap for gap in before if gap not in left]


def answer_gap(archive: Archive, gap: Gap, word: str) -> list[Gap]:
    """Answer this gap, and others of its kind that are about the same; what is closed by it. See `answer_gaps`."""
    return answer_gaps(archive, gap_names(archive)(gap), word, kind=str(gap.kind))


def gap_names(archive: Archive) -> Callable[[Gap], str]:
    """Names gaps as a person says them in an answer: "31b", "12.2", "B8", "P1_0032.jpg"."""
    labels = {tag_id: card.label for tag_id, card in read_cards(archive).items()}

    def name(gap: Gap) -> str:
        return f"{labels[gap.tag_id]}{(gap.end or '').lower()}" if gap.tag_id in labels else gap.subject

    return name


def list_answers(archive: Archive) -> list[AnsweredGap]:
    """What was answered, in no order that means anything but the same each time."""
    job_id = archive.job.job_id
    known = {one.tag_id: one.number for one in tag.list_tags(archive)}
    files = {picture.picture_id: picture.file for picture in list_pictures(archive.store, job_id)}
    found = [
        AnsweredGap(str(GapKind.NUMBER_MISSING), number, word)
        for number, word in answers.settled_numbers(archive.store, job_id).items()
    ]
    for (kind, about), word in answers.answered_gaps(archive.store, job_id).items():
        what, name, *end = about.split(" ", 2)
        shown = known.get(int(name), name) + "".join(end).lower() if what == "tag" else about
        shown = files.get(int(name), about) if what == "picture" else shown
        shown = " ".join((name, *end)) if what == "thing" else shown
        found.append(AnsweredGap(kind, shown, word))
    return found


def _is_about(archive: Archive, gap: Gap, about: str) -> bool:
    if gap.file and gap.tag_id is None:
        return fold(gap.file) == fold(about.strip())
    if gap.thing:
        return fold(gap.thing) == fold(about.strip())
    if gap.bag is not None:
        return fold(gap.bag) == fold(about.strip())
    if gap.tag_id is None:
        return gap.number == about.strip()
    for ref in resolve.find_tags(archive, about):
        if ref.tag.tag_id == gap.tag_id and (ref.end is None or gap.end in (None, ref.end)):
            return True
    return False


def _fact_of(answer: str, wanted: list[Gap]) -> Callable[[Archive, Gap, str], None] | None:
    """What an answer changes besides closing the gap; None when it is only a reason."""
    if answer in ONE_END and any(gap.tag_id for gap in wanted):
        return _make_one_ended
    if answer in NEW_TAPE and any(gap.kind is GapKind.TAPE_LOST for gap in wanted):
        return _give_tape
    return None


def _make_one_ended(archive: Archive, gap: Gap, _word: str) -> None:
    if gap.tag_id is not None:
        tag.change_tag(archive, _tag(archive, gap.tag_id), tag.TagWords(ends=1))


def _give_tape(archive: Archive, gap: Gap, _word: str) -> None:
    if gap.tag_id is not None and gap.end is not None and gap.kind is GapKind.TAPE_LOST:
        tag.change_end(archive, _tag(archive, gap.tag_id), gap.end, tag.EndWords(tape_lost=False))


def _keep(archive: Archive, gap: Gap, word: str) -> None:
    job_id = archive.job.job_id
    if gap.kind is GapKind.NEAR_DUPLICATE:
        for burst in bursts.open_bursts(archive):
            if gap.picture_id in burst:
                bursts.let_stand(archive, burst)
    if gap.kind is GapKind.WALK_ROUND and gap.mendable and gap.thing != WHOLE:
        say_not_here(archive, find_item(archive, gap.thing), word)
    elif gap.kind is GapKind.NUMBER_MISSING and gap.number is not None:
        answers.settle_number(archive.store, job_id, gap.number, word)
    else:
        answers.answer_gap(archive.store, job_id, str(gap.kind), gap.about, word)


def _tag(archive: Archive, tag_id: int) -> Tag:
    return tags.get_tag(archive.store, tag_id)


def _stage(picture: Picture, off_s: float | None) -> Stage:
    """A picture is from after removal only when both its time and the log say so."""
    return "after" if taken_when(picture.taken_utc_s, off_s) == "after" else "before"
