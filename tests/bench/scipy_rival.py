"""What SciPy would do of what the matching does by itself: near points, connected tracks, bundle adjustment.

    python tests/bench/scipy_rival.py FOLDER [SPOTS]

Builds the scenes of the first true spots of a rendered bay, notes every call, then does the same calls both ways.
Prints processor seconds and whether the answers are equal. SciPy's import is told apart.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from bays import BaySet

from asfound.core.match import reconstruct, resection, tracks
from asfound.core.match.bundle import LOSS_PX, Bundle, adjust_bundle, exp_rotation, residuals_px

FOCAL_SIGMA = 0.01
Call = tuple[tuple[Any, ...], dict[str, Any]]


def noted(module: Any, name: str, calls: list[Call]) -> None:
    """Have a function of a module note what it is called with."""
    whole = getattr(module, name)

    def noting(*args: Any, **kwargs: Any) -> Any:
        calls.append((args, kwargs))
        return whole(*args, **kwargs)

    setattr(module, name, noting)


def timed(work: Callable[..., Any], calls: list[Call]) -> tuple[float, list[Any]]:
    """Processor seconds of all calls, and their answers."""
    start = time.process_time()
    answers = [work(*args, **kwargs) for args, kwargs in calls]
    return time.process_time() - start, answers


def near_by_tree(first: np.ndarray, second: np.ndarray, reach_px: float) -> tuple[np.ndarray, np.ndarray]:
    """As `resection._near`."""
    from scipy.spatial import cKDTree

    found = cKDTree(first).sparse_distance_matrix(cKDTree(second), reach_px, output_type="ndarray")
    return found["i"], found["j"]


def components_by_graph(count: int, edges: np.ndarray) -> np.ndarray:
    """As `tracks._components`, with labels of its own."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(edges), np.int8), edges.T), (count, count))
    return connected_components(graph, directed=False)[1]


def least_squares_of(bundle: Bundle, *, iterations: int) -> Bundle:
    """As `adjust_bundle`, by a trust region with the sparse pattern of the derivatives given."""
    from scipy.optimize import least_squares
    from scipy.sparse import lil_matrix

    cameras, points, sightings = len(bundle.focals_px), len(bundle.points), len(bundle.seen_px)
    size = 7 * cameras
    pattern = lil_matrix((2 * sightings, size + 3 * points), dtype=int)
    rows = np.arange(sightings)
    for k in range(7):
        pattern[2 * rows, 7 * bundle.cameras_of + k] = pattern[2 * rows + 1, 7 * bundle.cameras_of + k] = 1
    for k in range(3):
        pattern[2 * rows, size + 3 * bundle.points_of + k] = pattern[2 * rows + 1, size + 3 * bundle.points_of + k] = 1
    focal = np.median(bundle.focals_px)

    def moved(step: np.ndarray) -> Bundle:
        by_camera = step[:size].reshape(-1, 7)
        by_camera = np.where(np.arange(cameras)[:, None] == 0, by_camera * (np.arange(7) == 6), by_camera)
        return Bundle(
            exp_rotation(by_camera[:, :3]) @ bundle.rotations,
            bundle.translations + by_camera[:, 3:6],
            bundle.focals_px + by_camera[:, 6] * focal,
            bundle.points + step[size:].reshape(-1, 3),
            bundle.cameras_of,
            bundle.points_of,
            bundle.seen_px,
        )

    found = least_squares(
        lambda step: residuals_px(moved(step)).ravel(),
        np.zeros(size + 3 * points),
        jac_sparsity=pattern,
        loss="cauchy",
        f_scale=LOSS_PX,
        x_scale="jac",
        method="trf",
        max_nfev=iterations,
    )
    return moved(found.x)


def cost(bundle: Bundle) -> float:
    """The robust cost without what holds focal lengths."""
    squared = (residuals_px(bundle) ** 2).sum(axis=1)
    return float(LOSS_PX**2 * np.log1p(squared / LOSS_PX**2).sum())


def main() -> None:
    """Build, note, repeat, print."""
    cv2.setNumThreads(1)
    bay, most = BaySet(Path(sys.argv[1])), int(sys.argv[2]) if len(sys.argv) > 2 else 3
    near: list[Call] = []
    joined: list[Call] = []
    bundles: list[Call] = []
    noted(resection, "_near", near)
    noted(tracks, "_components", joined)
    noted(reconstruct, "adjust_bundle", bundles)
    start = time.process_time()
    for spot in sorted({p.spot for p in bay.photos if p.spot})[:most]:
        ids = [p.picture_id for p in bay.photos if p.spot == spot]
        pictures = [bay.scene_picture(i) for i in ids]
        reconstruct.reconstruct(pictures, bay.likenesses(ids), seed=1)
    print("scenes, with whatever had to be worked out first:", round(time.process_time() - start, 2), "s")
    start = time.process_time()
    near_by_tree(np.zeros((2, 2)), np.zeros((2, 2)), 1.0)
    components_by_graph(2, np.array([[0, 1]]))
    import scipy.optimize  # noqa: F401

    print("import of spatial, sparse and optimize:", round(time.process_time() - start, 2), "s")

    own, mine = timed(resection._near, list(near))
    tree, theirs = timed(near_by_tree, near[: len(mine)])
    equal = sum(pairs_of(x) == pairs_of(y) for x, y in zip(mine, theirs, strict=True))
    print(f"near points, {len(mine)} calls: own {own:.2f} s, KD-tree {tree:.2f} s, equal {equal}")
    own, mine = timed(tracks._components, list(joined))
    graph, theirs = timed(components_by_graph, joined[: len(mine)])
    equal = sum(is_same_partition(x, y) for x, y in zip(mine, theirs, strict=True))
    print(f"tracks, {len(mine)} calls: own {own:.3f} s, connected_components {graph:.3f} s, equal {equal}")
    compare_bundles(bundles[-1])


def compare_bundles(call: Call) -> None:
    """The largest adjustment both ways."""
    bundle = call[0][0]
    own, (mine,) = timed(adjust_bundle, [call])
    print(f"bundle of {len(bundle.focals_px)} cameras, {len(bundle.points)} points, {len(bundle.seen_px)} sightings")
    print(f"  cost {cost(bundle):.1f}; own {own:.2f} s to {cost(mine):.1f}")
    for steps in (5, 15):
        took, (theirs,) = timed(least_squares_of, [((bundle,), {"iterations": steps})])
        print(f"  least_squares, {steps} steps, {took:.2f} s to {cost(theirs):.1f}")


def pairs_of(found: tuple[np.ndarray, np.ndarray]) -> set[tuple[int, int]]:
    """Index pairs without their order."""
    return set(zip(found[0].tolist(), found[1].tolist(), strict=True))


def is_same_partition(first: np.ndarray, second: np.ndarray) -> bool:
    """Whether two labellings make the same groups."""
    both = np.unique(np.stack([first, second]), axis=1).shape[1]
    return both == len(np.unique(first)) == len(np.unique(second))


if __name__ == "__main__":
    main()
