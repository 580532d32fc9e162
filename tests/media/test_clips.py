"""Clips: headers, rotation, exact frames, and the choice of frames."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import av
import numpy as np
import pytest

from asfound.errors import NotMedia, Refused, TooLarge, Unreadable
from asfound.media.clips import frame_at, read_clip_header
from asfound.media.format import ClipFormat
from asfound.media.frames import pick_frames
from asfound.media.limits import Limits
from asfound.media.opening import identify, read_details
from asfound.model.capture import TimeSource
from tests.core.capture.utc import utc_of
from tests.media import samples

MOMENT = datetime(2025, 10, 18, 7, 42, 11, tzinfo=UTC)


@pytest.fixture(scope="module")
def walk_round(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[samples.RGB]]:
    """Eight seconds of a moving camera, one keyframe in 25 frames."""
    path = tmp_path_factory.mktemp("clips") / "walk.mp4"
    frames = samples.write_clip(path, seconds=8, rate=10, gop=25, texts={"creation_time": "2025-10-18T07:42:11Z"})
    return path, frames


@pytest.mark.parametrize("suffix", [".mp4", ".mov", ".m4v", ".3gp"])
def test_every_suffix_of_the_family_is_read(suffix: str, tmp_path: Path):
    path = tmp_path / f"x{suffix}"
    if suffix == ".m4v":
        samples.write_clip(tmp_path / "x.mp4", seconds=1)
        (tmp_path / "x.mp4").rename(path)
    else:
        samples.write_clip(path, seconds=1)

    details = read_details(path)

    assert isinstance(identify(path), ClipFormat)
    assert (details.kind, details.width_px, details.height_px) == ("clip", 320, 240)
    assert details.duration_s == pytest.approx(1.0, abs=0.15)


def test_header_time_is_utc_shown_in_the_zone(walk_round: tuple[Path, list[samples.RGB]]):
    taken = read_details(walk_round[0], zone=ZoneInfo("Europe/Amsterdam")).capture.taken

    assert taken is not None
    assert utc_of(taken) == MOMENT
    assert taken.local.hour == 9
    assert taken.source is TimeSource.CLIP_HEADER
    assert read_clip_header(walk_round[0]).header_count == 3_843_618_131


def test_key_with_offset_beats_the_header(tmp_path: Path):
    path = tmp_path / "x.mov"
    texts = {
        "com.apple.quicktime.creationdate": "2025-10-18T09:42:11+0200",
        "com.apple.quicktime.make": "Fieldcam",
        "com.apple.quicktime.model": "F1",
        "creation_time": "2024-01-01T00:00:00Z",
    }
    samples.write_clip(path, seconds=1, texts=texts)

    capture = read_details(path).capture

    assert capture.taken is not None
    assert capture.taken.source is TimeSource.CLIP_KEY
    assert (capture.taken.offset_minutes, utc_of(capture.taken)) == (120, MOMENT)
    assert (capture.make, capture.model) == ("Fieldcam", "F1")


def test_clip_without_a_time_has_none_from_its_header(tmp_path: Path):
    samples.write_clip(tmp_path / "x.mp4", seconds=1)

    taken = read_details(tmp_path / "x.mp4").capture.taken

    assert taken is not None
    assert taken.source is TimeSource.FILE_TIME


@pytest.mark.parametrize(("anticlockwise", "clockwise"), [(-90, 90), (90, 270), (180, 180)])
def test_rotation_is_applied(anticlockwise: int, clockwise: int, tmp_path: Path):
    path = tmp_path / "x.mp4"
    frames = samples.write_clip(path, seconds=1, size=(320, 240), turn=anticlockwise)

    details = read_details(path)
    shown = frame_at(path, 0.0)

    assert details.rotation_deg == clockwise
    assert shown.shape[:2] == (details.height_px, details.width_px)
    assert samples.likeness(shown, np.rot90(frames[0], anticlockwise // 90)) < 8
    picked = next(iter(pick_frames(path)))
    assert picked.image_rgb.shape == shown.shape


def test_frame_at_gives_the_frame_of_that_moment(walk_round: tuple[Path, list[samples.RGB]]):
    path, frames = walk_round

    for number in (0, 1, 24, 25, 26, 49, 79):
        assert samples.likeness(frame_at(path, number / 10), frames[number]) < 8
    assert samples.likeness(frame_at(path, 1000.0), frames[-1]) < 8
    assert samples.likeness(frame_at(path, -5.0), frames[0]) < 8


def test_short_clip_gives_about_one_frame_in_eight_tenths_of_a_second(walk_round: tuple[Path, list[samples.RGB]]):
    path, frames = walk_round

    picked = list(pick_frames(path))

    assert 7 <= len(picked) <= 11
    gaps = np.diff([each.seconds for each in picked])
    assert gaps.min() >= 0.35
    for each in picked:
        assert samples.likeness(each.image_rgb, frames[round(each.seconds * 10)]) < 8
        assert np.array_equal(frame_at(path, each.seconds), each.image_rgb)


def test_still_camera_gives_one_frame(tmp_path: Path):
    samples.write_clip(tmp_path / "x.mp4", seconds=6, moving=False)

    assert len(list(pick_frames(tmp_path / "x.mp4"))) == 1


def test_sharp_frames_are_chosen(tmp_path: Path):
    blurred = frozenset(n for n in range(80) if n % 8 not in (3, 4))
    samples.write_clip(tmp_path / "x.mp4", seconds=8, rate=10, blurred=blurred)

    picked = list(pick_frames(tmp_path / "x.mp4"))

    assert len(picked) >= 6
    sharp = [each for each in picked if round(each.seconds * 10) not in blurred]
    assert len(sharp) >= len(picked) - 1


def test_same_clip_gives_the_same_frames_twice(walk_round: tuple[Path, list[samples.RGB]]):
    first, second = ([each.seconds for each in pick_frames(walk_round[0])] for _ in range(2))

    assert first == second


@pytest.mark.parametrize("gop", [10, 250])
def test_long_clip_is_sampled_within_its_bounds(gop: int, tmp_path: Path):
    path = tmp_path / "x.mp4"
    samples.write_clip(path, seconds=60, rate=10, size=(160, 120), gop=gop)

    picked = list(pick_frames(path))

    assert (20 if gop == 10 else 5) <= len(picked) <= 31
    assert picked[-1].seconds > 40
    assert len(list(pick_frames(path, limits=Limits(frames=7)))) <= 7


def test_clip_limits(walk_round: tuple[Path, list[samples.RGB]]):
    with pytest.raises(TooLarge):
        read_clip_header(walk_round[0], Limits(clip_pixels=1000))


def test_truncated_and_damaged_clips_end_in_our_errors(walk_round: tuple[Path, list[samples.RGB]], tmp_path: Path):
    data = walk_round[0].read_bytes()
    path = tmp_path / "x.mp4"
    rng = np.random.default_rng(0)
    damaged = [data[: int(len(data) * share)] for share in (0.0, 0.001, 0.1, 0.5, 0.9, 0.999)]
    for _ in range(12):
        copy = bytearray(data)
        for place in rng.integers(0, len(data), 40):
            copy[place] = int(rng.integers(256))
        damaged.append(bytes(copy))
        copy = bytearray(data)
        moov = data.find(b"moov")
        for place in rng.integers(moov, len(data), 6):
            copy[place] = int(rng.integers(256))
        damaged.append(bytes(copy))

    for content in damaged:
        path.write_bytes(content)
        for read in (read_details, lambda p: list(pick_frames(p)), lambda p: frame_at(p, 2.0)):
            try:
                read(path)
            except Refused:
                pass


def test_damaged_stretch_costs_only_its_own_frames(tmp_path: Path):
    path = tmp_path / "x.mp4"
    samples.write_clip(path, seconds=8, rate=10, gop=5)
    with av.open(str(path)) as container:
        packets = [(p.pos, p.size) for p in container.demux(video=0) if p.pos is not None and p.size]
    data = bytearray(path.read_bytes())
    for start, size in packets[20:30]:
        data[start : start + size] = bytes(size)
    path.write_bytes(bytes(data))

    seconds = [each.seconds for each in pick_frames(path)]

    assert max(seconds) > 6


def test_sound_only_is_no_clip(tmp_path: Path):
    path = tmp_path / "x.mp4"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=8000)
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 1024), np.float32), format="fltp", layout="mono")
        frame.sample_rate = 8000
        container.mux(stream.encode(frame))
        container.mux(stream.encode())

    with pytest.raises(NotMedia):
        read_details(path)


def test_clip_named_like_a_list_of_files_opens_no_other_file(tmp_path: Path):
    """A text that some programs take as a list of files to play must stay text."""
    path = tmp_path / "x.mp4"
    path.write_text("ffconcat version 1.0\nfile '/etc/passwd'\n")

    with pytest.raises(NotMedia):
        read_details(path)
    with pytest.raises(Unreadable):
        read_clip_header(path)
