"""What an archive holds, in few words, to hold against what keys were to write into it."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.log import list_lines
from asfound.actions.views import source_of
from asfound.model.log import LOOKED_OVER
from asfound.model.tags import PinProposal
from asfound.store import pins, spots, tags
from asfound.store.pictures import get_picture


def last_step(archive: Archive) -> str:
    """What was done last of what can be taken back; empty when there is nothing."""
    return next(iter(archive.store.steps(1)), "")


def pinned(archive: Archive, picture_id: int) -> dict[str, tuple[float, float]]:
    """The pins on a picture: "31A" to where it is, in fractions."""
    numbers = _numbers(archive)
    found = pins.pins_on_picture(archive.store, picture_id)
    return {f"{numbers[one.tag_id]}{one.end}": (one.x_frac, one.y_frac) for one in found}


def boxes(archive: Archive, picture_id: int) -> dict[str, tuple[float | None, float | None]]:
    """The pins on a picture: "31A" to width and height of its box, in fractions; None for a point."""
    numbers = _numbers(archive)
    found = pins.pins_on_picture(archive.store, picture_id)
    return {f"{numbers[one.tag_id]}{one.end}": (one.w_frac, one.h_frac) for one in found}


def proposed(archive: Archive) -> list[PinProposal]:
    """The pins that wait for a word."""
    return pins.list_proposals(archive.store, archive.job.job_id)


def labels(archive: Archive, proposals: list[PinProposal]) -> list[str]:
    """Proposals as "31A on 2"."""
    numbers = _numbers(archive)
    return sorted(f"{numbers[one.tag_id]}{one.end} on {one.picture_id}" for one in proposals)


def refused(archive: Archive) -> list[str]:
    """The proposals that a person refused, as "31A on 2"."""
    numbers, job_id = _numbers(archive), archive.job.job_id
    return sorted(f"{numbers[tag_id]}{end} on {at}" for tag_id, end, at in pins.list_rejections(archive.store, job_id))


def logged(archive: Archive) -> list[str]:
    """The log as "31 off", the oldest first; what is struck out is left out."""
    numbers = _numbers(archive)
    return [f"{numbers[one.tag_id or 0]} {one.kind}" for one in list_lines(archive) if not one.is_struck]


def how_last(archive: Archive) -> tuple[str, str]:
    """What the latest line of the log is about, and how that went back."""
    line = list_lines(archive)[-1]
    return _numbers(archive)[line.tag_id or 0], line.how


def last_look(archive: Archive) -> tuple[str, str, str, str, str]:
    """What was said last when a thing was looked over: "31A", the answer, the picture, the one beside it, and why."""
    line = list_lines(archive)[-1]
    assert line.kind == LOOKED_OVER
    return f"{_numbers(archive)[line.tag_id or 0]}{line.end}", line.how, line.picture, line.beside, line.note


def pair_words(archive: Archive) -> dict[tuple[int, int], str]:
    """A person's words on pairs, by the earlier picture and the later one."""
    return spots.load_pair_words(archive.store, archive.job.job_id)


def original_path(archive: Archive, picture_id: int) -> Path:
    """Where a picture's file lies."""
    return source_of(archive, get_picture(archive.store, picture_id)).path


def members(archive: Archive) -> dict[int, tuple[int, ...]]:
    """Spot to its pictures in order of time."""
    return {one.spot_id: one.picture_ids for one in spots.list_spots(archive.store, archive.job.job_id)}


def _numbers(archive: Archive) -> dict[int, str]:
    return {one.tag_id: one.number for one in tags.list_tags(archive.store, archive.job.job_id)} | {0: ""}
