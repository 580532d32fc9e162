"""On which side of the lift an end's place is: it leaves with the engine, or stays behind in what the engine is in."""

from __future__ import annotations

from asfound.core.words import fold
from asfound.model.tags import SIDES, Side

_STAYS = "boat hull vehicle car van truck tractor machine frame chassis body ship".split()
_SAID: dict[str, Side] = {
    **{words: side for side, shown in SIDES.items() for words in (side, shown)},
    **{words: "stays" for name in _STAYS for words in (name, f"{name} side")},
    "leaves": "engine",
    "comes out": "engine",
    "behind": "stays",
}


def read_side(typed: str) -> Side | None:
    """The side that words name: "engine", "engine side", "stays behind", "boat side"; None when they name none."""
    return _SAID.get(" ".join(fold(typed).split()))
