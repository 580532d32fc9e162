"""What is written of a thing already is not written over without a question that shows both versions."""

from __future__ import annotations

from collections.abc import Mapping

from asfound.core.log.tag_fields import BY_KEY
from asfound.errors import AskFirst

_NO_WORDS = frozenset({"number", "ends"})
"""What the tape says, and how many ends; nobody loses words by those."""
HOW = "Say it with --change if that is meant, or with --another for a second thing with this number."


def ask_before_overwriting(number: str, before: Mapping[str, str], after: Mapping[str, str]) -> None:
    """Ask where a field would hold other words; one that only grew, such as a note, or was emptied, is no question.

    Parameters
    ----------
    before, after : mapping of str to str
        What stood, and what would stand, in each field, by `TagField.key`.

    Raises
    ------
    AskFirst
        With both versions of each such field side by side.
    """
    lost = {
        key: (was, after[key])
        for key, was in before.items()
        if was and after.get(key) and key not in _NO_WORDS and was.casefold() not in after[key].casefold()
    }
    if lost:
        sides = "; ".join(f'{_title(key)}: "{was}" -> "{becomes}"' for key, (was, becomes) in lost.items())
        raise AskFirst(f"{number} is written down already, and this would change it. {sides}.", HOW)


def _title(key: str) -> str:
    field = BY_KEY[key]
    return f"{field.end} {field.title.lower()}" if field.end else field.title.lower()
