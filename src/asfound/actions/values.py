"""Values out of the service manual, typed once, and what was measured or reached of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from asfound.actions import log
from asfound.actions.archive import Archive, kept
from asfound.core.refit.amounts import is_torque
from asfound.core.refit.typed_value import read_value
from asfound.core.refit.values import NOT_FINAL, ValueStanding, find_values
from asfound.core.words import fold
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.log import LogLine
from asfound.model.tags import Tag
from asfound.model.values import TIGHTENING, ManualValue
from asfound.store import events
from asfound.store import values as stored


@dataclass(frozen=True, slots=True)
class Reached:
    """What was measured or reached, in the person's words: "45 Nm", by whom, and whether it stays so."""

    amount: str
    what: str = ""
    by_whom: str = ""
    note: str = ""
    is_final: bool = True


@kept
def list_values(archive: Archive) -> tuple[ValueStanding, ...]:
    """Every value as it stands, in the order in which they were typed."""
    typed = stored.list_values(archive.store, archive.job.job_id)
    return tuple(find_values(typed, log.list_lines(archive), log.list_events(archive)))


def not_final(archive: Archive) -> list[ValueStanding]:
    """Values that are not reached, not for good, or not as they were typed."""
    return [one for one in list_values(archive) if not one.is_final]


def values_of(archive: Archive, about: Tag | str) -> list[ValueStanding]:
    """Values of a tag, or of a thing without a number by its words."""
    return [one for one in list_values(archive) if _is_about(one.value, about)]


def set_value(
    archive: Archive,
    about: Tag | str,
    what: str,
    *,
    wanted: str | None = None,
    limits: str | None = None,
    page: str | None = None,
) -> ManualValue:
    """Type a value in, or change what is said of it; None leaves a part as it is.

    Raises
    ------
    Misused
        If nothing says what it is of, or no value is typed: the tool has none of its own.
    """
    what = " ".join(what.split())
    known = next((one.value for one in values_of(archive, about) if fold(one.value.what) == fold(what)), None)
    if not what:
        raise Misused('Say which value: asfound value 17 tightening "45 Nm" --page 6-12')
    if known is None and not (wanted or limits):
        raise Misused(f"Type the {what} as the service manual has it; asfound has no values of its own.")
    said = {
        name: word.strip()
        for name, word in (("wanted", wanted), ("limits", limits), ("page", page))
        if word is not None
    }
    with archive.step(f"{what} of {name_of(about)}"):
        job_id = archive.job.job_id
        tag_id, thing = (about.tag_id, "") if isinstance(about, Tag) else (None, " ".join(about.split()))
        value_id = known.value_id if known else stored.add_value(archive.store, job_id, tag_id, thing, what)
        stored.change_value(archive.store, value_id, **said)
    return next(one for one in stored.list_values(archive.store, job_id) if one.value_id == value_id)


def drop_value(archive: Archive, about: Tag | str, what: str) -> None:
    """Take a value away; what was measured stays in the log."""
    value = _get_value(archive, about, what)
    with archive.step(f"no {value.what} of {name_of(about)}"):
        stored.remove_value(archive.store, value.value_id)


def reach(
    archive: Archive, about: Tag | str, said: Reached, *, at: datetime | None = None, is_day_only: bool = False
) -> LogLine:
    """Write down what was measured or reached.

    Raises
    ------
    Misused, Ambiguous
        If nothing was; if a thing has several values and nobody said which is meant.
    """
    if not said.amount.strip():
        raise Misused(f'Say what was reached: asfound reached {name_of(about)} "45 Nm"')
    what = said.what.strip() or _meant(archive, about, said.amount)
    kind = "torque" if fold(what) in TIGHTENING or is_torque(said.amount) else "measured"
    now = archive.now()
    with archive.step(f"{what or 'measured'} of {name_of(about)}: {said.amount}"):
        event_id = events.add_event(
            archive.store,
            about.tag_id if isinstance(about, Tag) else None,
            kind,
            at or now,
            now,
            job_id=archive.job.job_id,
            is_day_only=is_day_only,
            what=what if isinstance(about, Tag) else " ".join(f"{about} {what}".split()),
            amount=said.amount.strip(),
            by_whom=said.by_whom,
            note=said.note,
            how="" if said.is_final else NOT_FINAL,
        )
    return log.get_line(archive, event_id)


def type_value(archive: Archive, tag: Tag, text: str) -> str:
    """Write down a value of a tag from one typed line, or what was reached; how it stands then, in words.

    Raises
    ------
    Misused, Ambiguous
        See `read_value`, `set_value` and `reach`.
    """
    said = read_value(text)
    if not said.is_reached:
        value = set_value(archive, tag, said.what, wanted=said.amount or None, limits=said.limits or None,
                          page=said.page or None)  # fmt: skip
        return next(f"{one.value.what}: {one.words}" for one in values_of(archive, tag) if one.value == value)
    line = reach(archive, tag, Reached(said.amount, said.what, said.by_whom))
    mine = (one for one in values_of(archive, tag) if one.reached is not None and one.reached.event_id == line.event_id)
    return next((f"{one.value.what}: {one.words}" for one in mine), f"{line.what or 'measured'} {line.amount}")


def name_of(about: Tag | str) -> str:
    """A tag's number, or the words for a thing that has none."""
    if isinstance(about, str):
        return about
    return about.number if about.order == 1 else f"{about.number}.{about.order}"


def _meant(archive: Archive, about: Tag | str, amount: str) -> str:
    """The one value that an amount can be of; an amount of a joint is one of tightening."""
    of_joint = is_torque(amount)
    mine = [one.value.what for one in values_of(archive, about) if fold(one.value.what) != "order"]
    fitting = [what for what in mine if (fold(what) in TIGHTENING) == of_joint]
    if len(fitting) > 1:
        raise Ambiguous(f"{name_of(about)} has several values; say which with --what: {', '.join(fitting)}.")
    return fitting[0] if fitting else "tightening" if of_joint else ""


def _get_value(archive: Archive, about: Tag | str, what: str) -> ManualValue:
    for one in values_of(archive, about):
        if fold(one.value.what) == fold(" ".join(what.split())):
            return one.value
    known = ", ".join(one.value.what for one in values_of(archive, about)) or "none yet"
    raise NotFound(f"{name_of(about)} has no value {what}; it has: {known}.")


def _is_about(value: ManualValue, about: Tag | str) -> bool:
    if isinstance(about, Tag):
        return value.tag_id == about.tag_id
    return value.tag_id is None and fold(value.thing) == fold(" ".join(about.split()))
