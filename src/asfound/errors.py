"""Every error a person can meet, as one tree.

AsfoundError                  exit 2 unless said otherwise
├── Misused                   the command was given something it cannot use
│   ├── NotFound              a picture, tag, spot, clip, bag or job that the archive does not hold (exit 1)
│   ├── Ambiguous             more than one thing answers to the words given
│   └── AskBack               a typed line is not clear; nothing of it is written (exit 1)
├── NoArchive                 there is no archive in the folder named
├── ArchiveTrouble            the archive's files or database cannot be used as they are
│   ├── NewerArchive          written by a later version than this one
│   └── OriginalMissing       a row without its original
├── Refused                   one file cannot be taken in (exit 1; the dump goes on)
│   ├── NotMedia              its content is neither a picture nor a clip
│   ├── TooLarge              a limit on bytes, pixels, frames or details was passed
│   └── Unreadable            damaged, truncated, or the system will not hand it over
├── NothingToUndo             exit 1
├── InTheWay                  what was entered later stands on what is to be taken back or brought back (exit 1)
├── AskFirst                  it could cost more than was meant: it is asked, and done only when said again (exit 1)
└── MissingLibrary            a library, or a system part it needs, cannot be loaded (exit 3)

Each message names the thing, the cause and the next move, in one line.
"""

from __future__ import annotations

from collections.abc import Iterable


class AsfoundError(Exception):
    """Base of all errors that are shown to a person as one line, without a traceback."""

    exit_status = 2


class Misused(AsfoundError):
    """The command was given something it cannot use."""


class NotFound(Misused):
    """The archive does not hold the thing named."""

    exit_status = 1


class Ambiguous(Misused):
    """More than one thing answers to the words given."""


class AskBack(Misused):
    """A typed line can mean several things, or nothing for certain; nothing of it is written.

    Attributes
    ----------
    readings : tuple of str
        What it can mean, each in one line.
    """

    exit_status = 1

    def __init__(self, why: str, readings: Iterable[str] = ()) -> None:
        self.readings = tuple(readings)
        meant = f" It can be: {'; or: '.join(self.readings)}." if self.readings else ""
        super().__init__(f"{why}{meant}")


class NoArchive(AsfoundError):
    """There is no archive in the folder named."""


class ArchiveTrouble(AsfoundError):
    """The archive's files or database cannot be used as they are."""


class NewerArchive(ArchiveTrouble):
    """The archive was written by a later version of this program."""


class UnfinishedArchive(ArchiveTrouble):
    """The archive was written by a version whose format was never released."""


class OriginalMissing(ArchiveTrouble):
    """A row names an original that is not on the disk."""


class Refused(AsfoundError):
    """One file cannot be taken in; the rest of the dump goes on."""

    exit_status = 1


class NotMedia(Refused):
    """The file's content is neither a picture nor a clip that can be read."""


class TooLarge(Refused):
    """The file passes a limit on bytes, pixels, frames or details."""


class Unreadable(Refused):
    """The file is damaged or truncated, or the system will not hand it over."""


class NothingToUndo(AsfoundError):
    """There is no step left that could be taken back."""

    exit_status = 1


class InTheWay(AsfoundError):
    """What was entered later stands on what is to be taken back or brought back."""

    exit_status = 1


class AskFirst(AsfoundError):
    """What was asked for could cost more than was meant; it is done only when it is said again.

    Attributes
    ----------
    question : str
        What is to be asked, in full sentences.
    how : str
        How to say on the command line that it is meant.
    """

    exit_status = 1

    def __init__(self, question: str, how: str = "") -> None:
        self.question, self.how = question, how
        super().__init__(f"{question} {how}".rstrip())


class MissingLibrary(AsfoundError):
    """A library, or a part of the system that it needs, cannot be loaded."""

    exit_status = 3
