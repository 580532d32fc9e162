"""Numbers written or printed on tape: find the places, turn each upright in every way it could stand, read, choose.

A place is a flag laid flat (`unrolled`), or a row of strokes whose flag could not be made out (`patches`). It is read
by an engine, and read again a little turned and scaled where the first look saw something; the share of looks that
agree is the heart of the confidence.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.pins.numbering import upside_down
from asfound.core.read.engine import CROP_HIGH_PX, CROP_WIDE_PX, DIGIT_SHARE, NumberEngine, RgbArray
from asfound.core.read.flags import Flag, trace_flag
from asfound.core.read.patches import FloatArray, Patch, find_patches
from asfound.core.read.reading import Reading
from asfound.core.read.unrolled import FlatFlag, crop_flat, flatten_flag

MOST_DIGITS = 3
"""Tape numbers have one to three digits; longer ones are serial numbers."""

LEAST_CONFIDENCE = 0.35
"""Below this nothing is proposed."""

MOST_SEEDS, MOST_FLAGS, MOST_ROWS = 160, 24, 130
"""Strokes that a flag is looked for around, flags and rows of strokes that are read; the smoothest grounds first."""

_LEAST_FULL = 0.8
_FIRST_LOOK = 0.12
_LOOKS = ((0.0, 1.0), (-7.0, 1.0), (7.0, 1.0), (-14.0, 1.0), (14.0, 1.0), (0.0, 0.85), (0.0, 1.18))
_BEST_LOOKS = 3
_STROKE_DOUBT = 0.75
_PART_DOUBT = 0.6
_LEVEL_BONUS, _FLAG_BONUS = 0.03, 0.1


@dataclass(frozen=True, slots=True)
class WrittenNumber:
    """A number read at one place.

    Attributes
    ----------
    text : str
    confidence : float
        0 to 1.
    low_px, high_px : ndarray of shape (2,), float64
        Top left and bottom right of the upright box around it.
    turn_deg : float
        Direction of its line of writing in the picture, 0 level, 90 downwards.
    on_flag : bool
        The flag it stands on was made out.
    """

    text: str
    confidence: float
    low_px: FloatArray
    high_px: FloatArray
    turn_deg: float
    on_flag: bool


@dataclass(frozen=True, slots=True)
class _Pose:
    """A place and the direction in which it may be written: in the picture for strokes, on the flat flag for a flag."""

    place: Patch | FlatFlag
    turn_deg: float

    @property
    def count(self) -> int:
        return self.place.pieces if isinstance(self.place, FlatFlag) else len(self.place.strokes)

    @property
    def trust(self) -> float:
        return _PART_DOUBT if isinstance(self.place, FlatFlag) and not self.place.whole else 1.0

    @property
    def line_deg(self) -> float:
        place = self.place
        return place.line_deg(self.turn_deg) if isinstance(place, FlatFlag) else self.turn_deg % 360

    def crop(self, image_rgb: RgbArray, turn_deg: float = 0.0, zoom: float = 1.0) -> RgbArray:
        if isinstance(self.place, FlatFlag):
            return crop_flat(image_rgb, self.place, self.turn_deg + turn_deg, zoom)
        return crop_upright(image_rgb, self.place, self.turn_deg + turn_deg, zoom)


def read_numbers(image_rgb: RgbArray, engine: NumberEngine) -> list[Reading]:
    """Read the numbers on the tape flags of a picture, surest first; one number for each place.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
        The picture as displayed.
    engine : NumberEngine

    Returns
    -------
    list of Reading
        Empty when nothing was read. `upside_down` is set where the tape turned round would read as another number.
    """
    height, width = image_rgb.shape[:2]
    return [_reading(number, width, height) for number in find_numbers(image_rgb, engine)]


def find_numbers(image_rgb: RgbArray, engine: NumberEngine) -> list[WrittenNumber]:
    """Numbers written on flags in a picture, each with its turn, in pixels."""
    image_gray = np.asarray(cv2.cvtColor(image_rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    patches = find_patches(image_gray)
    flags = find_flags(image_rgb, patches)
    rows = [patch for patch in patches if len(patch.strokes) > 1][:MOST_ROWS]
    poses = [_Pose(flag, turn) for flag in flags for turn in (0.0, 90.0, 180.0, 270.0)]
    poses += [_Pose(row, row.angle_deg + turn) for row in rows for turn in (0.0, 180.0)]
    looked = engine.recognise([pose.crop(image_rgb) for pose in poses])
    hopeful = [
        pose for pose, one in zip(poses, looked, strict=True) if _tape_number(one.text) and one.confidence > _FIRST_LOOK
    ]
    return one_per_place(_vote(image_rgb, engine, hopeful))


def find_flags(image_rgb: RgbArray, patches: Sequence[Patch]) -> list[FlatFlag]:
    """The flags that strokes stand on, each once, laid flat; those on the smoothest grounds first."""
    seeds = [patch for patch in patches if len(patch.strokes) == 1][:MOST_SEEDS]
    found: list[tuple[Flag, FlatFlag]] = []
    for seed in seeds:
        flag = trace_flag(image_rgb, seed)
        if flag is None or flag.fullness < _LEAST_FULL or any(_same_flag(flag, other) for other, _ in found):
            continue
        flat = flatten_flag(image_rgb, flag)
        if flat is not None:
            found.append((flag, flat))
        if len(found) == MOST_FLAGS:
            break
    return [flat for _, flat in found]


def crop_upright(image_rgb: RgbArray, patch: Patch, turn_deg: float, zoom: float = 1.0) -> RgbArray:
    """The patch as an engine wants it: writing along `turn_deg` becomes level, digits fill their share of the height.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
    patch : Patch
    turn_deg : float
        Direction of the writing in the picture.
    zoom : float
        More than 1 shows the digits larger.
    """
    angle = np.radians(turn_deg)
    along = np.array([np.cos(angle), np.sin(angle)])
    down = np.array([-along[1], along[0]])
    step = patch.extent_px(turn_deg + 90) / (CROP_HIGH_PX * DIGIT_SHARE * zoom)
    size = np.array([CROP_WIDE_PX, CROP_HIGH_PX])
    reach = float(np.hypot(*size)) * step / 2 + 3
    centre = np.array(patch.centre_px)
    low = np.clip(np.floor(centre - reach), 0, np.array(image_rgb.shape[1::-1]) - 2).astype(int)
    high = np.clip(np.ceil(centre + reach), low + 2, image_rgb.shape[1::-1]).astype(int)
    window = image_rgb[low[1] : high[1], low[0] : high[0]]
    if step > 1.3:
        window = cv2.GaussianBlur(window, (0, 0), 0.45 * step)
    origin = centre - low - along * step * (size[0] - 1) / 2 - down * step * (size[1] - 1) / 2
    warp = np.column_stack([along * step, down * step, origin])
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    crop = cv2.warpAffine(window, warp, (CROP_WIDE_PX, CROP_HIGH_PX), flags=how, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(crop, np.uint8)


def one_per_place(numbers: Sequence[WrittenNumber]) -> list[WrittenNumber]:
    """Keep the surest number of each place; a number goes before a part of it, unless it is doubtful."""
    ranked = sorted(numbers, key=lambda number: (-_weight(number), number.text))
    kept: list[WrittenNumber] = []
    for number in ranked:
        if all(_apart(number, other) for other in kept):
            kept.append(number)
    return sorted(kept, key=lambda number: (-number.confidence, number.text))


def tally_looks(looks: Sequence[tuple[str, float]], stroke_count: int) -> tuple[str, float]:
    """The number that several looks at one place agree on, and how sure that is.

    A number with as many digits as there are strokes goes before one with more or fewer: a digit was overlooked, or two
    strokes touch. The confidence is the mean of the best looks, lowered by the share of looks that say something else.

    Parameters
    ----------
    looks : sequence of (str, float)
        What each look read, "" for nothing, and how sure it was.
    stroke_count : int

    Returns
    -------
    (str, float)
        ("", 0.0) when no look read anything.
    """
    said: dict[str, list[float]] = defaultdict(list)
    for text, confidence in looks:
        if text:
            said[text].append(confidence * (1 if len(text) == stroke_count else _STROKE_DOUBT))
    if not said:
        return "", 0.0
    text = max(said, key=lambda text: (sum(said[text]), text))
    best = sum(sorted(said[text], reverse=True)[:_BEST_LOOKS]) / _BEST_LOOKS
    # A digit overlooked in some looks speaks less against the number than another digit in its place.
    against = sum(sum(found) * (0.3 if other in text else 1) for other, found in said.items() if other != text)
    share = sum(said[text]) / (sum(said[text]) + against)
    return text, round(best * (0.4 + 0.6 * share), 3)


def _weight(number: WrittenNumber) -> float:
    level = _LEVEL_BONUS * float(np.cos(np.radians(number.turn_deg)))
    return number.confidence + 0.2 * len(number.text) + level + _FLAG_BONUS * number.on_flag


def _apart(one: WrittenNumber, other: WrittenNumber) -> bool:
    centres = (one.low_px + one.high_px - other.low_px - other.high_px) / 2
    reach = max(float((number.high_px - number.low_px).max()) for number in (one, other))
    return float(np.hypot(*centres)) > 0.9 * reach


def _same_flag(one: Flag, other: Flag) -> bool:
    gap = float(np.hypot(*(one.corners_px.mean(0) - other.corners_px.mean(0))))
    size = min(float(np.ptp(flag.corners_px, axis=0).max()) for flag in (one, other))
    return gap < 0.12 * size


def _vote(image_rgb: RgbArray, engine: NumberEngine, poses: Sequence[_Pose]) -> list[WrittenNumber]:
    seen = engine.recognise([pose.crop(image_rgb, turn, zoom) for pose in poses for turn, zoom in _LOOKS])
    numbers = []
    for at, pose in enumerate(poses):
        looks = seen[at * len(_LOOKS) : (at + 1) * len(_LOOKS)]
        text, confidence = tally_looks([(_tape_number(one.text), one.confidence) for one in looks], pose.count)
        if confidence * pose.trust >= LEAST_CONFIDENCE:
            on_flag = isinstance(pose.place, FlatFlag)
            low, high = pose.place.box_px()
            numbers.append(WrittenNumber(text, round(confidence * pose.trust, 3), low, high, pose.line_deg, on_flag))
    return numbers


def _tape_number(text: str) -> str:
    """The text when it looks like a tape number, else nothing: one to three digits that do not begin with 0."""
    return text if 0 < len(text) <= MOST_DIGITS and text.isdecimal() and text[0] != "0" else ""


def _reading(number: WrittenNumber, width: int, height: int) -> Reading:
    low, high = number.low_px, number.high_px
    other = upside_down(number.text)
    return Reading(
        number.text,
        None,
        "written",
        float(low[0] + high[0] + 1) / 2 / width,
        float(low[1] + high[1] + 1) / 2 / height,
        float(high[0] - low[0] + 1) / width,
        float(high[1] - low[1] + 1) / height,
        number.confidence,
        other if other != number.text else None,
    )
