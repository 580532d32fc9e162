"""Which two pictures of a spot are looked at: its pairs in turn, or any two that nobody has called a pair."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.model.pictures import Pair


class PairsInTurn:
    """The pairs of a spot, or of one thing that is looked over, and the place in them; it knows no archive."""

    def __init__(self, spot_id: int | None) -> None:
        self.spot_id = spot_id
        self.pairs: Sequence[Pair] = ()
        self.index = 0
        self.tried: Pair | None = None
        """Two pictures that nobody has called a pair yet."""

    def renew(self, pairs: Sequence[Pair]) -> None:
        """Take the pairs that there are now; the place in them stays while there is one."""
        self.pairs = pairs
        self.index = max(0, min(self.index, len(pairs) - 1))

    @property
    def pair(self) -> Pair | None:
        """The two at hand."""
        return self.tried or (self.pairs[self.index] if self.pairs else None)

    def begin(self, two: tuple[int, int] | None, picture_ids: Sequence[int]) -> None:
        """Take the two that were asked for; where there is no pair, the first and the last picture of the spot."""
        if two is not None:
            self.take(*two)
        elif not self.pairs and len(picture_ids) > 1:
            self.take(picture_ids[0], picture_ids[-1])

    def take(self, before_id: int, after_id: int) -> None:
        """Take two pictures, which may be a pair or not."""
        known = [(one.before_id, one.after_id) for one in self.pairs]
        self.tried = None
        if (before_id, after_id) in known:
            self.index = known.index((before_id, after_id))
        else:
            self.tried = Pair(self.spot_id or 0, before_id, after_id, "changed", 0.0)

    def step(self, by: int) -> bool:
        """Go to the next pair or the one before, from two that are none to the pair left; False at the end."""
        if self.tried is not None and self.pairs:
            self.tried = None
            return True
        if not 0 <= self.index + by < len(self.pairs):
            return False
        self.index += by
        return True

    def exchange(self, by: int, picture_ids: Sequence[int], *, after_in_front: bool) -> bool | None:
        """Put the picture before or after the one in front in its place; whether that is now the later of the two.

        `picture_ids` are those of the spot, oldest first. The earlier of two is before, whichever was in front. None
        where there is no more picture that way.
        """
        pair = self.pair
        if pair is None:
            return None
        shown, behind = pair.after_id, pair.before_id
        if not after_in_front:
            shown, behind = behind, shown
        others = [one for one in picture_ids if one != behind]
        place = others.index(shown) + by if shown in others else 0
        if not 0 <= place < len(others):
            return None
        before, after = sorted((others[place], behind), key=list(picture_ids).index)
        self.take(before, after)
        return others[place] == after
