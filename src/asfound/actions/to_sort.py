"""What the machine proposes and nobody has answered: bursts, spots, pairs, pins and doubtful times."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from asfound.actions import bursts, settings
from asfound.actions.archive import Archive, kept
from asfound.actions.known import known_pictures, known_spots, known_tags, pins_by_tag, spot_name, spot_of
from asfound.actions.pinned import ProposalEntry, as_asked
from asfound.model.pictures import Pair, Picture, Spot
from asfound.store import pins, spots


@dataclass(frozen=True, slots=True)
class SpotProposal:
    """Pictures that the machine took for a spot of their own, or for more of a spot already known.

    Attributes
    ----------
    picture_ids : tuple of int
        The new ones, in order of time.
    """

    spot: Spot
    picture_ids: tuple[int, ...]

    @property
    def known(self) -> int:
        """How many pictures the spot had before."""
        return len(self.spot.picture_ids) - len(self.picture_ids)


@dataclass(frozen=True, slots=True)
class PairProposal:
    """Two pictures that the machine took for before and after."""

    pair: Pair
    spot_name: str


@dataclass(frozen=True, slots=True)
class PinQuestion:
    """A carried or read pin that waits for a word.

    Attributes
    ----------
    spot_id : int or None
        None for a picture in no spot.
    in_passing : bool
        A number was read of which an end is pinned elsewhere already: it may be that end, seen from here.
    """

    entry: ProposalEntry
    picture: Picture
    spot_id: int | None = None
    in_passing: bool = False


@dataclass(frozen=True, slots=True)
class TimeQuestion:
    """A picture whose time may be wrong."""

    picture: Picture
    why: str


@dataclass(frozen=True, slots=True)
class BurstProposal:
    """Pictures that one camera took of one thing within seconds; the sharpest first, the others in order of time."""

    picture_ids: tuple[int, ...]


SortItem = SpotProposal | BurstProposal | PairProposal | PinQuestion | TimeQuestion


@kept
def list_to_sort(archive: Archive) -> Sequence[SortItem]:
    """What waits for a person's word: bursts, spots, pairs, pins, times, in this order.

    Pairs and pins of a picture that is behind another are not asked about.
    """
    return (
        *map(BurstProposal, bursts.open_bursts(archive)),
        *_new_spots(archive),
        *_new_pairs(archive),
        *_open_pins(archive),
        *_doubtful_times(archive),
    )


def _new_spots(archive: Archive) -> Iterator[SpotProposal]:
    placed = spots.load_placed(archive.store, archive.job.job_id)
    for spot in known_spots(archive).values():
        new = tuple(i for i in spot.picture_ids if i not in placed)
        if new:
            yield SpotProposal(spot, new)


def _new_pairs(archive: Archive) -> Iterator[PairProposal]:
    """The best pair of each spot that has none by a person's word, of pictures that are in front."""
    words = spots.load_pair_words(archive.store, archive.job.job_id)
    found, behind = spots.list_pairs(archive.store, archive.job.job_id), bursts.behind(archive)
    best: dict[int, Pair] = {}
    for pair in found:
        hidden = pair.before_id in behind or pair.after_id in behind
        if not hidden and (pair.before_id, pair.after_id) not in words:
            best.setdefault(pair.spot_id, pair)
    said = {pair.spot_id for pair in found if words.get((pair.before_id, pair.after_id)) == "pair"}
    for spot_id, pair in best.items():
        if spot_id not in said:
            yield PairProposal(pair, spot_name(archive, spot_id) or f"Spot {spot_id}")


def _open_pins(archive: Archive) -> Iterator[PinQuestion]:
    """Proposed pins by picture in the order in which those were most likely taken, the surest of each first."""
    entries = as_asked(pins.list_proposals(archive.store, archive.job.job_id), known_tags(archive))
    behind, places, pinned = bursts.behind(archive), spot_of(archive), pins_by_tag(archive)
    by_picture: dict[int, list[ProposalEntry]] = defaultdict(list)
    for entry in entries:
        by_picture[entry.proposal.picture_id].append(entry)
    for picture_id, picture in known_pictures(archive).items():
        for entry in () if picture_id in behind else by_picture.get(picture_id, ()):
            in_passing = entry.other is not None and entry.proposal.tag_id in pinned
            yield PinQuestion(entry, picture, places.get(picture_id), in_passing=in_passing)


def _doubtful_times(archive: Archive) -> Iterator[TimeQuestion]:
    accepted = settings.accepted_times(archive)
    for picture in known_pictures(archive).values():
        if picture.time_doubt is not None and picture.picture_id not in accepted:
            yield TimeQuestion(picture, str(picture.time_doubt))
