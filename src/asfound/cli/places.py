"""Where in a picture, when, and which end, in words: nobody counts hundredths with a torch between the teeth."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from datetime import datetime

from rich.cells import cell_len
from rich.text import Text

from asfound.cli.terminal import clean, columns
from asfound.model.tags import EndLetter, Tag

_ACROSS = ("left", "middle", "right")
_DOWN = ("top", "middle", "bottom")


def place_in_words(x_frac: float, y_frac: float) -> str:
    """The ninth of the picture that a point lies in.

    Examples
    --------
    >>> place_in_words(0.1, 0.9), place_in_words(0.5, 0.5), place_in_words(0.5, 0.1), place_in_words(0.9, 0.5)
    ('bottom left', 'middle', 'top middle', 'middle right')
    """
    down, across = _DOWN[_third(y_frac)], _ACROSS[_third(x_frac)]
    return down if down == across else f"{down} {across}"


def place(x_frac: float, y_frac: float) -> str:
    """In words and as fractions, as `asfound pin` takes them."""
    return f"{place_in_words(x_frac, y_frac)} ({x_frac:.2f} {y_frac:.2f})"


def minute(at: datetime | None) -> str:
    """A time for people, in the zone it was taken in."""
    return "time unknown    " if at is None else f"{at:%Y-%m-%d %H:%M}"


def end_label(tag: Tag, end: EndLetter) -> str:
    """A tag's end as it is typed: 17b, 12.2b for the second thing numbered 12; a thing with one end has no letter."""
    number = tag.number if tag.order == 1 else f"{tag.number}.{tag.order}"
    return number if tag.ends == 1 else f"{number}{end.lower()}"


def width_of(files: Iterable[str], most: int = 24) -> int:
    """Columns for the file names of a list; a longer one pushes its line on."""
    return min(most, max((cell_len(clean(file)) for file in files), default=0))


def padded(text: str, width: int, *, at_right: bool = False) -> str:
    """Text filled with blanks to so many columns of the terminal, of which wide letters and emoji take two.

    Examples
    --------
    >>> padded("17", 5), padded("１７", 5, at_right=True)
    ('17   ', ' １７')
    """
    blanks = " " * (width - cell_len(clean(text)))
    return blanks + text if at_right else text + blanks


def counted(number: int, thing: str) -> str:
    """A number of things: 1 photo, 2 photos."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def in_lines(words: str, indent: int) -> Text:
    """Words set in from the left, broken into lines that fit a terminal; one line where there is none."""
    room, words = columns(), clean(words)
    if room is None:
        return Text(" " * indent + words)
    lines = textwrap.wrap(words, room - indent, break_long_words=False, break_on_hyphens=False)
    return Text("\n".join(" " * indent + line for line in lines))


def _third(frac: float) -> int:
    return min(2, max(0, int(frac * 3)))
