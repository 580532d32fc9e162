"""What people read: lines on a terminal that nothing in a name can disturb, and streams that cannot fail.

Names of files, jobs, spots and cameras come from cards and fingers and may hold anything: line breaks, the terminal's
own control sequences, marks that turn the direction of writing, bytes that are no text. People see such characters
written out; JSON keeps them exactly.
"""

from __future__ import annotations

import io
import os
import sys
import unicodedata
from contextlib import suppress
from typing import IO, Any

from rich.console import Console
from rich.text import Text

_HARMLESS_FORMATS = frozenset("\u200c\u200d")
"""Joiners inside words and emoji; every other format character can hide text or turn its direction."""
NARROWEST = 40
"""Columns below which nothing is fitted any more."""


def clean(text: str) -> str:
    """Text that may hold anything, as one harmless line: what would not print is written out, as in \\n or \\x1b."""
    return "".join(c if c.isprintable() or _is_harmless(c) else _written_out(c) for c in text)


def _is_harmless(c: str) -> bool:
    return c in _HARMLESS_FORMATS or unicodedata.category(c) == "Zs"


def _written_out(c: str) -> str:
    code = ord(c)
    if 0xDC80 <= code <= 0xDCFF:
        # A byte that is no text, as Python carries it in a file name.
        return f"\\x{code - 0xDC00:02x}"
    return repr(c)[1:-1]


class Printer(Console):
    """A console that takes every piece of text as it is, no markup in it, and writes it as harmless lines."""

    def __init__(self, **options: Any) -> None:
        super().__init__(highlight=False, markup=False, emoji=False, **options)

    def render_str(self, text: str, **how: Any) -> Text:
        return super().render_str(clean(text), **how)

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


def console() -> Printer:
    """Where people's output goes. Into a pipe or file nothing is folded: a line stays a line."""
    return Printer(soft_wrap=not is_terminal(sys.stdout))


def errors() -> Printer:
    """Where warnings, refusals and progress go, so that a pipe gets data only. A message is one line, however long."""
    return Printer(stderr=True, soft_wrap=True)


def is_terminal(stream: IO[str] | None) -> bool:
    """Whether a person sees the stream; a closed one is seen by nobody."""
    with suppress(ValueError):
        return stream is not None and stream.isatty()
    return False


def columns() -> int | None:
    """How wide people's output may be; None where it goes into a pipe or file."""
    return max(NARROWEST, console().width) if is_terminal(sys.stdout) else None


def prepare_streams() -> None:
    """Make stdout and stderr fit for anything: one that was closed leads nowhere, and no character can stop a line."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def abandon(stream: IO[str]) -> None:
    """Nobody reads this stream any more: what is still on its way leads nowhere, also when Python itself ends."""
    with suppress(OSError, ValueError, io.UnsupportedOperation):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
