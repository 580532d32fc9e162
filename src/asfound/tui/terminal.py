"""What the terminal can do, as far as it can be told, and what must be set before Textual is loaded."""

from __future__ import annotations

import os
import struct
import sys
from collections.abc import Iterable, Mapping, MutableMapping
from pathlib import Path

from asfound.system import terminal_pixels

USUAL_ASPECT = 2.0


def prepare_environment(environ: MutableMapping[str, str]) -> None:
    """Set Textual's switches that are read once at import.

    Pixel mouse reports are turned off, since terminal multiplexers make clicks land in the wrong place with them. The
    colour system is stated, since the usual guess takes a true-colour terminal for one of 16 colours whenever the
    hint is lost on the way (SSH, plain xterm).
    """
    environ["TEXTUAL_SMOOTH_SCROLL"] = "0"
    if not environ.get("TEXTUAL_COLOR_SYSTEM"):
        environ["TEXTUAL_COLOR_SYSTEM"] = colour_system(environ)


def colour_system(environ: Mapping[str, str]) -> str:
    """The colour system to draw in: "truecolor" unless the terminal is known not to have it."""
    term = environ.get("TERM", "")
    if term in ("linux", "dumb"):
        return "standard"
    if environ.get("TERM_PROGRAM") == "Apple_Terminal":
        return "256"
    return "truecolor"


def cell_aspect() -> float:
    """Height of a character cell over its width, from the terminal's pixel size; 2 when it does not say."""
    for stream in (sys.__stderr__, sys.__stdin__, sys.__stdout__):
        try:
            if stream is None or not os.isatty(stream.fileno()):
                continue
        except (OSError, ValueError):
            continue
        packed = terminal_pixels(stream)
        if packed is None:
            continue
        rows, columns, width, height = struct.unpack("HHHH", packed)
        if rows and columns and width and height:
            aspect = (height / rows) / (width / columns)
            if 1.2 <= aspect <= 3.2:
                return float(aspect)
    return USUAL_ASPECT


def terminal_key(environ: Mapping[str, str]) -> str:
    """A name for this kind of terminal, under which a person's choice of colours is kept."""
    parts = (environ.get("TERM", ""), environ.get("TERM_PROGRAM", ""), "tmux" if environ.get("TMUX") else "")
    return "/".join(part for part in parts if part)


MOUNTS = ("/run/media/*", "/media/*", "/Volumes", "/mnt", "[D-Z]:")
"""Where cards and phones show up once they are put in, on Linux, macOS and Windows."""


def likely_folder(mounts: Iterable[str] = MOUNTS) -> str:
    """The folder of the card or phone that is put in, with a slash at the end; empty when none or more than one is."""
    import glob

    found = {str(path) + "/" for mount in mounts for path in map(Path, glob.glob(f"{mount}/*/DCIM"))}
    return found.pop() if len(found) == 1 else ""
