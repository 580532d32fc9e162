"""The first screen before the toolkit stands: what it would say, drawn by hand while the rest is loaded.

Loading the toolkit takes longer than a person should look at nothing. So what the first screen says is kept when the
screens are left, with a stamp of the database file; while the stamp holds, the next start draws it at once, and the
real screen then takes its place row for row. Keys that are typed meanwhile wait in the terminal and are not lost.
Nothing heavy may be imported here.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import NamedTuple, TextIO

from asfound.archive.cache import get_cached, put_cached
from asfound.archive.layout import Layout
from asfound.system import keep_keys_unseen
from asfound.tui.terminal import colour_system
from asfound.tui.words import fit_words

ENTER_PAGE, LEAVE_PAGE = "\x1b[?1049h", "\x1b[?1049l"
TITLE_COLUMNS = 14
"""Room for the name of a place."""
_DARK = "\x1b[1;38;2;228;229;229;48;2;51;55;61m", "\x1b[38;2;225;225;225;48;2;27;27;27m"
_BRIGHT = "\x1b[1;38;2;27;28;29;48;2;213;218;225m", "\x1b[38;2;33;33;33;48;2;255;255;255m"
_REVERSE, _RESET = "\x1b[1;7m", "\x1b[0m"


class FirstRow(NamedTuple):
    """A row of the first screen: what it stands for, the key that goes there, its title, and what it says."""

    name: str
    key: str
    title: str
    words: str


@dataclass(frozen=True, slots=True)
class FirstWords:
    """What the first screen says.

    Attributes
    ----------
    title : str
    rows : tuple of FirstRow
        The chosen row first.
    hints : tuple of (str, str)
        Key and what it does.
    bright : bool
        Dark letters on a bright page.
    """

    title: str
    rows: tuple[FirstRow, ...]
    hints: tuple[tuple[str, str], ...]
    bright: bool = False


LOOKING = "looking ..."
NOTHING_KEPT = FirstWords("asfound", (FirstRow("next", "", "Next step", LOOKING),), ())


def keep(folder: Path, job_id: int | None, words: FirstWords) -> None:
    """Keep what the first screen says for the next start; call it when the database is closed."""
    layout = Layout(folder)
    stamp = _stamp(layout)
    if stamp is not None:
        data = json.dumps({"stamp": stamp, **asdict(words)}, ensure_ascii=False).encode()
        put_cached(layout, "screens", _name(job_id), data)


def load_kept(folder: Path, job_id: int | None) -> FirstWords | None:
    """What the first screen says, as far as it is known without opening the archive; None when there is no archive.

    When anything was written to the archive since, the states are left open.
    """
    layout = Layout(folder)
    stamp = _stamp(layout)
    if not layout.database.exists():
        return None
    data = get_cached(layout, "screens", _name(job_id))
    if data is None:
        return NOTHING_KEPT
    with suppress(ValueError, TypeError, KeyError):
        found = json.loads(data)
        known = found["stamp"] == stamp
        rows = tuple(
            FirstRow(str(name), str(key), str(title), str(words) if known else LOOKING)
            for name, key, title, words in found["rows"]
        )
        hints = tuple((str(key), str(does)) for key, does in found["hints"])
        return FirstWords(str(found["title"]), rows, hints, bool(found["bright"]))
    return NOTHING_KEPT


class FirstFrame:
    """The first frame on the terminal, until the toolkit goes on with its page or it is cleared away."""

    def __init__(self, terminal: TextIO | None = None, put_back: Callable[[], None] = lambda: None) -> None:
        self._terminal = terminal
        self._put_back = put_back

    @property
    def stands(self) -> bool:
        return self._terminal is not None

    def hand_over(self) -> None:
        """The toolkit draws on the page from here on, and leaves it when it ends."""
        self._terminal = None

    def clear(self) -> None:
        """Leave the page, unless it was handed over, and put the terminal's settings back; a second time is nothing."""
        if self._terminal is not None:
            self._terminal.write("\x1b[?25h" + LEAVE_PAGE)
            self._terminal.flush()
        self._terminal = None
        self._put_back()


@contextmanager
def shown(words: FirstWords | None, environ: Mapping[str, str]) -> Iterator[FirstFrame]:
    """Show the first screen until the toolkit draws over it; nothing when there are no words or no terminal."""
    terminal = sys.__stderr__
    put_back = keep_keys_unseen() if words is not None and terminal is not None and terminal.isatty() else None
    if words is None or terminal is None or put_back is None:
        yield FirstFrame()
        return
    frame = FirstFrame(terminal, put_back)
    try:
        width, height = os.get_terminal_size(terminal.fileno())
        terminal.write(ENTER_PAGE + "\x1b[?25l" + draw(words, width, height, environ))
        terminal.flush()
        yield frame
    finally:
        frame.clear()


def draw(words: FirstWords, width: int, height: int, environ: Mapping[str, str]) -> str:
    """The whole screen as text with terminal sequences, laid out as the real one is."""
    plain = bool(environ.get("NO_COLOR")) or colour_system(environ) != "truecolor"
    bar, page = (_REVERSE, _RESET) if plain else _BRIGHT if words.bright else _DARK
    right = "type a number to find it" if width >= 100 else "number: find"
    lines = [bar + fit_words(f" {words.title}", max(10, width - len(right) - 2)) + f" {right} " + _RESET, page]
    for place, row in enumerate(words.rows):
        text = f"{row.key:3}  {row.title:{TITLE_COLUMNS}}  {row.words}"
        lines.append(
            f"{page}{_REVERSE}{fit_words('▸ ' + text, width)}{_RESET}"
            if not place
            else page + fit_words("  " + text, width)
        )
    lines = lines[: height - 1]
    lines += [page + " " * width] * (height - 1 - len(lines))
    hints = "   ".join(f"{key} {does}" for key, does in words.hints)
    foot = bar + fit_words(f" {hints}", width) + _RESET
    return "".join(f"\x1b[{row};1H{line}\x1b[K" for row, line in enumerate([*lines, foot], 1))


def _name(job_id: int | None) -> str:
    return f"first-{'latest' if job_id is None else job_id}.json"


def _stamp(layout: Layout) -> list[int] | None:
    """Size and time of change of the database; None while another program may be writing it."""
    with suppress(OSError):
        if layout.database.with_name(layout.database.name + "-wal").exists():
            return None
        state = layout.database.stat()
        return [state.st_size, state.st_mtime_ns]
    return None
