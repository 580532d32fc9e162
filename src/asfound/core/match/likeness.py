"""How alike two pictures are: the matches that agree on a geometry, and their stored form."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import BoolArray, FloatArray, IntArray

LEAST_DETERMINANT = 1e-12
"""A homography with a smaller determinant has no inverse worth having."""


@dataclass(frozen=True)
class LikenessSummary:
    """What sorting needs to know of a pair (a, b); all of it symmetric but `scale_ratio`.

    Attributes
    ----------
    agreeing : int
        Matches on the epipolar geometry, or on one plane, that also move like their neighbours.
    probability : float
        That both pictures show one place, 0 to 1.
    centre_gap : float
        How far the centre of either picture lies from the other's centre once carried there by one similarity of all
        agreeing matches, the larger of both ways, in fractions of the diagonal; infinite where it cannot be said, and
        where what agrees leaves out what either picture aims at.
    scale_ratio : float
        How much larger things are in b than in a, by the median of the diameters of matching keypoints; 1 where it
        cannot be said.
    """

    agreeing: int
    probability: float
    centre_gap: float
    scale_ratio: float


@dataclass(frozen=True, eq=False)
class Likeness:
    """Result of comparing the features of pictures a and b.

    Attributes
    ----------
    matches : ndarray of shape (m, 2), int32
        Indices into a's and b's keypoints of the matches that fit the fundamental matrix or the homography.
    agrees : ndarray of shape (m,), bool
        Which of them move like their neighbours.
    inliers : int
        Matches on their epipolar lines.
    agreeing, probability, centre_gap, scale_ratio
        As in `LikenessSummary`.
    fundamental, homography : ndarray of shape (3, 3) or None
        b^T F a = 0, and b ~ H a, in pixels at matching size.
    degenerate : str or None
        Why depth cannot be had from this pair: "no matches", "one plane" (or no parallax), "too few";
        None where it can.
    further : tuple of ndarray of shape (k, 2), int32
        Groups of other matches that move together, otherwise than those that agree: what stands around, or a part that
        was moved. Those that agree are what the pictures aim at.
    """

    matches: IntArray
    agrees: BoolArray
    inliers: int
    agreeing: int
    probability: float
    centre_gap: float
    scale_ratio: float
    fundamental: FloatArray | None
    homography: FloatArray | None
    degenerate: str | None
    further: tuple[IntArray, ...] = ()

    @property
    def summary(self) -> LikenessSummary:
        """The numbers that sorting needs."""
        return LikenessSummary(self.agreeing, self.probability, self.centre_gap, self.scale_ratio)

    def reversed(self) -> Likeness:
        """The likeness of (b, a), from that of (a, b)."""
        back: FloatArray | None = None
        if self.homography is not None and abs(np.linalg.det(self.homography)) > LEAST_DETERMINANT:
            back = np.asarray(np.linalg.inv(self.homography), dtype=np.float64)
        return Likeness(
            matches=np.ascontiguousarray(self.matches[:, ::-1]),
            agrees=self.agrees,
            inliers=self.inliers,
            agreeing=self.agreeing,
            probability=self.probability,
            centre_gap=self.centre_gap,
            scale_ratio=1 / self.scale_ratio,
            fundamental=None if self.fundamental is None else np.ascontiguousarray(self.fundamental.T),
            homography=back,
            degenerate=self.degenerate,
            further=tuple(np.ascontiguousarray(group[:, ::-1]) for group in self.further),
        )


def no_likeness(reason: str) -> Likeness:
    """The likeness of two pictures that share nothing."""
    return Likeness(
        matches=np.zeros((0, 2), np.int32),
        agrees=np.zeros(0, np.bool_),
        inliers=0,
        agreeing=0,
        probability=0.0,
        centre_gap=float("inf"),
        scale_ratio=1.0,
        fundamental=None,
        homography=None,
        degenerate=reason,
    )


def pack_likeness(likeness: Likeness) -> bytes:
    """A likeness as bytes (a NumPy .npz); equal likenesses give equal bytes."""
    further = np.concatenate([np.zeros((0, 2), np.int32), *likeness.further])
    highest = max(likeness.matches.max(initial=0), further.max(initial=0))
    whole = np.uint16 if highest <= np.iinfo(np.uint16).max else np.int32
    arrays = {
        "matches": likeness.matches.astype(whole),
        "further": further.astype(whole),
        "further_sizes": np.array([len(group) for group in likeness.further], np.int32),
        "agrees": np.packbits(likeness.agrees),
        "counts": np.array([likeness.inliers, likeness.agreeing], np.int32),
        "numbers": np.array([likeness.probability, likeness.centre_gap, likeness.scale_ratio]),
        "fundamental": np.zeros((0, 3)) if likeness.fundamental is None else likeness.fundamental,
        "homography": np.zeros((0, 3)) if likeness.homography is None else likeness.homography,
        "degenerate": np.array(likeness.degenerate or ""),
    }
    target = io.BytesIO()
    np.savez_compressed(target, allow_pickle=False, **arrays)
    return target.getvalue()


def _further(stored: Mapping[str, NDArray[Any]]) -> tuple[IntArray, ...]:
    """The further groups; none where it was packed before there were any (`asfound rebuild` finds them)."""
    if "further_sizes" not in stored:
        return ()
    ends = np.cumsum(stored["further_sizes"])
    return tuple(np.split(stored["further"].astype(np.int32), ends[:-1])) if len(ends) else ()


def unpack_likeness(packed: bytes) -> Likeness:
    """The inverse of `pack_likeness`; ValueError for other bytes."""
    try:
        with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
            matches = stored["matches"].astype(np.int32)
            numbers, counts = stored["numbers"], stored["counts"]
            fundamental, homography = stored["fundamental"], stored["homography"]
            return Likeness(
                matches=matches,
                agrees=np.unpackbits(stored["agrees"], count=len(matches)).astype(np.bool_),
                inliers=int(counts[0]),
                agreeing=int(counts[1]),
                probability=float(numbers[0]),
                centre_gap=float(numbers[1]),
                scale_ratio=float(numbers[2]),
                fundamental=fundamental if len(fundamental) else None,
                homography=homography if len(homography) else None,
                degenerate=str(stored["degenerate"]) or None,
                further=_further(stored),
            )
    except (OSError, EOFError, KeyError, IndexError, ValueError, zipfile.BadZipFile) as error:
        raise ValueError(f"likeness cannot be read: {error}") from error
