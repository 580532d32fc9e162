"""Fluids back in: what was filled, bled and looked at, and what is left out on purpose."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime

from asfound.actions import log
from asfound.actions.archive import Archive, kept
from asfound.core.log.fluids import Fluid, find_fluids, fluid_key
from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.log import BLED, FILLED, LEAKS, LEFT_OUT, LogLine
from asfound.model.tags import Tag


@dataclass(frozen=True, slots=True)
class FluidWords:
    """What is said of a fluid: which, how much ("8 l"), the grade, out of which container, who, and what else."""

    what: str
    amount: str = ""
    grade: str = ""
    container: str = ""
    by_whom: str = ""
    note: str = ""


@kept
def list_fluids(archive: Archive) -> tuple[Fluid, ...]:
    """Fluids that were drained or filled, each since it was last drained."""
    return tuple(find_fluids(log.list_lines(archive)))


def write_fluid(
    archive: Archive,
    kind: str,
    said: FluidWords,
    *,
    tag: Tag | None = None,
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down that a fluid was filled, bled, looked at for leaks, or is left out on purpose (the note says why).

    `tag` is where it went in, or what was looked at. A look for leaks that names nothing is of all filled so far.

    Raises
    ------
    Misused
        If nothing says which fluid, or why it is left out.
    """
    if not said.what.strip() and kind != LEAKS:
        raise Misused(f'Say which fluid: asfound {kind.split()[0]} "engine oil"')
    if kind == LEFT_OUT and not said.note.strip():
        raise Misused(f'Say why it is left out: asfound filled "{said.what}" --left-out "goes to the new owner dry"')
    words = {**asdict(said), "what": " ".join(said.what.split())}
    return log.write_told(archive, f"{said.what} {kind}", kind, words, tag=tag, at=at, is_day_only=is_day_only)


def write_fluid_words(archive: Archive, fluid: str, text: str) -> LogLine:
    """Write down what a line says of a fluid: an amount ("7.5 l"), "bled", "leaks looked at", or "left out" and why."""
    words = " ".join(text.split())
    for kind, begins in ((BLED, "bled"), (LEAKS, "leaks looked at"), (LEAKS, "leaks"), (LEFT_OUT, "left out")):
        if fold(words).startswith(begins):
            return write_fluid(archive, kind, FluidWords(fluid, note=words[len(begins) :].strip(" ,:")))
    if not words:
        raise Misused(f"Say how much {fluid} was filled, such as: 7.5 l. Or: bled, leaks looked at, left out and why.")
    return write_fluid(archive, FILLED, FluidWords(fluid, words))


def fluid_oddity(archive: Archive, what: str) -> str:
    """What is odd about a fluid's name, to be said beside it: it is none of those that were drained."""
    drained = [fluid.name for fluid in list_fluids(archive) if fluid.drained]
    if not drained or fluid_key(what) in map(fluid_key, drained):
        return ""
    return (
        f'"{what}" is not among the fluids that were drained ({", ".join(drained)}). If it is one of them: '
        "asfound undo, then write it down under that name."
    )
