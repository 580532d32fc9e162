"""Where in a clip a tag end can be seen, and the moment it came off."""

from __future__ import annotations

from asfound.core.find.in_clips import FrameSighting, find_in_clips


def frame(
    seconds: float, *, clip: int = 1, gone: bool | None = None, sure: float = 0.9, x: float = 0.5
) -> FrameSighting:
    return FrameSighting(clip, int(seconds * 10) + 100 * clip, seconds, x, 0.5, sure, 100.0, gone)


def test_a_clip_is_named_with_the_seconds_between_which_it_shows() -> None:
    (shown,) = find_in_clips([frame(4.0, x=0.02), frame(2.0, x=0.45), frame(3.0, x=0.97)])
    assert (shown.from_s, shown.to_s) == (2.0, 4.0)
    assert shown.best is not None
    assert shown.best.seconds == 2.0, "the others have it at the edge"
    assert shown.last_with is None


def test_the_moment_it_came_off_lies_between_two_frames() -> None:
    (shown,) = find_in_clips([frame(1.0), frame(2.5), frame(3.0, gone=True), frame(4.0, gone=True)])
    assert shown.last_with is not None
    assert shown.first_without is not None
    assert (shown.last_with.seconds, shown.first_without.seconds) == (2.5, 3.0)
    assert shown.is_seen
    assert shown.best is not None
    assert shown.best.seconds <= 2.5


def test_frames_that_contradict_each_other_tell_no_moment() -> None:
    (shown,) = find_in_clips([frame(1.0), frame(2.0, gone=True), frame(3.0)])
    assert shown.last_with is None
    assert shown.first_without is None


def test_unsure_places_tell_no_moment() -> None:
    (shown,) = find_in_clips([frame(1.0), frame(2.0, gone=True, sure=0.4)])
    assert shown.first_without is None


def test_the_log_tells_the_moment_where_it_falls_into_the_clip() -> None:
    (shown,) = find_in_clips([frame(1.0), frame(2.0), frame(3.0)], {1: 1.5})
    assert shown.last_with is not None
    assert shown.first_without is not None
    assert (shown.last_with.seconds, shown.first_without.seconds) == (1.0, 2.0)
    assert not shown.is_seen


def test_a_clip_that_shows_it_attached_comes_first() -> None:
    shown = find_in_clips([frame(1.0, clip=1, gone=True), frame(1.0, clip=2)])
    assert [one.clip_id for one in shown] == [2, 1]
    assert shown[1].best is None
