"""What the log says of each thing, and the rules for what is fitted after what.

A fit-after rule is a pair (later, earlier): `later` is fitted after `earlier`. Rules are the person's draft and may
contradict each other; a loop is named, never refused.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from asfound.model.log import Event

TIGHT = frozenset({"tight", "torqued", "marked", "checked"})
"""Words of `HOW_REFITTED` that say more than "by hand"; the others are only said of what is tight."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a thing stands by its latest event.

    Attributes
    ----------
    came_off : bool
        Whether it was ever taken off.
    is_off : bool
        Whether it is off now.
    how : str
        How it was refitted, by the latest word; empty while it is off, never came off, or nobody said.
    """

    came_off: bool = False
    is_off: bool = False
    how: str = ""

    @property
    def is_refitted(self) -> bool:
        """Back after having been off."""
        return self.came_off and not self.is_off

    @property
    def is_tight(self) -> bool:
        """Known to be tight. False is no proof of the contrary: nobody may have said."""
        return self.how in TIGHT


def find_standings(events: Iterable[Event]) -> dict[int, Standing]:
    """Standing of every tag that the log names, whatever the order of the events given.

    A later "refitted" that does not say how leaves the word before it: it takes nothing back.
    """
    standings: dict[int, Standing] = {}
    for event in sorted(events, key=lambda event: (event.at, event.entered_at, event.event_id)):
        before = standings.get(event.tag_id, Standing())
        if event.kind == "off":
            standings[event.tag_id] = Standing(came_off=True, is_off=True)
        else:
            # Something refitted was off, also when nobody wrote that down.
            standings[event.tag_id] = Standing(came_off=True, how=event.how or before.how)
    return standings


def find_loops(fit_after: Iterable[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Rules that chase their own tail: in each loop every tag waits for the next, and the last for the first.

    Each set of tags that wait for each other is named once, by its shortest loop through its smallest id; loops are in
    order of that id.
    """
    waits = _waits_for(fit_after)
    loops: list[tuple[int, ...]] = []
    for start in sorted(waits):
        loop = _shortest_loop(start, waits)
        if loop and not any(_are_entangled(start, known[0], waits) for known in loops):
            loops.append(loop)
    return loops


def find_tight_too_soon(
    fit_after: Iterable[tuple[int, int]], standings: Mapping[int, Standing]
) -> list[tuple[int, int]]:
    """Rules broken by what is tight already, as (tight tag, tag that should have been tight first), in order.

    The earlier thing counts when it is off, or refitted by hand. If it never came off it is still as the maker left it,
    and if nobody said how it was refitted there is nothing to go by.
    """
    broken = []
    for later, earlier in sorted(set(fit_after)):
        first = standings.get(earlier, Standing())
        if standings.get(later, Standing()).is_tight and (first.is_off or first.how == "by hand"):
            broken.append((later, earlier))
    return broken


def _waits_for(fit_after: Iterable[tuple[int, int]]) -> dict[int, list[int]]:
    waits: dict[int, list[int]] = {}
    for later, earlier in sorted(set(fit_after)):
        waits.setdefault(later, []).append(earlier)
    return waits


def _shortest_loop(start: int, waits: Mapping[int, list[int]]) -> tuple[int, ...]:
    """The way from a tag back to itself, without the return; empty when there is none."""
    came_from = _reach(start, waits)
    if start not in came_from:
        return ()
    way = [came_from[start]]
    while way[-1] != start:
        way.append(came_from[way[-1]])
    return tuple(reversed(way))


def _are_entangled(one: int, other: int, waits: Mapping[int, list[int]]) -> bool:
    return other in _reach(one, waits) and one in _reach(other, waits)


def _reach(start: int, waits: Mapping[int, list[int]]) -> dict[int, int]:
    """Every tag that must go before `start`, near ones first, each with the one that waits for it."""
    came_from: dict[int, int] = {}
    queue = deque([start])
    while queue:
        later = queue.popleft()
        for earlier in waits.get(later, ()):
            if earlier not in came_from:
                came_from[earlier] = later
                queue.append(earlier)
    return came_from
