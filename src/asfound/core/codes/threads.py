"""Threads as people write them, and the spanners that fit their heads. To describe what is in a bag, not to choose."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from asfound.core.codes.thread_tables import (
    ASME_B18,
    COARSE_MM,
    FINE_MM,
    ISO_272,
    ISO_272_REMEMBERED,
    OLDER_DIN,
    REMEMBERED_HEADS,
    UNC_UNF,
)

SPANNER_WARNING = (
    "A spanner size never proves a thread: flange and small heads differ, 1/2 in is near 13 mm and 3/4 in near 19 mm."
)

_PIPE_LETTERS = {"G": "BSPP", "Rp": "BSPP", "R": "BSPT", "Rc": "BSPT"}
"""Letters before the size of a British pipe thread, ISO 228-1 and ISO 7-1, from memory."""

_OTHER_SERIES = "BSPP|BSPT|BSP|BSW|BSF|Whitworth|Whit|NPTF|NPT|NPSM|NPS|UNEF|UNS|JIC"
"""Series that our table does not have."""

_NUMBER = r"\d+(?:\.\d+|,\d+(?![\d.]))?"
_METRIC = re.compile(
    rf"(?<!\w)M\s?({_NUMBER})(?:\s+(fine|coarse)\b)?((?:\s*[x×*]\s*{_NUMBER}){{0,2}})(?:\s*mm)?(?:\s+(fine|coarse)\b)?"
    r"(?![\w×]|\.\d)",
    re.IGNORECASE,
)
_INCH = re.compile(
    r"(?:(?<!\w)(?-i:(G|Rp|Rc|R))\s?|(?<![\w./-]))((?:\d+[ -])?\d{1,2}/(?:2|4|8|16|32|64))(?![\w/])"
    rf"(?:\s*-\s*(\d{{1,2}})(?![\w/]))?(?:\s*(?:in\b|inch\b|\")?\s*-?\s*(UNC|UNF|{_OTHER_SERIES})\b)?"
    r"(?:\s*[x×*]\s*((?:\d+[ -])?\d+/\d+|\d+(?:\.\d+)?))?",
    re.IGNORECASE,
)


_BSW_LOOKS_ALIKE = "BSW of old British machines has the same count and another angle (from memory)."
_OTHERS = "It may be a pipe thread or BSW too, which are not in our table."


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
        "coarse", "fine", "UNC", "UNF", another as written ("BSP"), or empty when it cannot be told.
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
        pitch = " fine" if self._is_fine_of_unknown_pitch else pitch
        return name + pitch + (f" x {self.length}" if self.length else "")

    @property
    def is_in_table(self) -> bool:
        """Whether its series, as far as it is known, is one of those that our tables have."""
        return self.series in ("", "coarse", "fine", "UNC", "UNF")

    @property
    def _is_fine_of_unknown_pitch(self) -> bool:
        return self.system == "metric" and self.series == "fine" and self.pitch_mm is None

    @property
    def words(self) -> str:
        """One sentence on what was and what was not told."""
        if self.system == "inch":
            return self._inch_words()
        if self._is_fine_of_unknown_pitch:
            usual = " or ".join(f"{pitch:g}" for pitch in FINE_MM.get(self.size, ()))
            told = f" Usual: {usual} mm (from memory)." if usual else ""
            return f"{self.shown}: which pitch? It is not written, measure it.{told}"
        if self.pitch_mm is None:
            return f"{self.shown}: the pitch is not written and {self.size} is not in our table."
        if self.is_pitch_implied:
            return f"{self.shown}: no pitch written, so coarse, {self.pitch_mm:g} mm (ISO 261, from memory)."
        return f"{self.shown}: {self.series or 'no usual'} pitch{'' if self.series else ', measure it again'}."

    def _inch_words(self) -> str:
        if not self.is_in_table:
            return (
                f"{self.shown}: {self.series} is not in our table, it is neither UNC nor UNF: measure it with a gauge."
            )
        usual = UNC_UNF.get(self.size)
        if self.series == "UNC" and self.threads_per_inch and self.size != "1/2":
            return f"{self.shown}: {self.threads_per_inch} threads per inch (ASME B1.1). {_BSW_LOOKS_ALIKE}"
        if self.series and self.threads_per_inch:
            return f"{self.shown}: {self.threads_per_inch} threads per inch (ASME B1.1)."
        if usual and not self.threads_per_inch:
            counts = f"{usual[0]} is UNC and {usual[1]} is UNF"
            return f"{self.shown}: threads per inch not written, {counts}: count them. {_OTHERS}"
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
    if not thread.is_in_table:
        return ()
    if size in ISO_272_REMEMBERED:
        found = [Spanner(f"{ISO_272_REMEMBERED[size]} mm", "ISO 272:1982, from memory")]
    if size in ISO_272:
        found = [Spanner(f"{ISO_272[size]} mm", "ISO 272:1982")]
        if OLDER_DIN[size] != ISO_272[size]:
            found.append(Spanner(f"{OLDER_DIN[size]} mm", "older DIN"))
    if size in ASME_B18:
        found = [Spanner(f"{ASME_B18[size]} in", "ASME B18.2.1")]
    kind = "flange or small head" if thread.system == "metric" else "nut"
    return (*found, *(Spanner(other, f"{kind}, from memory") for other in REMEMBERED_HEADS.get(size, ())))


def _metric_threads(text: str) -> Iterator[Thread]:
    for match in _METRIC.finditer(text):
        diameter_mm = _value(match[1])
        size = f"M{diameter_mm:g}"
        rest = [_value(number) for number in re.findall(_NUMBER, match[3])]
        said = (match[2] or match[4] or "").lower()
        pitch_mm = rest.pop(0) if rest and rest[0] <= diameter_mm / 3 else None
        length = f"{rest[0]:g} mm" if rest else ""
        if pitch_mm is None and said == "fine":
            yield Thread("metric", size, series="fine", length=length)
        elif pitch_mm is None:
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
        size, series = match[2].replace(" ", "-"), _series_written(match[1], match[4])
        coarse_fine = UNC_UNF.get(size, (0, 0))
        per_inch = int(match[3]) if match[3] else None
        if per_inch is None and series in ("UNC", "UNF"):
            per_inch = coarse_fine[("UNC", "UNF").index(series)] or None
        if per_inch in coarse_fine and series in ("", "UNC", "UNF"):
            series = ("UNC", "UNF")[coarse_fine.index(per_inch)]
        length = f"{match[5]} in" if match[5] else ""
        yield Thread("inch", size, threads_per_inch=per_inch, series=series, length=length)


def _series_written(letter: str | None, written: str | None) -> str:
    """The series in one spelling: "BSW" for Whitworth, "BSPP" for the letter G; empty when none is written."""
    series = (written or _PIPE_LETTERS.get(letter or "", "")).upper()
    return "BSW" if series.startswith("WHIT") else series


def _value(number: str) -> float:
    return float(number.replace(",", "."))
