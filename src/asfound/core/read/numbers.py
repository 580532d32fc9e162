"""Numbers written or printed on tape: find the places, turn each upright in every way it could stand, read, choose.

What may be a number is found by `patches`, read by an engine, and read again a little turned and scaled where the first
look saw something; the share of looks that agree is the heart of the confidence.
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
from asfound.core.read.patches import Patch, find_patches
from asfound.core.read.reading import Reading

MOST_DIGITS = 3
"""Tape numbers have one to three digits; longer ones are serial numbers."""

LEAST_CONFIDENCE = 0.35
"""Below this nothing is proposed."""

MOST_ROWS, MOST_LONE = 130, 24
"""Places read in one picture, the smoothest grounds first: about a second on one core."""

_FIRST_LOOK = 0.12
_LOOKS = ((0.0, 1.0), (-7.0, 1.0), (7.0, 1.0), (-14.0, 1.0), (14.0, 1.0), (0.0, 0.85), (0.0, 1.18))
_BEST_LOOKS = 3
_STROKE_DOUBT = 0.75
_LEVEL_BONUS = 0.03


@dataclass(frozen=True, slots=True)
class WrittenNumber:
    """A number read on one patch.

    Attributes
    ----------
    text : str
    confidence : float
        0 to 1.
    patch : Patch
    turn_deg : float
        Direction of its line of writing in the picture, 0 level, 90 downwards.
    """

    text: str
    confidence: float
    patch: Patch
    turn_deg: float


@dataclass(frozen=True, slots=True)
class _Pose:
    patch: Patch
    turn_deg: float


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
    """Like `read_numbers`, with the strokes and the turn of each number, in pixels."""
    image_gray = np.asarray(cv2.cvtColor(image_rgb, cv2.COLOR_RGB2GRAY), np.uint8)
    poses = _poses(image_rgb, find_patches(image_gray))
    looked = _look(image_rgb, engine, poses)
    hopeful = [
        pose for pose, (text, confidence) in zip(poses, looked, strict=True) if text and confidence > _FIRST_LOOK
    ]
    return one_per_place(_vote(image_rgb, engine, hopeful))


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
        if all(_apart(number.patch, other.patch) for other in kept):
            kept.append(number)
    return sorted(kept, key=lambda number: (-number.confidence, number.text))


def _weight(number: WrittenNumber) -> float:
    return number.confidence + 0.2 * len(number.text) + _LEVEL_BONUS * float(np.cos(np.radians(number.turn_deg)))


def _apart(one: Patch, other: Patch) -> bool:
    gap = np.hypot(one.centre_px[0] - other.centre_px[0], one.centre_px[1] - other.centre_px[1])
    return bool(gap > 0.9 * max(one.height_px, other.height_px, one.length_px, other.length_px))


def _poses(image_rgb: RgbArray, patches: Sequence[Patch]) -> list[_Pose]:
    rows = [patch for patch in patches if len(patch.strokes) > 1][:MOST_ROWS]
    poses = [_Pose(patch, patch.angle_deg + turn) for patch in rows for turn in (0, 180)]
    lone = 0
    for patch in patches:
        if len(patch.strokes) == 1 and lone < MOST_LONE:
            flag = trace_flag(image_rgb, patch)
            if flag is not None and _holds_one_digit(flag):
                lone += 1
                poses += [_Pose(patch, flag.angle_deg + turn) for turn in (0, 90, 180, 270)]
    return poses


def _holds_one_digit(flag: Flag) -> bool:
    return not flag.cut and flag.fullness > 0.82 and 2.5 < flag.size_ratio < 22


def _look(image_rgb: RgbArray, engine: NumberEngine, poses: Sequence[_Pose]) -> list[tuple[str, float]]:
    seen = engine.recognise([crop_upright(image_rgb, pose.patch, pose.turn_deg) for pose in poses])
    return [(_tape_number(one.text), one.confidence) for one in seen]


def _vote(image_rgb: RgbArray, engine: NumberEngine, poses: Sequence[_Pose]) -> list[WrittenNumber]:
    crops = [crop_upright(image_rgb, pose.patch, pose.turn_deg + turn, zoom) for pose in poses for turn, zoom in _LOOKS]
    seen = engine.recognise(crops)
    numbers = []
    for place, pose in enumerate(poses):
        looks = [
            (_tape_number(one.text), one.confidence) for one in seen[place * len(_LOOKS) : (place + 1) * len(_LOOKS)]
        ]
        text, confidence = tally_looks(looks, len(pose.patch.strokes))
        if confidence >= LEAST_CONFIDENCE:
            numbers.append(WrittenNumber(text, confidence, pose.patch, pose.turn_deg % 360))
    return numbers


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


def _tape_number(text: str) -> str:
    """The text when it looks like a tape number, else nothing: one to three digits that do not begin with 0."""
    return text if 0 < len(text) <= MOST_DIGITS and text.isdecimal() and text[0] != "0" else ""


def _reading(number: WrittenNumber, width: int, height: int) -> Reading:
    low, high = number.patch.box_px()
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
