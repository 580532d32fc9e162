"""The gap report: what the record of a job lacks, while something can still be done about it.

Each rule reads the whole `Record` and yields gaps; `RULES` lists them. To add one, write it beside its kin in
`picture_gaps`, `shot_gaps`, `end_gaps`, `number_gaps`, `bag_gaps`, `order_gaps` or `open_gaps`, name it in `RULES`,
and give it a `GapKind`.

A field that the person never uses is no gap: someone who notes no flow directions is not told so for every hose.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from asfound.core.log.bag_gaps import find_bags_without_tag, find_groups_without_bag, find_mixed_bags, find_short_bags
from asfound.core.log.end_gaps import (
    find_bare_belts,
    find_differing_colours,
    find_lost_tapes,
    find_missing_flow,
    find_open_ends,
    find_unplaced_ends,
    find_unsaid_caps,
)
from asfound.core.log.number_gaps import find_missing_numbers, find_turned_numbers, find_twice_used_numbers
from asfound.core.log.open_gaps import find_away_gaps, find_fluid_gaps, find_unbought, find_unrepaired
from asfound.core.log.order_gaps import find_fit_loops, find_tight_too_soon_gaps
from asfound.core.log.picture_gaps import (
    find_damaged,
    find_doubtful_times,
    find_guessed_ends,
    find_loose_finds,
    find_picture_gaps,
    find_unpaired_look_alikes,
)
from asfound.core.log.record import BagContents, DoubtfulTime, Record, TagSighting
from asfound.core.log.shot_gaps import find_near_duplicates, find_shots_of_nothing, find_unchecked_clocks
from asfound.core.log.walk_round import find_walk_gaps
from asfound.core.pins.numbering import sort_key
from asfound.model.log import Gap, GapKind

__all__ = ["RULES", "BagContents", "DoubtfulTime", "Record", "TagSighting", "find_gaps"]

RULES: tuple[Callable[[Record], Iterator[Gap]], ...] = (
    find_tight_too_soon_gaps,
    find_fit_loops,
    find_walk_gaps,
    find_picture_gaps,
    find_guessed_ends,
    find_twice_used_numbers,
    find_missing_numbers,
    find_turned_numbers,
    find_unplaced_ends,
    find_lost_tapes,
    find_open_ends,
    find_unsaid_caps,
    find_missing_flow,
    find_differing_colours,
    find_bare_belts,
    find_groups_without_bag,
    find_bags_without_tag,
    find_short_bags,
    find_mixed_bags,
    find_unpaired_look_alikes,
    find_loose_finds,
    find_near_duplicates,
    find_shots_of_nothing,
    find_damaged,
    find_doubtful_times,
    find_unchecked_clocks,
    find_fluid_gaps,
    find_away_gaps,
    find_unrepaired,
    find_unbought,
)

AT_MACHINE = frozenset(
    {
        GapKind.TIGHT_TOO_SOON,
        GapKind.WALK_ROUND,
        GapKind.NEVER_PHOTOGRAPHED,
        GapKind.ONE_END,
        GapKind.ONLY_AFTER,
        GapKind.NO_PLACE,
        GapKind.TAPE_LOST,
        GapKind.NOT_CAPPED,
        GapKind.NO_FLOW,
        GapKind.COLOUR_DIFFERS,
        GapKind.NOTHING_NOTED,
        GapKind.LOOK_ALIKE,
        GapKind.LOOSE_FIND,
    }
)
"""Gaps that are closed by looking at the machine, not at the bags, the tapes or the record."""

_KIND_RANK = {kind: rank for rank, kind in enumerate(GapKind)}


def find_gaps(record: Record) -> list[Gap]:
    """Find everything the record lacks.

    Returns
    -------
    list of Gap
        What only the machine as it stands can still close first, then what can be fixed elsewhere, then what is too
        late; of each by kind in the order of `GapKind`, then in natural order of number, or of bag. Empty when nothing
        is lacking.
    """
    found = (replace(gap, at_machine=gap.mendable and gap.kind in AT_MACHINE) for rule in RULES for gap in rule(record))
    return sorted(found, key=_rank)


def _rank(gap: Gap) -> tuple[object, ...]:
    named = gap.subject
    return (
        not gap.mendable,
        not gap.at_machine,
        _KIND_RANK[gap.kind],
        sort_key(named),
        gap.tag_id or 0,
        gap.end or "",
        gap.why,
    )
