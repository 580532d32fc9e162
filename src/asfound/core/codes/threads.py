"""Threads as people write them, and the spanners that fit their heads. To describe what is in a bag, not to choose."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

SPANNER_WARNING = (
    "A spanner size never proves a thread: flange and small heads differ, 1/2 in is near 13 mm and 3/4 in near 19 mm."
)

COARSE_MM = {"M5": 0.8, "M6": 1.0, "M8": 1.25, "M10": 1.5, "M12": 1.75, "M14": 2.0, "M16": 2.0, "M22": 2.5}
"""Coarse pitches of ISO 261, from memory."""

FINE_MM = {"M8": (1.0,), "M10": (1.25, 1.0), "M12": (1.25, 1.5), "M14": (1.5,)}
"""Fine pitches usual on engines, from memory."""

UNC_UNF = {
    "1/4": (20, 28),
    "5/16": (18, 24),
    "3/8": (16, 24),
    "7/16": (14, 20),
    "1/2": (13, 20),
    "9/16": (12, 18),
    "5/8": (11, 18),
    "3/4": (10, 16),
}
"""Threads per inch, coarse and fine: ASME B1.1, read in secondary text."""

ISO_272 = {"M5": 8, "M6": 10, "M8": 13, "M10": 16, "M12": 18, "M14": 21, "M16": 24, "M22": 34}
"""Widths across flats in millimetres: ISO 272:1982 and ISO 4014, read in secondary text."""

OLDER_DIN = {**ISO_272, "M10": 17, "M12": 19, "M14": 22, "M22": 32}
"""Widths across flats in millimetres: DIN 931 and 933, read in secondary text."""

ASME_B18 = {
    "1/4": "7/16",
    "5/16": "1/2",
    "3/8": "9/16",
    "7/16": "5/8",
    "1/2": "3/4",
    "9/16": "13/16",
    "5/8": "15/16",
    "3/4": "1-1/8",
}
"""Widths across flats of bolt heads in inches: ASME B18.2.1, read in secondary text."""

_FROM_MEMORY = {"M10": ("14 mm", "15 mm"), "7/16": ("11/16 in",), "9/16": ("7/8 in",)}
"""Flange and small heads of M10, nuts of 7/16 and 9/16; from memory."""

_NUMBER = r"\d+(?:\.\d+|,\d+(?![\d.]))?"
_METRIC = re.compile(rf"(?<!\w)M\s?({_NUMBER})((?:\s*[x×*]\s*{_NUMBER}){{0,2}})(?![\w×]|\.\d)", re.IGNORECASE)
_INCH = re.compile(
    r"(?<![\w./-])((?:\d+[ -])?\d{1,2}/(?:2|4|8|16|32|64))(?![\w/])"
    r"(?:\s*-\s*(\d{1,2})(?![\w/]))?(?:\s*(UNC|UNF)\b)?(?:\s*[x×*]\s*((?:\d+[ -])?\d+/\d+|\d+(?:\.\d+)?))?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread as written.

    Attributes
    ----------
    size : str
        "M10", or inches: "3/8".
    pitch_mm : float or None
        Metric only; None when neither written nor in the table.
    is_pitch_implied : bool
        True when no pitch was written, so that the coarse one of ISO 261 is meant (from memory).
    threads_per_inch : int or None
        Inch only; None when not written.
    series : str
        "coarse", "fine", "UNC", "UNF", or empty when it cannot be told.
    length : str
        Under the head, with its unit; empty when not written.
    """

    system: Literal["metric", "inch"]
    size: str
    pitch_mm: float | None = None
    is_pitch_implied: bool = False
    threads_per_inch: int | None = None
    series: str = ""
    length: str = ""

    @property
    def shown(self) -> str:
        """As it is written: "M10 x 1.25 x 35 mm", "3/8-24 UNF"."""
        name = self.size + (f"-{self.threads_per_inch}" if self.threads_per_inch else "")
        if self.system == "inch":
            name += f" {self.series}" if self.series else "" if self.threads_per_inch else " in"
        pitch = f" x {self.pitch_mm:g}" if self.pitch_mm and not self.is_pitch_implied else ""
        return name + pitch + (f" x {self.length}" if self.length else "")

    @property
    def words(self) -> str:
        """One sentence on what was and what was not told."""
        if self.system == "inch":
            return self._inch_words()
        if self.pitch_mm is None:
            return f"{self.shown}: the pitch is not written and {self.size} is not in our table."
        if self.is_pitch_implied:
            return f"{self.shown}: no pitch written, so coarse, {self.pitch_mm:g} mm (ISO 261, from memory)."
        return f"{self.shown}: {self.series or 'no usual'} pitch{'' if self.series else ', measure it again'}."

    def _inch_words(self) -> str:
        usual = UNC_UNF.get(self.size)
        if self.series and self.threads_per_inch:
            return f"{self.shown}: {self.threads_per_inch} threads per inch (ASME B1.1)."
        if usual and not self.threads_per_inch:
            return f"{self.shown}: threads per inch not written, {usual[0]} is UNC and {usual[1]} is UNF: count them."
        return f"{self.shown}: neither UNC nor UNF by our table; old machines may have other threads."


@dataclass(frozen=True, slots=True)
class Spanner:
    """A spanner that may fit, and where that is said."""

    size: str
    source: str


def find_threads(text: str) -> list[Thread]:
    """Threads in a text, metric ones first: "M10 x 1.25 x 35", "M8", "3/8-24 UNF", "1/2-13 x 2".

    After a metric size a number up to a third of the diameter is a pitch, a larger one a length.
    """
    return [*_metric_threads(text), *_inch_threads(text)]


def spanners_for(thread: Thread) -> tuple[Spanner, ...]:
    """Spanners for a thread's usual heads, the standard of today first; show `SPANNER_WARNING` beside them."""
    size = thread.size
    found = []
    if size in ISO_272:
        found = [Spanner(f"{ISO_272[size]} mm", "ISO 272:1982")]
        if OLDER_DIN[size] != ISO_272[size]:
            found.append(Spanner(f"{OLDER_DIN[size]} mm", "older DIN"))
    if size in ASME_B18:
        found = [Spanner(f"{ASME_B18[size]} in", "ASME B18.2.1")]
    kind = "flange or small head" if thread.system == "metric" else "nut"
    return (*found, *(Spanner(other, f"{kind}, from memory") for other in _FROM_MEMORY.get(size, ())))


def _metric_threads(text: str) -> Iterator[Thread]:
    for match in _METRIC.finditer(text):
        diameter_mm = _value(match[1])
        size = f"M{diameter_mm:g}"
        rest = [_value(number) for number in re.findall(_NUMBER, match[2])]
        pitch_mm = rest.pop(0) if rest and rest[0] <= diameter_mm / 3 else None
        length = f"{rest[0]:g} mm" if rest else ""
        if pitch_mm is None:
            coarse_mm = COARSE_MM.get(size)
            series = "coarse" if coarse_mm else ""
            yield Thread("metric", size, coarse_mm, coarse_mm is not None, series=series, length=length)
        else:
            yield Thread("metric", size, pitch_mm, series=_series_of(size, pitch_mm), length=length)


def _series_of(size: str, pitch_mm: float) -> str:
    if pitch_mm == COARSE_MM.get(size):
        return "coarse"
    return "fine" if pitch_mm in FINE_MM.get(size, ()) else ""


def _inch_threads(text: str) -> Iterator[Thread]:
    for match in _INCH.finditer(text):
        size, series = match[1].replace(" ", "-"), (match[3] or "").upper()
        coarse_fine = UNC_UNF.get(size, (0, 0))
        per_inch = int(match[2]) if match[2] else None
        if per_inch is None and series:
            per_inch = coarse_fine[("UNC", "UNF").index(series)] or None
        if per_inch in coarse_fine:
            series = ("UNC", "UNF")[coarse_fine.index(per_inch)]
        length = f"{match[4]} in" if match[4] else ""
        yield Thread("inch", size, threads_per_inch=per_inch, series=series, length=length)


def _value(number: str) -> float:
    return float(number.replace(",", "."))
