"""How well pins are carried and related pictures told from unrelated ones on the pictures of `cards.py`.

    python tests/bench/card_pairs.py FOLDER... [--method NAME] [--rivals] [--unrelated 1000] [--seed 1]

The project's own way (features by the describing method NAME, `verify_pair`, `build_scene`, `carry_pins`), and with
--rivals beside it ORB and SIFT with one homography. Prints two tables.

Pins: the part's clearest as-found picture is pinned, the pin carried to the other pictures of its true spot. Share of
visible sightings within 2 % / 5 % of the diagonal; carried pins farther off than 5 % are wrong. A part that was put
back in another place counts there, though a pin says where its part belongs; "in place" leaves such sightings out.

Pairs: related are an as-found picture and another of its spot; unrelated are pictures of different bays, drawn at
random, the same pairs for every way. Accepted: a probability of .5 or more (own), and 15 agreeing matches or more (own;
inliers of the homography for the others). "At no false pair" is the share of related pairs above every unrelated one.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from itertools import combinations
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from bays import BaySet
from matching import KINDS, carrier, score_carry
from rivals import OneHomography

from asfound.core.match import IN_USE

Pair = tuple[int, int]
LEAST_PROBABILITY, LEAST_AGREEING = 0.5, 15
STATES = ("found", "off", "refit")


def related_pairs(bay: BaySet) -> dict[str, list[Pair]]:
    """An as-found picture and another of its spot, by the other's state."""
    out = defaultdict(list)
    for a, b in combinations(bay.photos, 2):
        if a.spot == b.spot and "found" in (a.state, b.state):
            first, second = (a, b) if a.state == "found" else (b, a)
            out[second.state].append((first.picture_id, second.picture_id))
    return out


def unrelated_pairs(bay: BaySet, count: int, seed: int) -> list[Pair]:
    """Pictures of different bays, each pair once."""
    rng = np.random.default_rng(seed)
    across = [(a.picture_id, b.picture_id) for a, b in combinations(bay.photos, 2) if a.bay != b.bay]
    return [across[k] for k in sorted(rng.permutation(len(across))[:count])]


def pair_row(said: dict[str, np.ndarray], least: float) -> list[str]:
    """Accepted of each kind, false ones, the largest of unrelated pairs, and accepted above that."""
    related = np.concatenate([said[state] for state in STATES])
    false = said["unrelated"]
    shares = [f"{np.mean(values >= least):.3f}" for values in (related, *(said[state] for state in STATES))]
    most = f"{false.max():.2f}" if least < 1 else f"{false.max():.0f}"
    return [*shares, str(int((false >= least).sum())), most, f"{np.mean(related > false.max()):.3f}"]


def table(head: list[str], rows: list[list[str]]) -> None:
    """Print in Markdown."""
    for row in (head, ["---"] * len(head), *rows):
        print("|", " | ".join(row), "|")
    print(flush=True)


def print_pairs(bay: BaySet, own: str, rivals: dict[str, OneHomography], unrelated: list[Pair]) -> None:
    """Print how related pairs are told from unrelated ones."""
    pairs = related_pairs(bay)
    print(f"{bay.folder.name}: related pairs { ({k: len(pairs[k]) for k in STATES}) }, unrelated {len(unrelated)}\n")
    pairs["unrelated"] = unrelated
    likenesses = {k: [bay.likeness(*sorted(pair)) for pair in v] for k, v in pairs.items()}
    probabilities = {k: np.array([x.probability for x in v]) for k, v in likenesses.items()}
    agreeing = {k: np.array([x.agreeing for x in v]) for k, v in likenesses.items()}
    rows = [
        [own, "probability .5", *pair_row(probabilities, LEAST_PROBABILITY)],
        [own, "15 agreeing", *pair_row(agreeing, LEAST_AGREEING)],
    ]
    for name, rival in rivals.items():
        inliers = {k: np.array([rival.compare(*pair)[1] for pair in v]) for k, v in pairs.items()}
        rows.append([name, "15 inliers", *pair_row(inliers, LEAST_AGREEING)])
    table(["way", "accepted by", "related", *STATES, "false pairs", "most said of one", "at no false pair"], rows)


def print_pins(bay: BaySet, own: str, rivals: dict[str, OneHomography]) -> None:
    """Print how well pins are carried within true spots."""
    ways = {own: carrier(bay, {p.picture_id: p.spot for p in bay.photos})}
    ways |= {name: rival.carry for name, rival in rivals.items()}
    rows = []
    for name, carry in ways.items():
        detail: list[Any] = []
        said = score_carry(bay, carry, detail)
        gaps = np.array([gap for key, _, p, gap, _ in detail if not p.connector(key)["moved"]])
        said["in place"] = f"{np.mean(gaps <= 0.02):.3f}/{np.mean(gaps <= 0.05):.3f}"
        keys = ("sightings", "all", "in place", *(KINDS[state] for state in STATES), "carried", "wrong")
        rows.append([name, *(str(said[key]) for key in keys)])
    table(["way", "sightings", "all", "in place", *STATES, "carried", "wrong"], rows)


def main() -> None:
    """Read the command line and print the tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--method", default=IN_USE)
    parser.add_argument("--rivals", action="store_true")
    parser.add_argument("--unrelated", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    cv2.setNumThreads(1)
    for folder in options.folders:
        bay, own = BaySet(folder, options.method), f"own, {options.method}"
        kinds = ("orb", "sift") if options.rivals else ()
        rivals = {f"{kind.upper()} + homography": OneHomography(bay, kind) for kind in kinds}
        print_pairs(bay, own, rivals, unrelated_pairs(bay, options.unrelated, options.seed))
        print_pins(bay, own, rivals)


if __name__ == "__main__":
    main()
