"""Train the place vocabulary that ships with the package: python tests/bench/train_places.py OUT.npz FOLDER...

Each FOLDER holds rendered pictures (*.jpg). The pictures and random crops of them, turned, give the statistics; nothing
of any real place is kept in the tables. Same folders and seed, same file.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import cv2
import numpy as np

from asfound.core.match.features import detect_features, normalised_descriptors
from asfound.core.match.place import PlaceVocabulary, describe_vlad

WORDS, REDUCED, PLACE = 128, 32, 256


def crops(gray: np.ndarray, count: int, rng: np.random.Generator) -> list[np.ndarray]:
    """The picture and `count` crops of 30 to 90 percent of its sides, turned by quarter turns."""
    out = [gray]
    for _ in range(count):
        height, width = (np.array(gray.shape) * rng.uniform(0.3, 0.9)).astype(int)
        y, x = rng.integers(0, gray.shape[0] - height), rng.integers(0, gray.shape[1] - width)
        crop = gray[y : y + height, x : x + width]
        enlarge = 1024 / max(crop.shape) * rng.uniform(0.6, 1.0)
        out.append(np.rot90(cv2.resize(crop, None, fx=enlarge, fy=enlarge), rng.integers(0, 4)).copy())
    return out


def k_means(rows: np.ndarray, count: int, rng: np.random.Generator, rounds: int = 15) -> np.ndarray:
    """Plain k-means; empty words start again at a random row."""
    words = rows[rng.choice(len(rows), count, replace=False)].copy()
    for _ in range(rounds):
        nearest = (rows @ words.T * 2 - (words * words).sum(axis=1)).argmax(axis=1)
        sums = np.zeros_like(words)
        np.add.at(sums, nearest, rows)
        sizes = np.bincount(nearest, minlength=count)
        words = sums / np.maximum(sizes, 1)[:, None]
        words[sizes == 0] = rows[rng.choice(len(rows), int((sizes == 0).sum()))]
    return words


def train(descriptors: list[np.ndarray], rng: np.random.Generator) -> PlaceVocabulary:
    """Vocabulary and both reductions from the descriptors of many pictures."""
    sample = np.concatenate([d[rng.permutation(len(d))[:250]] for d in descriptors])
    sample = sample[rng.permutation(len(sample))[:150_000]]
    mean = sample.mean(axis=0)
    axes = np.linalg.eigh(np.cov((sample - mean).T))[1][:, ::-1][:, :REDUCED].astype(np.float32)
    words = k_means(((sample - mean) @ axes).astype(np.float32), WORDS, rng)
    half = PlaceVocabulary(mean, axes, words, np.zeros(1, np.float32), np.zeros((1, 1), np.float32))
    vlads = np.stack([describe_vlad(d, half) for d in descriptors])
    vlad_mean = vlads.mean(axis=0)
    _, strengths, directions = np.linalg.svd(vlads - vlad_mean, full_matrices=False)
    keep = directions[:PLACE]
    whiten = (strengths[:PLACE] / np.sqrt(len(vlads)) + 1e-3) ** 0.5
    return PlaceVocabulary(mean, axes, words, vlad_mean, (keep / whiten[:, None]).T.astype(np.float32))


def save(vocabulary: PlaceVocabulary, out: Path) -> None:
    """Small tables as half floats; the large one as bytes with one scale per column."""
    scale = np.abs(vocabulary.vlad_axes).max(axis=0) / 127
    np.savez_compressed(
        out,
        mean=vocabulary.mean.astype(np.float16),
        axes=vocabulary.axes.astype(np.float16),
        words=vocabulary.words.astype(np.float16),
        vlad_mean=vocabulary.vlad_mean.astype(np.float16),
        vlad_axes=np.rint(vocabulary.vlad_axes / scale).astype(np.int8),
        vlad_scale=scale.astype(np.float32),
    )


def main() -> None:
    """Read the command line, train, write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--crops", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    cv2.setNumThreads(1)
    rng = np.random.default_rng(options.seed)
    descriptors = []
    for path in sorted(p for folder in options.folders for p in folder.glob("*.jpg")):
        gray = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
        for picture in crops(gray, options.crops, rng):
            features = detect_features(picture)
            if len(features) > 100:
                descriptors.append(normalised_descriptors(features).astype(np.float32))
    save(train(descriptors, rng), options.out)


if __name__ == "__main__":
    main()
