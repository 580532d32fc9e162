"""A kind of sheet: a name, and how its content is laid out on paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

from asfound.core.sheets.marks import Ruler, Sheets
from asfound.registry import load_folder

LayOut = Callable[[Any, str, Ruler], Sheets]


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of sheet, such as the book; each is a module of `core.sheets.kinds` with `SHEET`.

    Attributes
    ----------
    lay_out : callable
        (content, name of a paper in `PAPERS_MM`, ruler) to pages; what the content is, is the kind's own matter.
    """

    name: str
    lay_out: LayOut


def sheet_kinds() -> dict[str, SheetKind]:
    """Every kind by its name."""
    found = load_folder("asfound.core.sheets.kinds", "SHEET")
    return {kind.name: kind for kind in cast("dict[str, SheetKind]", found).values()}
