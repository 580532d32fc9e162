"""What to do about many gaps of one kind at once, in one sentence; each gap by itself says more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import groupby

from asfound.model.log import Gap, GapKind

_TOO_LATE: dict[GapKind, str] = {
    GapKind.WALK_ROUND: "How they were is lost, unless an early photo or clip shows it.",
    GapKind.NEVER_PHOTOGRAPHED: "Only the empty places can still be photographed, or how each is refitted.",
    GapKind.ONE_END: "Only the empty places can still be photographed, or how each is refitted.",
    GapKind.LOOK_ALIKE: "Compare each with its own as-found picture.",
    GapKind.NOTHING_NOTED: "Take it from an early picture or clip, or from the service manual.",
    GapKind.DRAINED_UNSAID: "Look at each level as the service manual says.",
}
"""Where it reads otherwise once the machine stands no longer as it was found."""

WHAT_TO_DO: dict[GapKind, str] = {
    GapKind.TIGHT_TOO_SOON: "Tighten what goes before each as the service manual says, then look at it again.",
    GapKind.FIT_LOOP: "Take one rule of each loop away.",
    GapKind.WALK_ROUND: "They can still be photographed until lift out.",
    GapKind.NEVER_PHOTOGRAPHED: "Photograph both ends of each before it comes off.",
    GapKind.ONE_END: "Photograph the other end before it comes off, or say which end a picture shows.",
    GapKind.ONLY_AFTER: "Their empty places can still be photographed.",
    GapKind.ONLY_GUESSED: "Look at each picture, then confirm or reject what is proposed there.",
    GapKind.NUMBER_TWICE: "Give the second thing of each number one of its own.",
    GapKind.NUMBER_MISSING: "Look for their tapes, or say that they were never used.",
    GapKind.NO_PLACE: 'Write where they sit, or "not found".',
    GapKind.TAPE_LOST: "Write a new tape for each end.",
    GapKind.NOT_CAPPED: "Cap what is open, and look inside for dirt.",
    GapKind.NO_FLOW: "Look for an arrow on each, or in the service manual.",
    GapKind.COLOUR_DIFFERS: "Look for a splice, or for a number on the wrong end.",
    GapKind.NOTHING_NOTED: "Note path, direction and slack of each.",
    GapKind.NO_BAG: 'Name the bag of each, or "back in place".',
    GapKind.BAG_WITHOUT_TAG: "Open them and say what they came from.",
    GapKind.BAG_SHORT: "Look for what is missing, or buy it.",
    GapKind.TWO_GROUPS: "Sort each into two bags.",
    GapKind.LOOK_ALIKE: "Photograph each with the one it could be taken for, with their numbers, in one frame.",
    GapKind.LOOSE_FIND: "Find the tag each belongs to and link them.",
    GapKind.NO_PINS: "Pin what each shows, or write a snag with it.",
    GapKind.UPSIDE_DOWN: "Draw a bar under the number on every tape.",
    GapKind.NEAR_DUPLICATE: "Put the others behind the sharpest when sorting, or answer that all stay.",
    GapKind.DAMAGED: "See whether the phone or card still has each undamaged, and add it again.",
    GapKind.DOUBTFUL_TIME: "Say when they were taken.",
    GapKind.CLOCK_UNCHECKED: "Compare each clock with a picture whose time is known.",
    GapKind.DRAINED_UNSAID: "Measure what is in each can and write it down.",
    GapKind.NOT_FILLED: "Fill each as the service manual says, then write it down, or say why it is left out.",
    GapKind.NOT_BACK: "Ask for each, or write down that it came back.",
    GapKind.NOT_REPAIRED: "Repair or renew each, then write that down.",
    GapKind.NOT_BOUGHT: "Order each, or write down that it is here.",
}


OPEN_WORK = frozenset({GapKind.NOT_FILLED, GapKind.NOT_BACK, GapKind.NOT_REPAIRED, GapKind.NOT_BOUGHT})
"""Nothing that the record lacks of how things were, but work that it knows to be open on the way back."""


def what_to_do(kind: GapKind, *, is_mendable: bool) -> str:
    """One sentence for gaps of a kind, all of which can still be closed, or none."""
    return WHAT_TO_DO[kind] if is_mendable else _TOO_LATE.get(kind, WHAT_TO_DO[kind])


def in_parts(found: Iterable[Gap]) -> dict[str, list[Gap]]:
    """Gaps under headings by what can still be done about them, each part in the order given."""
    known = list(found)
    return {
        "Check on the machine while you still can": [gap for gap in known if gap.at_machine],
        "Can be fixed at the desk": [
            gap for gap in known if gap.mendable and not gap.at_machine and gap.kind not in OPEN_WORK
        ],
        "Open on the way back": [gap for gap in known if gap.kind in OPEN_WORK],
        "Too late to fix; keep it in mind": [gap for gap in known if not gap.mendable],
    }


def told(gaps: Iterable[Gap], name: Callable[[Gap], str], *, fold_from: int) -> Iterator[tuple[str, bool]]:
    """A line for each gap, and one for all of a kind from so many on; with whether it stands for many."""
    for kind, same in groupby(gaps, key=lambda gap: gap.kind):
        mine = list(same)
        if len(mine) < fold_from:
            yield from ((f"{kind}: {gap.why}", False) for gap in mine)
        else:
            about = ", ".join(" + ".join((name(gap), *gap.beside)) for gap in mine)
            yield f"{kind} ({len(mine)}): {about}. {what_to_do(kind, is_mendable=mine[0].mendable)}", True
