"""A ruler for tests of layout: every letter as wide as any other, so that widths are known without a font."""

from __future__ import annotations

from asfound.core.sheets.measures import POINTS_PER_MM


class EvenRuler:
    """Letters half as wide as the type is high, bold ones a tenth wider."""

    capital_frac = 0.7

    def width_mm(self, words: str, size_pt: float, *, bold: bool = False) -> float:
        return len(words) * size_pt * (0.55 if bold else 0.5) / POINTS_PER_MM
